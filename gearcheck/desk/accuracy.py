"""The accuracy sheet: the teeth as measured, the class that they make, and what a class is worth."""

from __future__ import annotations

from functools import partial

from gearcheck.accuracy.inputs import TraceKind
from gearcheck.basics.errors import InputError
from gearcheck.desk.opening import Opened, opened
from gearcheck.desk.panels.allowed import allowed_html
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.download import Downloads
from gearcheck.desk.panels.later import Later
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.pitch_picture import PitchPicture
from gearcheck.desk.panels.reached_table import reached_html
from gearcheck.desk.panels.size import size_html
from gearcheck.desk.panels.trace_picture import TracePicture
from gearcheck.desk.panels.worth import Budget, class_by_class, flanks_unloaded, worth_of
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import StationSheet
from gearcheck.report.deviations import ENDINGS, deviation_stem, deviation_table
from gearcheck.review.accuracy_guesses import ACCURACY_QUESTIONS

SHEET = "accuracy.ipynb"
STATION = "accuracy"
MEASURED_MARGIN = (
    "Each deviation is the worst of its flank; the class is the finest whose tolerance it does not exceed.",
    "The class of a part is the coarsest of them. The uncertainty counts by the decision rule of the record.",
    "Tooth to tooth is for information: it makes no class of the gear.",
)
PROFILE_MARGIN = (
    "Bold: the tooth that uses most of a tolerance, between two lines as far apart as the total allows. "
    "Faint: the others. Each is moved to the middle.",
    "Broken: mean lines. Upright lines: the evaluation range. Rings: points left out, with their reason.",
    "Relief and crowning as drawn are taken off: what is drawn here is what deviates from them.",
)
HELIX_MARGIN = (
    "A helix that leans from tooth to tooth, once a turn, is a gear that wobbles: look at its mounting "
    "before the next grind.",
    "A helix that leans alike on all teeth is the lead of the machine, and shifts the contact pattern.",
)
CLASS_MARGIN = (
    "Full lines: the gear under review. Broken lines: its mates. All classes of the drawing move together; "
    "the mates keep their distance in class.",
    "The stock is what a flank at the limit of its class loses when it is ground into true.",
)
UNLOADED_MARGIN = (
    "Against a perfect mate, without load: what deflection and relief do under load stands on no sheet yet.",
    "What repeats with each tooth is heard as a tone of the mesh; what comes once a turn as a beat.",
)
SIZE_MARGIN = (
    "The thickness is what is asked; span, pins and balls are ways to measure it.",
    "Least backlash: thickest teeth, closest axes, hottest gears in the coldest housing.",
)
PLACES = (
    ("measured", "Measured"),
    ("profile", "Profile"),
    ("helix", "Helix"),
    ("pitch", "Pitch"),
    ("worth", "What a class is worth"),
    ("unloaded", "Unloaded"),
    ("size", "Size"),
    ("margins", "Margins"),
    ("guesses", "Three guesses"),
)


def open_accuracy(query: str = "") -> OpenAccuracy | RefusedAccuracy:
    """Open the accuracy sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenAccuracy or RefusedAccuracy
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenAccuracy(opened(query), query)
    except InputError as error:
        return RefusedAccuracy(error)


class OpenAccuracy(StationSheet):
    """The accuracy sheet with its panels; takes what `DraftSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, ACCURACY_QUESTIONS
    STATION = FOOT = STATION

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self._sets: dict[str, int] = {"pitch": 0, "profile": 0, "helix": 0}
        self._later = Later(self.state, self._say, worth_of)
        self._of_sets: list[PitchPicture | TracePicture] = []

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        if kind != "set":
            super()._act(act)
            return
        name, _, place = what.partition(":")
        self._sets[name] = int(place)
        for panel in self._of_sets:
            panel.follow()

    def measured(self) -> None:
        """Show what was measured against what is allowed, and offer the table with every deviation."""
        shown = self.state.shown
        measured = shown.pitch or shown.traces
        show_row(self._following(self._measured), MEASURED_MARGIN if measured else ())
        if measured:
            files = Downloads(self._say, "Every measured deviation as a table")
            name = deviation_stem(shown)
            files.offer({f"{name}.{one}": partial(self._table, one) for one in ENDINGS})
            show_row(files, ())

    def _table(self, ending: str) -> bytes:
        return deviation_table(self.state.shown, ending)

    def _measured(self, folds: Folds) -> str:
        table = folds.fold("allowed", "What each class allows", lambda: allowed_html(self.state.shown))
        return f'<h2 id="measured">Measured against allowed</h2>{reached_html(self.state.shown)}{table}'

    def profile(self) -> None:
        """Show the measured profiles, and the flank as a map where there are several across the face."""
        self._traces(TraceKind.PROFILE, PROFILE_MARGIN)

    def helix(self) -> None:
        """Show the measured helices."""
        self._traces(TraceKind.HELIX, HELIX_MARGIN)

    def _traces(self, kind: TraceKind, margin: tuple[str, ...]) -> None:
        panel = TracePicture(self.state, kind, lambda: self._sets[kind], self._say, self._act)
        self._of_sets.append(panel)
        measured = any(one.item.kind is kind for one in self.state.ghost.traces)
        show_row(panel.widget, margin if measured else ())

    def pitch(self) -> None:
        """Show the pitch as bars, as a running sum, and around the gear."""
        panel = PitchPicture(self.state, lambda: self._sets["pitch"], self._say, self._act)
        self._of_sets.append(panel)
        show_row(panel.widget, panel.MARGIN if self.state.ghost.pitch else ())

    def worth(self) -> None:
        """Show what a class is worth, with the sliders of class and relief."""
        budget = Budget(self._later, self._say)
        show_row(budget.widget, budget.MARGIN)
        moving = sliders_of(self.state, ("class", "relief"), self._say)
        if moving:
            show(controls_row(moving))
        show_row(class_by_class(self.state, self._later, self._say).widget, CLASS_MARGIN)
        show_row(flanks_unloaded(self._later, self._say).widget, UNLOADED_MARGIN)

    def size(self) -> None:
        """Show how the thickness of the teeth is measured, and the backlash cold and warm."""
        piece = self._following(lambda _: size_html(self.state.shown))
        show_row(piece, SIZE_MARGIN)


class RefusedAccuracy(RefusedRecordSheet):
    """The same without a record that can be read."""

    measured = profile = helix = pitch = worth = size = margins = guesses = RefusedRecordSheet._nothing
