"""Work of many parts: it tells how far it is, stops when asked, keeps what is done, ends with its page."""

import asyncio
import threading

import pytest

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk.guard import Trouble
from gearcheck.desk.panels.running import PATIENCE_S, Part, Running


def counting(of=5, held=None):
    """Gives the numbers so far; `held` must be set before the third part comes."""
    for done in range(1, of + 1):
        if held is not None and done == 3:
            assert held.wait(10)
        yield Part(done=done, of=of, found=list(range(done)))


def running(begin, **more):
    bar, shown = Trouble(), []
    run = Running(begin, shown.append, bar.say, start="Make 5 gears", counted="gears", **more)
    return run, shown, bar


async def until(true):
    for _ in range(5000):
        if true():
            return
        await asyncio.sleep(0.001)
    pytest.fail("it did not come")


def test_without_a_loop_it_runs_to_its_end():
    run, shown, _ = running(counting)
    assert 'data-act="start">Make 5 gears<' in run.widget.html
    run.start()
    assert shown == [[0, 1, 2, 3, 4]]
    assert "Done: 5 gears." in run.widget.html
    assert "Make 5 gears, anew" in run.widget.html


def test_a_stop_keeps_what_is_done_and_the_loop_is_free_meanwhile():
    held, threads = threading.Event(), set()

    def begin():
        for part in counting(held=held):
            threads.add(threading.current_thread())
            yield part

    run, shown, bar = running(begin)

    async def page():
        run.start()
        run.start()  # a second click begins nothing
        await until(lambda: run._last is not None and run._last.done == 2)
        run.widget.refresh()
        assert '<progress max="5" value="2" aria-label="Make 5 gears">' in run.widget.html
        assert "2 of 5 gears" in run.widget.html
        run.stop()
        held.set()
        await until(lambda: not run.at_work)

    asyncio.run(page())
    assert shown[-1] == [0, 1, 2]  # the part that was under way is kept
    assert "Stopped: 3 of 5 gears." in run.widget.html
    assert threading.main_thread() not in threads
    assert bar.value == ""


def test_trouble_is_told_with_what_was_done_and_the_next_run_takes_it_away():
    def failing():
        yield Part(done=1, of=5, found=[0])
        raise InputError([Fault("scatter", "-1", "0 or more")])

    begin = [failing, counting]
    run, shown, bar = running(lambda: begin.pop(0)())

    async def page():
        run.start()
        await until(lambda: not run.at_work)

    asyncio.run(page())
    assert "scatter: given -1" in bar.value
    assert shown[-1] == [0]
    assert "Failed: 1 of 5 gears." in run.widget.html
    asyncio.run(page())
    assert bar.value == ""
    assert shown[-1] == [0, 1, 2, 3, 4]


def test_nothing_is_worked_out_for_a_page_that_is_gone():
    silence = [0.0]
    made = []

    def begin():
        for part in counting():
            made.append(part.done)
            silence[0] = PATIENCE_S
            yield part

    run, *_ = running(begin, heard=lambda: silence[0])

    async def page():
        run.start()
        await until(lambda: not run.at_work)

    asyncio.run(page())
    assert made == [1]
