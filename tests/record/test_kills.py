"""Processes that write, ended at any moment: what was acknowledged is there, and the record opens."""

import random
import subprocess
import sys
import time
from contextlib import ExitStack

import pytest

from gearcheck.record.events import chain_faults
from gearcheck.record.workspace import Workspace
from tests.public import ROOT
from tests.record.results import write_row

LIVES = 500
SEED = 20260302
LIVES_OF_A_RECORD = 25
LONGEST_LIFE_S = 0.08


def started(file, record, name, count):
    command = [sys.executable, "-m", "tests.record.writer", str(file), record, name, str(count)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, encoding="utf-8")


def acknowledged(said):
    """The numbers that were told; a last line that broke off was not."""
    return [int(line) for line in said.splitlines(keepends=True) if line.endswith("\n")]


def check(workspace, record, numbers, seen):
    """Each acknowledged entry of these lives is there with its file, and the chain holds."""
    if not numbers and record not in {head.record for head in workspace.records()}:
        return 0
    found = workspace.events(record)
    assert not chain_faults(found, record=record)
    assert len(found) >= max(numbers, default=0)
    assert len(set(numbers)) == len(numbers)
    for event in found[max(seen, 1) :]:
        assert workspace.content(event.body["text"]).count(b"\n") == 1000
    assert workspace.book(record).last == len(found)
    return len(found)


def lives(file, record, writers, chance):
    """Let some write for a while, end all at once; what they had told, and whether one was writing."""
    with ExitStack() as stack:
        running = [stack.enter_context(started(file, record, f"Writer {n}", 10**6)) for n in range(writers)]
        for one in running:
            assert one.stdout.readline() == "begin\n"
        time.sleep(chance.uniform(0, LONGEST_LIFE_S))
        for one in running:
            one.kill()
        told = [number for one in running for number in acknowledged(one.stdout.read())]
    return told, file.with_name(f"{file.name}-journal").exists()


@pytest.mark.slow
def test_what_was_acknowledged_outlives_the_process(tmp_path):
    """The writers are ended at any moment; every third time two of them write to one record."""
    file, chance = tmp_path / "workspace.sqlite", random.Random(SEED)
    workspace = Workspace(file)
    kept, in_midst, ended, total = {}, 0, 0, 0
    while ended < LIVES:
        record = f"TF-118_{ended // LIVES_OF_A_RECORD}"
        told, writing = lives(file, record, 2 if ended % 3 == 2 else 1, chance)
        kept[record] = check(Workspace(file), record, told, kept.get(record, 0))
        ended, in_midst, total = ended + (2 if ended % 3 == 2 else 1), in_midst + writing, total + len(told)
    for record, number in kept.items():
        assert len(workspace.events(record)) == number if number else True
    assert total > LIVES
    more = sum(kept.values()) - total
    outcome = (
        f"{total} entries acknowledged, none lost; {more} more were written, not yet told; "
        f"{in_midst} times a write was cut off and taken back; every record opened, its chain holds"
    )
    write_row(f"a writing process ended at any moment (seed {SEED})", ended, outcome)


def test_two_processes_write_to_one_record_and_nothing_is_lost(tmp_path):
    file, count = tmp_path / "workspace.sqlite", 15
    with ExitStack() as stack:
        running = [stack.enter_context(started(file, "TF-118_C", f"Writer {n}", count)) for n in range(2)]
        said = [one.communicate(timeout=60)[0].removeprefix("begin\n") for one in running]
    numbers = sorted(number for text in said for number in acknowledged(text))
    assert numbers == list(range(1, 2 * count + 1))
    assert check(Workspace(file), "TF-118_C", numbers, 0) == 2 * count
    written = [event.by.name for event in Workspace(file).events("TF-118_C")]
    assert {written.count(name) for name in written} == {count}
