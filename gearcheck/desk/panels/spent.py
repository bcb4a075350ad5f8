"""What the duty spends of the life of flank and root: by step, and by each treatment below the knee."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import ipywidgets as widgets

from gearcheck.basics.digits import MINUS, number_text, value_text
from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import marked, notices
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.duty.damage import BelowKnee, DamageSum
from gearcheck.figures.duty import bins_drawing
from gearcheck.review.bins import damage_by_bin, life_under_duty, sums_of, torque_that_stands_for_it
from gearcheck.review.inputs import Record
from gearcheck.review.results import MeshChain
from gearcheck.stress.life import Damage

CORNER = "Damage sum, by what counts below the knee"
NO_DUTY = (
    "The record names no duty: it is rated at one torque and one speed, with an application factor for what "
    "the machines do to it. A section [duty] in the gear file, with a spectrum of torque, speed and time, "
    "has its damage summed here."
)


class Spent:
    """The damage of one mesh.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    mesh : callable
        Gives the place of the mesh that is shown.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Damage 1 is a life spent. The sum holds with each stress times the safety agreed; of "
        "both directions the larger counts.",
        "Damage grows with a high power of torque: a small sum may leave a small torque reserve. The reserve "
        "stands with the margins.",
        "Equivalent torque: held throughout, it does the same damage in as many load cycles.",
        "Each step: torque, speed, share of the time, and whether the other flank is loaded. It has load "
        "factors of its own.",
        "What stresses below the knee of the curve do is not settled: four treatments stand side by side, "
        "and the one agreed governs.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self.state, self._mesh = state, mesh
        self._charts = {damage: SharedChart() for damage in Damage}
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, *self._charts.values()])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), "shown")

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        self._said.refresh()
        shown, ghost = self.state.shown, self.state.ghost
        mesh, before = (one.chain.meshes[self._mesh()] for one in (shown, ghost))
        for damage, chart in self._charts.items():
            now = damage_by_bin(shown.record, mesh, damage)
            was = None if shown is ghost else damage_by_bin(ghost.record, before, damage)
            drawing = None if now is None else bins_drawing(now, mesh.name, was)
            chart.draw(drawing)

    def _words(self, _: Folds) -> str:
        shown = self.state.shown
        head = '<h2 id="duty">What the duty spends</h2>'
        duty, mesh = shown.record.duty, shown.chain.meshes[self._mesh()]
        if duty is None:
            return f"{head}<p>{text(NO_DUTY)}</p>"
        agreed = None if shown.record.required is None else shown.record.required.damage_sum
        least = "no sum is agreed" if agreed is None else f"a sum of {number_text(agreed)} is agreed"
        return (
            f"{head}<p>{len(duty.bins)} steps, scaled to the life required; {text(least)}, "
            f"by the treatment “{_named(duty.below_knee)}”.</p>{_table(shown.record, mesh, duty.below_knee)}"
        )


def _table(record: Record, mesh: MeshChain, agreed: BelowKnee) -> str:
    columns = tuple(_columns(mesh))
    if not columns:
        why = mesh.missing or mesh.gear.missing_root or mesh.gear.missing_flank or "a stop leaves no value"
        return f"<p>Not summed: {marked(why)}.</p>"
    head = "".join(f'<th scope="col" class="num">{text(name)}</th>' for name, *_ in columns)
    body = "".join(
        f'<tr><th scope="row">{_treated(treatment, agreed)}</th>'
        + "".join(f'<td class="num">{_worst(sums, treatment)}</td>' for *_, sums in columns)
        + "</tr>"
        for treatment in BelowKnee
    )
    lives = (_life(life_under_duty(record, sums)) for *_, sums in columns)
    equals = (
        value_text(torque_that_stands_for_it(record, damage, sums), "N·m", 3) for _, damage, sums in columns
    )
    body += _row("Life to the sum agreed", lives) + _row("Equivalent torque", equals)
    told = dict.fromkeys(notice for *_, sums in columns for one in sums for notice in one.notices)
    return (
        f'<table class="gc-table"><thead><tr><th scope="col">{CORNER}</th>{head}</tr></thead>'
        f"<tbody>{body}</tbody></table>{notices(told)}"
    )


def _row(words: str, cells: Iterator[str]) -> str:
    values = "".join(f'<td class="num">{text(cell)}</td>' for cell in cells)
    return f'<tr><th scope="row">{words}</th>{values}</tr>'


def _life(hours: float | None) -> str:
    if hours is None:
        return "no value"
    # three digits also where a number keeps its whole part
    return "no end" if hours > 1e9 else value_text(float(f"{hours:.2e}"), "h", 3)


def _treated(treatment: BelowKnee, agreed: BelowKnee) -> str:
    return f"<b>{_named(treatment)}, agreed</b>" if treatment is agreed else _named(treatment)


def _named(treatment: BelowKnee) -> str:
    """The words of the gear file, with a minus that is one."""
    return text(treatment.replace(" - ", f" {MINUS} "))


def _columns(mesh: MeshChain) -> Iterator[tuple[str, Damage, tuple[DamageSum, ...]]]:
    for damage, words in ((Damage.FLANK, "flank"), (Damage.ROOT, "root")):
        for name, member in (("gear", mesh.gear), (mesh.name, mesh.mate)):
            sums = sums_of(member, damage)
            if sums:
                yield f"{words}, {name}", damage, sums


def _worst(sums: tuple[DamageSum, ...], treatment: BelowKnee) -> str:
    """The larger of both directions."""
    known = [one.by_treatment[treatment] for one in sums]
    if any(value is None for value in known):
        return "no value"
    return number_text(max(float(array(value)) for value in known), 3)
