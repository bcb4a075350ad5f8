"""Measured pitch of one set: bars for each flank, the running sum, and the same around the gear."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets

from gearcheck.accuracy.pitch import PitchDeviations
from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.sets import sets_html
from gearcheck.desk.state import Sheet
from gearcheck.figures.around import around_drawing, around_of
from gearcheck.figures.pitch import cumulative_drawing, flank_pitch, reach_of, single_drawing
from gearcheck.review.results import Review
from gearcheck.review.turned import TurnedPitch, tooth_at

_FLANKS = ("left", "right")
NOT_ACCEPTED = "Nothing is accepted by that: the gear may lie as far off centre on its own bore."
NO_OFFSET = " The runout is no less without it: an offset alone does not explain what was measured."
NOT_MEASURED = "No pitch has been measured yet: a section [[evidence.pitch]] in the gear file names its file."


class PitchPicture:
    """The pitch of the set that is shown.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    chosen : callable
        Gives the place of the set that is shown.
    say : Say
        Where trouble is told.
    act : callable
        Called with what was clicked.
    """

    MARGIN = (
        "Bars: each pitch against that of the class drawn. Lines: their running sum.",
        "Around the gear, tooth 1 at the top: blue is the part that comes once a turn. A gear clamped off "
        "centre shows as a circle that lies to one side, left and right flanks to different sides.",
        "Before a gear is ground again: is it the gear, or its clamping?",
    )

    def __init__(self, state: Sheet, chosen: Callable[[], int], say: Say, act: Callable[[str], None]) -> None:
        self.state, self._chosen = state, chosen
        self._bars = {flank: (SharedChart(), SharedChart()) for flank in _FLANKS}
        self._around = SharedChart()
        self._said = Piece(self._words, say, act)
        columns = [widgets.VBox(self._bars[flank]).add_class("gc-column") for flank in _FLANKS]
        pair = widgets.Box(columns).add_class("gc-pair")
        self.widget = widgets.VBox([self._said, pair, self._around])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), ["shown"])

    def follow(self) -> None:
        """Draw again, as when another set is chosen."""
        shown, place = self.state.shown, self._chosen()
        self._said.refresh()
        known = {}
        if place < len(shown.pitch):
            measured = shown.pitch[place]
            known = {flank: flank_pitch(measured, shown.chain.drawn, flank) for flank in _FLANKS}
            around = around_of(measured, shown.turned[place])
            self._around.draw(around_drawing(around) if around else None)
        drawn = [one for one in known.values() if one is not None]
        reach = reach_of(drawn) if drawn else (0.0, 0.0)
        for flank, (single, total) in self._bars.items():
            one = known.get(flank)
            single.draw(None if one is None else single_drawing(one, reach[0]))
            total.draw(None if one is None else cumulative_drawing(one, reach[1]))

    def _words(self, _: Folds) -> str:
        head = '<h2 id="pitch">Pitch</h2>'
        shown, place = self.state.shown, self._chosen()
        if place >= len(shown.pitch):
            return f"{head}<p>{NOT_MEASURED}</p>"
        which = sets_html("pitch", [one.head for one in shown.record.pitch], place)
        return f"{head}{which}{mounting_html(shown, place)}"


def _no_offset(measured: PitchDeviations, turned: TurnedPitch) -> str:
    """Warn where the offset cannot be what comes once a turn: a gear off centre has its runout from it."""
    before, after = (float(array(one.runout_um)) for one in (measured, turned.pitch))
    return NO_OFFSET if after >= before else ""


def mounting_html(shown: Review, place: int) -> str:
    """Say how much of the cumulative pitch comes once a turn, and what would be left without it.

    Parameters
    ----------
    shown : Review
        With its pitch.
    place : int
        Which set.

    Returns
    -------
    str
        HTML; empty where a tooth or the pressure angle is missing.
    """
    measured, turned = shown.pitch[place], shown.turned[place]
    waves = turned.harmonics
    if waves.eccentricity_um is None:
        return ""
    tooth = tooth_at(float(array(waves.eccentricity_deg)), array(measured.left_index_um).size)
    rest = " and ".join(
        f"{value(getattr(turned.pitch, f'{flank}_cumulative_pitch_um'), 1)} {flank} "
        f"({value(getattr(measured, f'{flank}_cumulative_pitch_um'), 1)} as measured)"
        for flank in _FLANKS
    )
    grade = None if turned.reached is None else turned.reached.overall
    made = "" if grade is None else f": class {value(grade, 0)}"
    return (
        f"<p>Both flanks together fit a gear that lies {value(waves.eccentricity_um, 1, 'µm')} off centre, "
        f"towards tooth {tooth}; {value(waves.unexplained_um, 1, 'µm')} of what comes once a turn is no "
        f"offset. With the offset taken off, the cumulative pitch would be {rest}, and the runout "
        f"{value(turned.pitch.runout_um, 1)} ({value(measured.runout_um, 1, 'µm')} as measured){made}. "
        f"{NOT_ACCEPTED}{_no_offset(measured, turned)}</p>"
        f"<p>Twice a turn, as an oval gear shows: {value(waves.left_second_um, 1)} left and "
        f"{value(waves.right_second_um, 1, 'µm')} right.</p>"
    )
