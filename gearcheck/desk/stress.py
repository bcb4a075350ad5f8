"""The stress sheet: the rating as a chain down the page, with the sliders beside the numbers they move."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.guard import guarded
from gearcheck.desk.opening import Opened, opened
from gearcheck.desk.panels.advice import advice_html
from gearcheck.desk.panels.agma_table import agma_html
from gearcheck.desk.panels.along import Along
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.first_to_fail import FirstToFail
from gearcheck.desk.panels.later import Later, waiting_html
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.rating import Chained, group_html, tightest
from gearcheck.desk.panels.rating_steps import GROUPS, Group
from gearcheck.desk.panels.readings_table import beside_html, readings_html
from gearcheck.desk.panels.spent import Spent
from gearcheck.desk.panels.stress_later import Found, found_for
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import MeshSheet
from gearcheck.desk.words import text
from gearcheck.review.guesses import QUESTIONS
from gearcheck.review.results import Review
from gearcheck.review.shift_advice import KEY

SHEET = "stress.ipynb"
STATION = "stress"
READINGS_MARGIN = (
    "A margin is strength over stress as agreed: at 1 it just meets. Each cell: its change by the other "
    "reading.",
    "Under a duty the margin of a life is its torque reserve.",
    "The reading that is followed stands in the gear file, [methods.readings]; another makes a new revision.",
    "ISO and AGMA do not share their stresses: only safeties may be held side by side. AGMA decides nothing "
    "here.",
)
UNDER_A_DUTY = (
    " Flank and root are worked out here at the torque and speed of the record, as an example: what decides "
    'is the damage of all steps of the <a href="#duty">duty</a>, summed below. The highest torque, scuffing '
    "and micropitting are those of the step that is worst for each; the margin says which."
)
ADVICE_MARGIN = (
    "The sum of shifts and the centre distance are held: what one gear takes the other gives back.",
    "Balance is one aim among several: tips must not get sharp, nor roots undercut.",
)
PLACES = (
    ("margins", "Margins"),
    ("chain", "The rating"),
    ("along", "Along the path"),
    ("duty", "The duty"),
    ("readings", "Readings"),
    ("first", "What fails first"),
    ("advice", "Shift advisor"),
    ("guesses", "Three guesses"),
)


def open_stress(query: str = "") -> OpenStress | RefusedStress:
    """Open the stress sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenStress or RefusedStress
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenStress(opened(query), query)
    except InputError as error:
        return RefusedStress(error)


class OpenStress(MeshSheet):
    """The stress sheet with its panels; takes what `MeshSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, QUESTIONS
    STATION = FOOT = STATION

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        meshes = self.state.ghost.chain.meshes
        self.mesh = min(range(len(meshes)), key=lambda place: tightest(meshes[place]))
        self._later = Later(self.state, self._say, found_for)
        self._groups: list[Piece] = []
        self._lines: list[Chained] = []

    @property
    def silent(self) -> tuple[str, ...]:
        """Steps of the rating without a number though their result is there; there are none."""
        found = Chained(self.state.shown.chain.meshes[self.mesh])
        return tuple(
            step.term
            for group in GROUPS
            for step in group.steps
            if found.result(step.result, found.mesh.gear) and not found.line(step, found.mesh.gear)
        )

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind == "advise" and self._later.found is not None:
            advised = self._later.found.advice[int(what)]
            if advised.gear is not None:
                self.state.move(KEY, round(advised.gear, 2))
        else:
            super()._act(act)

    def chain(self) -> None:
        """Show the rating step by step, each group with the sliders that move it."""
        self._groups = [self._following(self._lead, on=())]
        parts: list[widgets.Widget] = [*self._groups]
        for group in GROUPS:
            piece = self._following(self._group(group), on=("shown",))
            self._groups.append(piece)
            parts.append(piece)
            moving = sliders_of(self.state, group.inputs, self._say)
            if moving:
                parts.append(controls_row(moving))
        self._of_mesh += [piece.refresh for piece in self._groups]
        show(*parts)

    def _group(self, group: Group) -> Callable[[Folds], str]:
        def build(_: Folds) -> str:
            return group_html(group, *(self._chained(one) for one in (self.state.shown, self.state.ghost)))

        return build

    def _chained(self, whole: Review) -> Chained:
        """The results of the mesh that is shown; all groups share their lines."""
        mesh = whole.chain.meshes[self.mesh]
        if not any(one.mesh is mesh for one in self._lines):
            shown = (self.state.shown.chain.meshes[self.mesh], self.state.ghost.chain.meshes[self.mesh])
            self._lines = [one for one in self._lines if any(one.mesh is kept for kept in shown)]
            self._lines.append(Chained(mesh))
        return next(one for one in self._lines if one.mesh is mesh)

    def _lead(self, _: Folds) -> str:
        chosen = self.state.shown.chain.meshes[self.mesh].name
        duty = self.state.shown.record.duty
        under = "" if duty is None else UNDER_A_DUTY
        return (
            '<div class="gc-row gc-part gc-lead"><div class="gc-main">'
            '<h2 id="chain">The rating, step by step</h2>'
            f"<p>The gear against {text(chosen)}: from the pair to the force, to the stress, to what the "
            f"metal stands. Each number is that of the calculation itself.{under}{self._others()}</p></div>"
            '<div class="gc-margin"><p>Each slider moves a draft; the record stays as it is, and its number '
            "is written beside each that moved.</p></div></div>"
        )

    def along(self) -> None:
        """Show what happens along the path of contact, chart below chart."""
        self._row_of_mesh(Along(self.state, lambda: self.mesh, self._say))

    def duty(self) -> None:
        """Show what each step of the duty spends of the life of both gears."""
        self._row_of_mesh(Spent(self.state, lambda: self.mesh, self._say))

    def readings(self) -> None:
        """Show each clause that can be read two ways, and what the other reading does to this gear."""
        self._slower(
            "readings",
            "Readings",
            lambda found, folds: (
                readings_html(found.readings) + agma_html(found.agma, folds) + beside_html(found.readings)
            ),
            READINGS_MARGIN,
        )

    def first_to_fail(self) -> None:
        """Show the torque reserve of every mode of failure over speed and over life."""
        panel = FirstToFail(self._later, self._say)
        show_row(panel.widget, panel.MARGIN)

    def advice(self) -> None:
        """Show where the profile shift would balance both gears."""
        self._slower("advice", "Shift advisor", lambda found, _: advice_html(found.advice), ADVICE_MARGIN)

    def _slower(
        self, key: str, title: str, build: Callable[[Found, Folds], str], margin: tuple[str, ...]
    ) -> None:
        """A row that follows a draft at rest; in grey while it waits."""

        def html(folds: Folds) -> str:
            said = waiting_html(self._later, lambda found: build(found, folds))
            return f'<h2 id="{key}">{title}</h2>{said}'

        piece = Piece(html, self._say, self._act)
        self._later.observe(guarded(lambda _: piece.refresh(), self._say), ["found", "waits"])
        show_row(piece, margin)


class RefusedStress(RefusedRecordSheet):
    """The same without a record that can be read."""

    silent: tuple[str, ...] = ()
    margins = chain = along = duty = readings = first_to_fail = advice = guesses = RefusedRecordSheet._nothing
