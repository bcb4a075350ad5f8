"""The case-depth sheet: what the shear asks for, what the case gives, how deep by which rule."""

from __future__ import annotations

from gearcheck.basics.errors import InputError
from gearcheck.desk.opening import Opened, opened
from gearcheck.desk.panels.band import Band
from gearcheck.desk.panels.below import BelowContact
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.depth_table import depths_html
from gearcheck.desk.panels.exposures import Exposures
from gearcheck.desk.panels.hardness_picture import HardnessPicture
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import MeshSheet
from gearcheck.desk.words import text
from gearcheck.review.case_guesses import CASE_QUESTIONS

SHEET = "case_depth.ipynb"
STATION = "case depth"
SLIDERS = (
    "torque",
    "shift_sum",
    "friction",
    "hardness",
    "core",
    "case_depth",
    "stock",
    "depth_of_cut",
    "inclusion",
)
DEPTHS_MARGIN = (
    "One of these governs, as [methods] names it: a figure of a standard or a criterion. The others are "
    "shown and never decide.",
    "All are depths at 550 HV on the finished flank at the pitch line.",
    "Steep in its constant means weak evidence.",
)
PLACES = (
    ("picture", "Hardness over depth"),
    ("below", "Below the contact"),
    ("exposures", "Criteria"),
    ("depths", "How deep"),
    ("scatter", "From gear to gear"),
    ("margins", "Margins"),
    ("guesses", "Three guesses"),
)


def open_case_depth(query: str = "") -> OpenCaseDepth | RefusedCaseDepth:
    """Open the case-depth sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenCaseDepth or RefusedCaseDepth
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenCaseDepth(opened(query), query)
    except InputError as error:
        return RefusedCaseDepth(error)


class OpenCaseDepth(MeshSheet):
    """The case-depth sheet with its panels; takes what `MeshSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, CASE_QUESTIONS
    STATION = FOOT = STATION

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self.mesh = _deepest(self)

    def picture(self) -> None:
        """Show hardness and shear stress over depth, with the sliders that move them."""
        self._row_of_mesh(HardnessPicture(self.state, lambda: self.mesh, self._say))
        show(controls_row(sliders_of(self.state, SLIDERS, self._say)))

    def below(self) -> None:
        """Show the shear stress below the contact as a map, and what the criteria make of it over depth."""
        self._row_of_mesh(BelowContact(self.state, lambda: self.mesh, self._say))
        self._row_of_mesh(Exposures(self.state, lambda: self.mesh, self._say))

    def depths(self) -> None:
        """Show the depths that are asked for, side by side."""
        depths = self._following(self._table)
        self._of_mesh.append(depths.refresh)
        show_row(depths, DEPTHS_MARGIN)
        self._row_of_mesh(Band(self.state, lambda: self.mesh, self._say))

    def _table(self, _: Folds) -> str:
        others, name = self._others(), self.state.shown.chain.meshes[self.mesh].name
        asked = f"<p>Against {text(name)}.{others}</p>" if others else ""
        return f"{depths_html(self.state, self.mesh)}{asked}"


def _deepest(sheet: MeshSheet) -> int:
    """The mesh that asks for the deepest case by the governing figure."""
    needed = [item for item in sheet.state.ghost.requirements if item.key.startswith("case.needed.")]
    places = range(len(sheet.state.ghost.chain.meshes))
    demands = [float(item.demand) if item.demand is not None else 0.0 for item in needed]
    return max(places, key=lambda place: demands[place] if place < len(demands) else 0.0)


class RefusedCaseDepth(RefusedRecordSheet):
    """The same without a record that can be read."""

    margins = picture = below = depths = guesses = RefusedRecordSheet._nothing
