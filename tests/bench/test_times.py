"""How long things take, each with its budget; measured with ``--benchmark-enable``, run once without it.

A budget is held by reading the table, not by a test: a busy machine must not fail a build.
"""

import subprocess
import sys

import numpy as np
import pytest

from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.remedies import remedies
from gearcheck.review.reserves import reserve_factors
from gearcheck.review.settled import settled
from gearcheck.review.trade import trade
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def record():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def within(benchmark, milliseconds):
    benchmark.extra_info["budget_ms"] = milliseconds
    benchmark.group = f"budget {milliseconds} ms"


@pytest.mark.parametrize(
    "arguments", [("-c", "import gearcheck"), ("-m", "gearcheck", "--help")], ids=" ".join
)
def test_start(benchmark, arguments):
    within(benchmark, 300)
    done = benchmark(subprocess.run, [sys.executable, *arguments], capture_output=True, check=True)
    assert not done.stderr


def test_live_pass(benchmark, record):
    """All closed forms, all requirements, all reserves: what follows a slider."""
    within(benchmark, 50)
    whole = benchmark(review, record, with_settled=False)
    assert all(item.reserve for item in whole.requirements if item.scale == "torque reserve")


def test_cold_review(benchmark):
    """A whole new process, from the gear file to the outcome, the slower work included."""
    within(benchmark, 1000)
    code = (
        "from gearcheck.review.gear_file import read_gear_file; from gearcheck.review.whole import review;"
        f"print(len(review(read_gear_file({str(scenarios() / 'tunnel_fan' / 'gear.toml')!r})).settled))"
    )
    done = benchmark(subprocess.run, [sys.executable, "-c", code], capture_output=True, check=True)
    assert done.stdout.strip() == b"1"


def test_required_depth(benchmark, record):
    """The solved case depth with its own torque reserve."""
    within(benchmark, 250)
    (found,) = benchmark(settled, record, calculate(record))
    assert found.required.depth_mm > 0


def test_trade_table(benchmark, record):
    """One step of each input against every reserve."""
    within(benchmark, 500)
    assert len(benchmark(trade, record).reserves) >= 4


def test_reserves_of_100_variants(benchmark, record):
    within(benchmark, 2000)
    widths = np.linspace(0.8, 1.2, 100 if benchmark.enabled else 5)[:, None]
    varied = changed(record, {"face_width": widths * array(record.gear.tooth.face_width_mm)})
    factors = benchmark(reserve_factors, varied)
    assert {found.shape for found in factors.values()} == {(widths.size,)}


def test_remedies_of_one_requirement(benchmark, record):
    within(benchmark, 1000)
    assert benchmark(remedies, record, "stress.root.wheel.gear")


def test_tolerance_study(benchmark, record):
    """The closed-form ratings of 100,000 gears in one call."""
    within(benchmark, 2000)
    size = 100_000 if benchmark.enabled else 1000
    spread = np.random.default_rng(1).normal(1.0, 0.01, size)
    varied = changed(
        record,
        {
            "torque": spread * array(record.meshes[0].torque_Nm),
            "face_width": spread[::-1] * array(record.gear.tooth.face_width_mm),
        },
    )
    chain = benchmark.pedantic(calculate, (varied,), rounds=3 if benchmark.enabled else 1)
    assert array(chain.meshes[0].gear.root_safety.safety).shape == (size,)


@pytest.fixture(scope="module")
def told(tmp_path_factory):
    """A record just opened, with its workspace."""
    from gearcheck.record.events import Person
    from gearcheck.record.steps import open_record
    from gearcheck.record.workspace import Workspace

    workspace = Workspace(tmp_path_factory.mktemp("bench") / "workspace.sqlite")
    read = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    return workspace, open_record(workspace, read, by=Person(name="A. Fern"))


def test_report(benchmark, told):
    """The executed notebook, with its charts and workings; that it can be made is tested in tests/report."""
    if not benchmark.enabled:
        pytest.skip("takes long: it runs where it is measured")
    from gearcheck.record.keeping import review_of
    from gearcheck.report.cells import notebook_report

    within(benchmark, 2000)
    workspace, book = told
    assert benchmark.pedantic(notebook_report, (review_of(workspace, book), book), rounds=3, warmup_rounds=1)


def test_pdf(benchmark, told):
    """The PDF of a report that is there; that one can be printed is tested in tests/report."""
    if not benchmark.enabled:
        pytest.skip("takes long: it runs where it is measured")
    from gearcheck.record.sealed import read_notebook
    from gearcheck.report.pdf import pdf_report
    from gearcheck.report.release import signed_notebook

    within(benchmark, 2000)
    notebook = read_notebook(signed_notebook(*told))
    # once: what was printed before is remembered, and a second round would measure that
    made = benchmark.pedantic(pdf_report, (notebook,))
    assert made.startswith(b"%PDF-")


def test_export(benchmark, told, tmp_path_factory):
    """Notebook, page, PDF and archive of a record, its PDF printed before; tested in tests/report."""
    if not benchmark.enabled:
        pytest.skip("takes long: it runs where it is measured")
    from gearcheck.report.release import export

    within(benchmark, 5000)
    folder = tmp_path_factory.mktemp("out")
    assert len(benchmark.pedantic(export, (*told, folder), rounds=3).paths) == 4
