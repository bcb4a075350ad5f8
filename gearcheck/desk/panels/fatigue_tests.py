"""What was tested: how many, level by level, what failed, what ran out, what was left out and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.methods import Level
from gearcheck.basics.numbers import Array, array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import marked, notices, value, whole
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.fatigue.checks import LevelTable
from gearcheck.review.fatigue import FatigueLife
from gearcheck.review.fatigue_inputs import LoadKind
from gearcheck.review.words import lower_first

WAITS = '<p class="gc-settling">Being worked out</p>'
_LOADS = {LoadKind.FORCE: "the force of the jaws", LoadKind.TORQUE: "the torque"}
_UNITS = {LoadKind.FORCE: "force, kN", LoadKind.TORQUE: "torque, N·m"}
NO_TESTS = (
    "The record holds no tests of specimens: [[fatigue.tests]] of the gear file names who tested what, and "
    "the "
    "file of the specimens."
)


class FatigueTested:
    """The specimens of the tests that are shown.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    others : callable
        Gives the buttons of other tests.
    say : Say
        Where trouble is told.
    act : callable
        Called with what was clicked.
    """

    MARGIN = (
        "A run-out is a specimen that was sound when it was taken out. It is no failure and no life: it says "
        "that the life is longer, and counts as that.",
        "Specimens are left out with a reason only, and each is named.",
        "Stresses within 0.5 % of the lowest of them are one level.",
    )

    def __init__(
        self, view: FatigueView, others: Callable[[], str], say: Say, act: Callable[[str], None]
    ) -> None:
        self._view, self._others = view, others
        self.widget = Piece(self._html, say, act)
        view.observe(guarded(lambda _: self.widget.refresh(), say), "moved")

    def _html(self, folds: Folds) -> str:
        head = '<h2 id="tests">What was tested</h2>'
        life = self._view.life
        if life is None:
            return head + nothing(self._view)
        said = "".join(f"<p>{line}</p>" for line in _sentences(life))
        if life.levels is None:
            return f"{head}<p>{marked(life.reason)}</p>"
        told = life.levels.notices
        first = notices(one for one in told if one.level is not Level.NOTE)
        more = notices(one for one in told if one.level is Level.NOTE)
        table = folds.fold("levels", _levels(life.levels), lambda: _table(life))
        return f"{head}{said}{self._others()}{first}{more}{table}"


def nothing(view: FatigueView) -> str:
    """Say why there is nothing to show: no tests, or not yet."""
    return WAITS if view.state.record.fatigue is not None else f"<p>{NO_TESTS}</p>"


def _levels(table: LevelTable) -> str:
    count = array(table.stress_MPa).size
    return f"Level by level, {count} level{'s'[: count != 1]}"


def _sentences(life: FatigueLife) -> Iterator[str]:
    tests, levels = life.tests, life.levels
    total = len(tests.table.specimen)
    yield (
        f"{total} specimens of the tooth {tests.place} were tested {_on(life)} ({text(tests.by)}; "
        f"{whole(tests.date)}), each to failure or to {number_text(tests.run_out_cycles, 2)} cycles."
    )
    if levels is None:
        return
    counted, failed = levels.data.count, int(levels.data.failed.sum())
    apart = total - len(tests.excluded) - counted
    yield (
        f"<b>{failed} failed, {counted - failed} ran out</b>, {_range(levels)}."
        f"{_left_out(len(tests.excluded), apart)}{_shared(levels)}"
    )
    if life.stress.steps:
        method = life.stress.steps[-1][1].method
        yield (
            f"Stress is worked out from {_LOADS[tests.table.load_kind]}: {text(lower_first(method.title))}, "
            f"{whole(method.cite)} ({method.status})."
        )


def _range(levels: LevelTable) -> str:
    stress = array(levels.stress_MPa)
    if stress.size == 1:
        return f"all at {value(stress[0], 0, 'MPa')}"
    ends = f"{value(stress.min(), 0)} to {value(stress.max(), 0, 'MPa')}"
    return f"on {stress.size} levels from {ends}; {levels.mixed or 'none'} of them hold failures and run-outs"


def _on(life: FatigueLife) -> str:
    return "in a pulsator" if life.tests.rig == "pulsator" else "as running gears"


def _left_out(excluded: int, apart: int) -> str:
    said = ""
    if excluded:
        said += f" {excluded} {'is' if excluded == 1 else 'are'} left out with a reason."
    if apart:
        said += f" {apart} tested again after running out {'stands' if apart == 1 else 'stand'} apart."
    return said


def _shared(levels: LevelTable) -> str:
    gears = len(set(levels.data.gears))
    if not gears or gears == levels.data.count:
        return ""
    return f" Their teeth come from {gears} gears, which share heat, furnace load and grind."


def _loads(life: FatigueLife, levels: Array) -> dict[int, str]:
    """The load behind each level, as a cell of its row; none where the file gives stresses."""
    table, stress = life.tests.table, life.stress.stress_MPa
    if table.load_kind is LoadKind.STRESS or stress is None:
        return {}
    scale, decimals = (1e-3, 2) if table.load_kind is LoadKind.FORCE else (1.0, 0)
    nearest = np.argmin(np.abs(stress[:, None] / levels - 1.0), axis=1)
    of_level = [float(np.median(table.load[nearest == place])) for place in range(levels.size)]
    return {
        place: f'<td class="num">{value(scale * load, decimals)}</td>' for place, load in enumerate(of_level)
    }


def _table(life: FatigueLife) -> str:
    levels = life.levels
    assert levels is not None
    columns = (levels.specimens, levels.failures, levels.run_outs)
    stress = array(levels.stress_MPa)
    first, last = array(levels.first_failure_cycles), array(levels.last_cycles)
    loads = _loads(life, stress)
    rows = []
    for place in range(stress.size)[::-1]:
        counts = "".join(f'<td class="num">{value(array(one)[place], 0)}</td>' for one in columns)
        failure = "none" if np.isnan(first[place]) else number_text(float(first[place]), 3)
        rows.append(
            f'<tr><th scope="row" class="num">{value(stress[place], 0)}</th>{loads.get(place, "")}{counts}'
            f'<td class="num">{failure}</td><td class="num">{number_text(float(last[place]), 3)}</td></tr>'
        )
    names = (
        "stress σ, MPa",
        *((_UNITS[life.tests.table.load_kind],) if loads else ()),
        "specimens",
        "failed",
        "ran out",
        "first failure, cycles",
        "longest, cycles",
    )
    head = "".join(f'<th scope="col" class="num">{name}</th>' for name in names)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table>'
