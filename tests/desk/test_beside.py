"""Work in a thread beside the page: the page still answers, and what comes of it is told."""

import asyncio
import threading

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Trouble


def test_the_loop_goes_on_while_something_is_worked_out():
    bar, found, states = Trouble(), [], []
    beside, may_end = Beside(bar.say), threading.Event()

    def work():
        assert may_end.wait(10)
        return threading.current_thread()

    def then(result):
        states.append(beside.at_work)
        found.append((result(), threading.current_thread()))

    async def page():
        beside.start(work, then)
        beside.start(lambda: "a second click", then)  # one at a time
        states.append(beside.at_work)
        may_end.set()
        while beside.at_work:
            await asyncio.sleep(0.001)

    asyncio.run(page())
    assert states == [True, False]
    (worked, told), *more = found
    assert worked is not told
    assert told is threading.main_thread()
    assert more == []
    assert bar.value == ""


def test_what_goes_wrong_in_the_thread_is_told_and_the_next_success_takes_it_away():
    bar = Trouble()
    beside = Beside(bar.say)

    def fail():
        raise InputError([Fault("folder", "x", "a folder that can be written to")])

    async def page(work):
        beside.start(work, lambda result: result())
        while beside.at_work:
            await asyncio.sleep(0.001)

    asyncio.run(page(fail))
    assert "folder: given x" in bar.value
    asyncio.run(page(lambda: None))
    assert bar.value == ""
