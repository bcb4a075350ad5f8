"""The contact sheet: where the loaded teeth press, how unevenly they turn, and what reliefs can be had."""

from __future__ import annotations

import time
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.opening import Opened, opened
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.controls import sliders_of
from gearcheck.desk.panels.load_picture import LoadPicture
from gearcheck.desk.panels.made_contact import MadeContact
from gearcheck.desk.panels.measured_contact import MeasuredContact
from gearcheck.desk.panels.relief_advisor import ReliefAdvisor
from gearcheck.desk.panels.turning_picture import TurningPicture
from gearcheck.desk.record_sheet import RefusedRecordSheet, controls_row, show, show_row
from gearcheck.desk.station_sheet import MeshSheet
from gearcheck.review.contact_guesses import CONTACT_QUESTIONS
from gearcheck.review.stations.contact import LATER

SHEET = "contact.ipynb"
STATION = "contact"
PLACES = (
    ("load", "Where the load sits"),
    ("turning", "How unevenly it turns"),
    ("measured", "Measured teeth"),
    ("made", "Scatter of manufacture"),
    ("advisor", "Relief advisor"),
    ("margins", "Margins"),
    ("guesses", "Three guesses"),
)
MOVED = ("torque", "misalignment", "helix_crowning", "relief", "relief_start")
"""What moves the load on the flank; what the record lacks has no slider."""

WANTS = {
    "misalignment": "out_of_plane of [mesh.contact]",
    "helix_crowning": "helix_crowning of [gear.modification]",
    "relief_start": "tip_relief_start of [gear.modification]",
}
"""What gives a slider that a record has not got."""
NOTHING_AGREED = (
    "transmission_error and pattern_margin of [required] in the gear file make requirements of it."
)


def open_contact(query: str = "") -> OpenContact | RefusedContact:
    """Open the contact sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address: the record, and a draft of it.

    Returns
    -------
    OpenContact or RefusedContact
        The sheet; or one that says what is wrong, where neither record nor gear file can be read.
    """
    try:
        return OpenContact(opened(query), query)
    except InputError as error:
        return RefusedContact(error)


class OpenContact(MeshSheet):
    """The contact sheet with its panels; takes what `MeshSheet` takes."""

    SHEET, PLACES, QUESTIONS = SHEET, PLACES, CONTACT_QUESTIONS
    STATION = FOOT = STATION

    def __init__(self, found: Opened, query: str = "") -> None:
        super().__init__(found, query)
        self._last = time.monotonic()
        self._view = ContactView(self.state, lambda: self.mesh, self._say)
        self._of_mesh.append(self._view.follow)

    def _outcome(self) -> str:
        said = super()._outcome()
        if not self._here():
            return f"{said}<p>{NOTHING_AGREED}</p>"
        if any(item.reason == LATER for item in self._here()):
            waits = "What is agreed of the contact is answered when the slider rests."
            return (
                f'<p class="gc-outcome gc-settling" role="status">{waits}</p>{said[said.index("</p>") + 4 :]}'
            )
        return said

    def _heard(self, *given: Any) -> None:
        self._last = time.monotonic()
        super()._heard(*given)

    def load(self) -> None:
        """Show the pressure over the flank, with the sliders that move it."""
        panel = LoadPicture(self._view, self._others, self._say, self._act)
        self._row(panel)
        moving = sliders_of(self.state, MOVED, self._say)
        known = {change.key for change in self.state.changes}
        lacking = [section for key, section in WANTS.items() if key not in known]
        if lacking:
            *first, last = lacking
            named = f"{', '.join(first)} and {last}" if first else last
            said = f"More sliders come with {named} in the gear file."
            moving.append(widgets.HTML(f'<p class="gc-goes">{said}</p>'))
        show(controls_row(moving))

    def turning(self) -> None:
        """Show the transmission error over a mesh cycle, its orders, and both over torque."""
        self._row(TurningPicture(self._view, self._say))

    def measured(self) -> None:
        """Show the teeth that were measured, under load, over one revolution."""
        self._row(MeasuredContact(self._view, self._say))

    def made(self) -> None:
        """Show what the scatter of manufacture does, on request."""
        self._row(MadeContact(self.state, self._view, self._say, self._silence))

    def advisor(self) -> None:
        """Show what reliefs can be had, on request."""
        self._row(ReliefAdvisor(self.state, self._view, self._say, self._silence))

    def _silence(self) -> float:
        """For how many seconds the page was not heard of."""
        return time.monotonic() - self._last

    def _row(self, panel: Any) -> None:
        show_row(panel.widget, panel.MARGIN)


class RefusedContact(RefusedRecordSheet):
    """The same without a record that can be read."""

    load = turning = measured = made = advisor = margins = guesses = RefusedRecordSheet._nothing
