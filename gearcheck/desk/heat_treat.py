"""The heat-treatment sheet: the furnace, the hardness that follows from it, and the heat of the grind."""

from __future__ import annotations

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.opening import opened
from gearcheck.desk.panels import furnace
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.furnace import ProcessPart
from gearcheck.desk.panels.metal import metal_html
from gearcheck.desk.panels.numbers import settling
from gearcheck.desk.panels.window import exposure_html, stock, window_html
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import StationSheet
from gearcheck.review.carburised import boost_place
from gearcheck.review.furnace_guesses import FURNACE_QUESTIONS

SHEET = "heat_treat.ipynb"
STATION = "case depth"
FURNACE_MARGIN = (
    "Fick's second law with a diffusivity that grows with carbon; the alloy counts by two factors, whose "
    "source the record names.",
    "Blue: the potential of the gas. Green points: the carbon of the surface at the end of each step; the "
    "dots between them only join them.",
    "Below: the flank in green, tip and root in grey.",
    "A prediction plans the furnace. What counts is the traverse.",
)
HARDNESS_MARGIN = (
    "Softest, full line: least core, greatest austenite, greatest loss in the temper. Hardest, broken line: "
    "the other ends. Light dashes: the record, while a draft moves.",
    "Formulas for retained austenite are extrapolated in a case: a value measured on a tooth replaces them.",
    "A depth without its criterion says nothing.",
    "No prediction decides but the creep below a mask and the heat of the grind: the margins of the case "
    "rest on what is drawn and measured.",
)
GRIND_MARGIN = (
    "A moving band of heat; tempering by temperature and time. Milliseconds are an extrapolation.",
    "The line of rehardening burn is no limit of tempering: a case tempered low softens long before it.",
    "A softened skin is found by temper etch, not by the eye.",
)
WINDOW_MARGIN = (
    "Needed: by what [methods] lets govern. Allowed: 0.4 modules, and the tip.",
    "The shares are those of all flanks of many gears, deviations taken as independent; one gear or one "
    "batch may lie to one side.",
    "The picture is one gear: nominal stock, with eccentricity and shift as the record says them. Full line: "
    "left flanks. Broken line: right flanks.",
)
EXPOSURE_MARGIN = (
    "The exposures rest on the criteria of the case-depth sheet; the one that [methods] names decides, on "
    "the case as drawn.",
)
LABORATORY_MARGIN = (
    "Asked: what the drawing and the document of acceptance say, and the material quality where it says "
    "something else.",
    "Predicted: from the softest to the hardest case. The surface is that of the ground flank; the "
    "austenite that of the surface as treated.",
    "A coupon stands for the load only if steel, section and place in the furnace are those of the tooth.",
)
NOT_ASKED = "They are asked of a record that says how the gear is carburised and ground."
PLACES = (
    ("furnace", "The furnace"),
    ("hardness", "Hardness"),
    ("grind", "The grind"),
    ("window", "What is left"),
    ("laboratory", "Laboratory"),
    ("guesses", "Three guesses"),
)


def open_heat_treat(query: str = "") -> OpenHeatTreat | RefusedHeatTreat:
    """Open the heat-treatment sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenHeatTreat or RefusedHeatTreat
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenHeatTreat(opened(query), query)
    except InputError as error:
        return RefusedHeatTreat(error)


class OpenHeatTreat(StationSheet):
    """The heat-treatment sheet with its panels; takes what `StationSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, FURNACE_QUESTIONS
    STATION = FOOT = STATION

    def _outcome(self) -> str:
        told = furnace.foretold_html(self.state.drawn)
        waits = ' class="gc-settling"' if settling(self.state) else ""
        return f"{super()._outcome()}<div{waits}>{told}</div>"

    def furnace(self) -> None:
        """Show the furnace and the carbon that it brings."""
        self._part(
            ProcessPart(
                self.state,
                lambda shown: furnace.furnace_html(shown, self.state.record),
                (furnace.course, furnace.carbon),
                self._say,
                self._act,
            ),
            FURNACE_MARGIN if self._furnace else (),
            ("boost_time", "diffuse_time") if self._two_steps else ("furnace_time",),
        )

    def hardness(self) -> None:
        """Show the hardness that is predicted."""
        self._part(
            ProcessPart(self.state, furnace.hardness_html, (furnace.hardness,), self._say),
            HARDNESS_MARGIN if self._furnace else (),
            ("temper", "case_depth") if self._furnace else (),
        )

    def grind(self) -> None:
        """Show the heat of the grind and what it softens."""
        self._part(
            ProcessPart(self.state, furnace.grind_html, (furnace.ground,), self._say),
            GRIND_MARGIN if self._grinding else (),
            ("depth_of_cut", "grind_energy", "stock") if self._grinding else (),
        )

    def window(self) -> None:
        """Show what stock, furnace and grind leave for the tooth."""
        drawn = (furnace.scale, stock)
        show_row(ProcessPart(self.state, window_html, drawn, self._say).widget, WINDOW_MARGIN)
        show_row(ProcessPart(self.state, exposure_html, (), self._say).widget, EXPOSURE_MARGIN)

    def laboratory(self) -> None:
        """Show what the laboratory measures, against what is asked and predicted."""
        show_row(ProcessPart(self.state, metal_html, (), self._say).widget, LABORATORY_MARGIN)

    def guesses(self) -> None:
        """Ask three questions of a record that says how the gear is carburised or ground."""
        if self._furnace or self._grinding:
            super().guesses()
            return
        show_row(widgets.HTML(f'<h2 id="guesses">Three guesses</h2><p>{NOT_ASKED}</p>'), ())

    @property
    def _furnace(self) -> bool:
        return self.state.record.furnace is not None

    @property
    def _two_steps(self) -> bool:
        furnace = self.state.record.furnace
        return furnace is not None and boost_place(furnace) is not None

    @property
    def _grinding(self) -> bool:
        return self.state.record.grinding is not None

    def _part(self, part: ProcessPart, margin: tuple[str, ...], keys: tuple[str, ...]) -> None:
        show_row(part.widget, margin)
        moving = sliders_of(self.state, keys, self._say)
        if moving:
            show(controls_row(moving))


class RefusedHeatTreat(RefusedRecordSheet):
    """The same without a record that can be read."""

    furnace = hardness = grind = window = laboratory = guesses = RefusedRecordSheet._nothing
