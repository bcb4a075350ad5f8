"""How long a long record takes, with its budget; measured with ``--benchmark-enable``, run once without."""

import pytest

from gearcheck.record.events import Entry, Kind
from gearcheck.record.workspace import Workspace
from tests.record.opened import FERN
from tests.record.writer import asking, opening


@pytest.fixture
def long_record(tmp_path, benchmark):
    """A record of 10,000 entries, half of them answers."""
    half = 5000 if benchmark.enabled else 50
    asked = [asking(FERN, f"Which lot was part {number} cut from?") for number in range(half)]
    answered = [
        Entry(kind=Kind.ANSWERED, by=FERN, body={"to": number, "text": "Lot 7."})
        for number in range(2, half + 1)
    ]
    file = tmp_path / "workspace.sqlite"
    Workspace(file).append("TF-118_C", [opening(FERN), *asked, *answered], seen=0)
    return file, 2 * half


def test_a_long_record_opens(benchmark, long_record):
    """All of it read, its chain checked, each answer with its question."""
    benchmark.extra_info["budget_ms"] = 1000
    benchmark.group = "budget 1000 ms"
    file, count = long_record
    book = benchmark(lambda: Workspace(file).book("TF-118_C"))
    assert book.last == count
    assert all(question.answer for question in book.questions[:-1])


def test_a_long_record_is_written_on(benchmark, long_record):
    """One more entry: what is there is read and checked before."""
    benchmark.extra_info["budget_ms"] = 1000
    benchmark.group = "budget 1000 ms"
    file, count = long_record
    workspace = Workspace(file)
    book = benchmark(lambda: workspace.append("TF-118_C", [asking(FERN)], seen=workspace.last("TF-118_C")))
    assert book.last > count
