"""What is said below the furnace: the times that would bring the case drawn, and what creeps below a mask."""

from __future__ import annotations

from gearcheck.basics.digits import NO_BREAK
from gearcheck.basics.numbers import array
from gearcheck.desk.panels.numbers import marked, value
from gearcheck.desk.words import text
from gearcheck.hardening.times import CarburisingTimes
from gearcheck.review.changes import open_changes
from gearcheck.review.inputs import Record
from gearcheck.review.masked import masked
from gearcheck.review.results import Review, stop_words
from gearcheck.review.treated import Treated
from gearcheck.review.wanted_times import WantedTimes

SAME_H = 0.02


def times_html(shown: Review, record: Record | None = None) -> str:
    """Return the boost and diffuse times that would bring what is wanted; empty where nothing is.

    Parameters
    ----------
    shown : Review
        What is shown.
    record : Record, optional
        The record that a draft moves, where another is shown.

    Returns
    -------
    str
        HTML with a button that drafts both times, as far as a what-if goes.
    """
    predicted = shown.predicted
    if predicted is None or predicted.treated is None or predicted.wanted is None:
        return ""
    wanted = predicted.wanted
    times = wanted.times
    if times is None or times.boost_hours is None or times.diffuse_hours is None:
        why = wanted.reason or stop_words(times)
        return f"<p>No times of boost and diffuse follow: {marked(why)}</p>"
    return f"<p>{_times(record or shown.record, wanted, times)} {_which(times, predicted.treated)}</p>"


def _times(record: Record, wanted: WantedTimes, times: CarburisingTimes) -> str:
    boost, diffuse = (float(array(one)) for one in (times.boost_hours, times.diffuse_hours))
    said = (
        f"{value(boost, 1, 'h')} of boost and {value(diffuse, 1, 'h')} of diffuse would bring "
        f"{value(times.wanted_depth_mm, 2, 'mm')} at 0.35{NO_BREAK}% of carbon and "
        f"{value(times.wanted_surface_carbon_wt, 2, '%')} at the surface; "
    )
    if abs(boost - wanted.boost_h) <= SAME_H and abs(diffuse - wanted.diffuse_h) <= SAME_H:
        return f"{said}so long they are here."
    here = f"here they are {value(wanted.boost_h, 1, 'h')} and {value(wanted.diffuse_h, 1, 'h')}."
    return f"{said}{here} {_button(record, boost, diffuse)}"


def _button(record: Record, boost: float, diffuse: float) -> str:
    """A draft with both times; none where a what-if does not go so far."""
    known = {change.key: change for change in open_changes(record)}
    moved = {"boost_time": round(boost, 2), "diffuse_time": round(diffuse, 2)}
    ends = {key: known[key].bounds(record) for key in moved if key in known}
    if len(ends) < len(moved) or any(
        not ends[key][0] <= hours <= ends[key][1] for key, hours in moved.items()
    ):
        return "A what-if does not go so far."
    act = "&".join(f"{key}={hours!r}" for key, hours in moved.items())
    return f'<button type="button" class="gc-do" data-act="try:{text(act)}">try both</button>'


def _which(times: CarburisingTimes, found: Treated) -> str:
    """Which depth it is, and why the hardness depth is another."""
    low, high = found.case_depths_mm.tolist()
    here = "" if low != low or high != high else f", here {value(low, 2)} to {value(high, 2, 'mm')}"
    return (
        f"{value(times.wanted_depth_mm, 2, 'mm')} is the middle of the window drawn as treated, taken as the "
        f"depth by carbon on the flank; the drawing means the depth at 550{NO_BREAK}HV{here}. How much "
        f"carbon gives 550{NO_BREAK}HV depends on alloy, quench and temper."
    )


def mask_html(shown: Review) -> str:
    """Return how far carbon creeps below the mask; empty where there is none, or its creep is not known."""
    mask, found = shown.record.mask, masked(shown.record)
    if mask is None or found is None or found.creep is None or found.creep.creep_mm is None:
        return ""
    creep, drawn = found.creep, float(array(mask.distance_mm))
    least = float(array(creep.least_distance_mm))
    return (
        f"<p>{value(creep.carbon_wt, 2, '%')} of carbon creeps {value(creep.creep_mm, 2, 'mm')} in below the "
        f"edge of the mask; with {value(creep.edge_tolerance_mm, 2, 'mm')} of tolerance of that edge, what "
        f"must stay soft has to lie {value(least, 2, 'mm')} away. {value(drawn, 2, 'mm')} is drawn"
        f"{'' if drawn >= least else ', which is too near'}.</p>"
    )
