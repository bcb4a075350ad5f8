"""The furnace and the grind: charts and tables of what they are predicted to leave of the case."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import ipywidgets as widgets
import numpy as np

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.furnace_times import mask_html, times_html
from gearcheck.desk.panels.numbers import marked, settling, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.tooth_places import places_html
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import capital, text
from gearcheck.figures.case_scale import case_scale, case_scale_drawing, deepest_mesh
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.furnace import carbon_drawing, course_drawing, ground_drawing, predicted_drawing
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.hardening.profile import CRITERION_HV
from gearcheck.review.inputs import Record
from gearcheck.review.results import Review
from gearcheck.review.treated import Ground, Predicted, Treated, criteria

NOT_SAID = (
    "The record does not say how the gear is carburised: sections [gear.furnace] and [[gear.furnace.step]] "
    "in the gear file are missing, so that nothing is predicted."
)
NOT_GROUND = (
    "The record does not say how the gear is ground: a section [gear.grinding] in the gear file, with wheel, "
    "cut, speed and energy, shows whether its heat reaches the case."
)
Draw = Callable[[Review, Predicted | None, Predicted | None], Drawing | None]
"""Of what is shown, its prediction, and that of the record where a draft has moved it."""


class ProcessPart:
    """One part of the sheet: its words, and the charts below them.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    words : callable
        Gives the HTML for a review.
    draw : sequence of callable
        Each gives a drawing, or None.
    say : Say
        Where trouble is told.
    act : callable, optional
        Called with what was clicked.
    """

    def __init__(
        self,
        state: Sheet,
        words: Callable[[Review], str],
        draw: tuple[Draw, ...],
        say: Say,
        act: Callable[[str], None] | None = None,
    ) -> None:
        self.state, self._build, self._draw = state, words, draw
        self._charts = [SharedChart() for _ in draw]
        self._said = Piece(self._words, say, act)
        self.widget = widgets.VBox([self._said, *self._charts])
        self._follow(None)
        state.observe(guarded(self._follow, say), ["shown", "settled"])

    def _words(self, _: Folds) -> str:
        html = self._build(self.state.drawn)
        if not settling(self.state):
            return html
        head, end, said = html.partition("</h2>")  # the title does not wait
        return f'{head}{end}<div class="gc-settling">{said}</div>'

    def _follow(self, _: Any) -> None:
        shown = self.state.drawn
        record = self.state.ghost.predicted if self.state.draft else None
        self._said.refresh()
        for chart, draw in zip(self._charts, self._draw, strict=True):
            drawing = draw(shown, shown.predicted, record)
            chart.draw(drawing)


def furnace_html(shown: Review, record: Record | None = None) -> str:
    """Return what is said of the furnace and the carbon that it brings; the record is that of a draft."""
    head = '<h2 id="furnace">The furnace</h2>'
    found = None if shown.predicted is None else shown.predicted.treated
    if found is None:
        return f"{head}<p>{_why(shown)}</p>"
    furnace = shown.record.furnace
    assert furnace is not None
    hours = sum(float(array(step.hours)) for step in furnace.steps)
    depth = found.carbon.case_depth_mm
    reached = "is nowhere reached" if depth is None else f"is reached at {value(depth, 2, 'mm')}"
    return (
        f"{head}<p>{len(furnace.steps)} steps, {value(hours, 1, 'h')} in all. At the end the surface holds "
        f"{value(found.carbon.surface_carbon_wt, 2, '%')} of carbon; "
        f"{value(found.carbon.criterion_carbon_wt, 2, '%')} {reached}. "
        f"{value(found.carbon.mass_gain_g_m2, 0, 'g/m²')} of carbon is taken up.</p>"
        f"{times_html(shown, record)}{mask_html(shown)}"
    )


def foretold_html(shown: Review) -> str:
    """Return in one sentence whether the furnace is predicted to make the case drawn; empty without one."""
    found = None if shown.predicted is None else shown.predicted.treated
    case = shown.record.gear.case
    if found is None or case is None:
        return ""
    made = _made(found, case)
    return f"<p>As the furnace is written down, {made}. A prediction decides nothing; the traverse does.</p>"


def _made(found: Treated, case: CaseSpecification) -> str:
    """Whether the case predicted is the one drawn as treated."""
    low, high = found.case_depths_mm.tolist()
    least, most = float(case.as_treated_min_mm), float(case.as_treated_max_mm)
    # without a value neither end is known to lie inside
    told = _unread(found) or _inside(low, high, least, most)
    return f"{told}; {value(least, 2)} to {value(most, 2, 'mm')} is drawn as treated"


def hardness_html(shown: Review) -> str:
    """Return what is said of the hardness predicted, with a table of the depth by each criterion."""
    head = '<h2 id="hardness">The hardness that follows</h2>'
    found = None if shown.predicted is None else shown.predicted.treated
    if shown.predicted is None or found is None:
        return f"{head}<p>No hardness follows without a prediction of the carbon.</p>"
    rows = "".join(
        f'<tr><th scope="row">{text(name)}</th><td class="num">{low}</td><td class="num">{high}</td></tr>'
        for name, low, high in _depths(found)
    )
    columns = (
        '<tr><th scope="col">Case depth at</th><th scope="col" class="num">softest</th>'
        '<th scope="col" class="num">hardest</th></tr>'
    )
    surface = f"{value(found.softest_HV[0], 0)} to {value(found.hardest_HV[0], 0, 'HV')}"
    core = f"{value(found.core.least_HV, 0)} to {value(found.core.greatest_HV, 0, 'HV')}"
    austenite = (
        f"{value(array(found.austenite.least_percent).flat[0], 0)} to "
        f"{value(array(found.austenite.greatest_percent).flat[0], 0, '%')}"
    )
    return (
        f"{head}<p>Quenched and tempered, the surface comes to {surface}, the core to {core}; {austenite} of "
        f"retained austenite stays at the surface. {_against(shown, found)}</p>"
        f'<table class="gc-table"><thead>{columns}</thead><tbody>{rows}</tbody></table>'
        f"{places_html(shown.predicted)}"
    )


def _depths(found: Treated) -> Iterator[tuple[str, str, str]]:
    for place, (name, _) in enumerate(criteria()):
        low, high = (array(one.case_depth_mm)[place] for one in found.depths)
        yield name, _reached(low), _reached(high)


def _reached(depth: float) -> str:
    return "not reached" if np.isnan(depth) else value(depth, 2, "mm")


def _against(shown: Review, found: Treated) -> str:
    """Whether the furnace is predicted to meet the window drawn, and what it holds."""
    case, furnace = shown.record.gear.case, shown.record.furnace
    if case is None or furnace is None:
        return ""
    window = float(case.as_treated_max_mm) - float(case.as_treated_min_mm)
    scatter = float(array(furnace.depth_scatter_mm))
    fits = "fits" if 2 * scatter <= window else "does not fit"
    return (
        f"{capital(_made(found, case))}. The furnace holds ±{value(scatter, 2, 'mm')} about its middle, "
        f"which {fits} the window of {value(window, 2, 'mm')}."
    )


def _unread(found: Treated) -> str:
    """Why 550 HV gives no depth at one of the ends; empty where both are read."""
    told, end = [], value(float(found.depth_mm[-1]), 2, "mm")
    for name, one, hardness in zip(
        ("softest", "hardest"), found.depths, (found.softest_HV, found.hardest_HV), strict=True
    ):
        if not np.isnan(array(one.case_depth_mm)[0]):
            continue
        if np.isnan(hardness).any():
            told.append(f"of the {name} case no hardness follows")
        elif hardness[-1] >= CRITERION_HV:
            told.append(f"the {name} case is still harder than {CRITERION_HV:.0f} HV at {end}")
        else:
            told.append(f"the {name} case nowhere reaches {CRITERION_HV:.0f} HV")
    return f"the prediction does not stay inside the window drawn, for {' and '.join(told)}" if told else ""


def _inside(low: float, high: float, least: float, most: float) -> str:
    """Whether the depths predicted at 550 HV lie in the window drawn."""
    where = "inside"
    if high < least or low > most:
        where = "outside"
    elif low < least or high > most:
        where = "partly outside"
    return (
        f"the case predicted, {value(low, 2)} to {value(high, 2, 'mm')} at 550 HV, lies {where} the window "
        "drawn"
    )


def grind_html(shown: Review) -> str:
    """Return what is said of the heat of the grind."""
    head = '<h2 id="grind">The grind</h2>'
    found = None if shown.predicted is None else shown.predicted.ground
    if found is None:
        return f"{head}<p>{NOT_GROUND}</p>"
    heat = found.heat
    if heat.surface_temperature_C is None:
        why = " ".join(text(notice.text) for notice in heat.stops)
        return (
            f"{head}<p>No temperature follows for this pass, so that nothing is said of its heat. {why}</p>"
        )
    return (
        f"{head}<p>The pass heats the flank to {value(heat.surface_temperature_C, 0, '°C')} for "
        f"{value(1000 * float(array(heat.contact_time_s)), 1, 'ms')}; it takes "
        f"{value(100 * float(array(heat.burn_share)), 0, '%')} of the energy that rehardens the skin. "
        f"{_softened(found)}{_safe(found)}</p>"
    )


def _softened(found: Ground) -> str:
    soft = found.softening
    if soft is None:
        if found.limit is None:
            return "Without [gear.furnace] nobody knows the temper that it would have to pass. "
        return "No hardness is predicted that it could soften. "
    depth, fresh = float(array(soft.softened_depth_mm)), float(array(soft.rehardened_depth_mm))
    if depth == 0:
        return "It does not pass the temper of the case: nothing softens. "
    deepest = float(array(soft.depth_mm)[-1])
    down = f"{'more than ' if depth >= deepest else ''}{value(depth, 3, 'mm')}"
    losses = array(soft.before_HV) - array(soft.hardness_HV)
    lost = "" if np.isnan(losses).all() else f", and takes up to {value(float(np.nanmax(losses)), 0, 'HV')}"
    if fresh > 0:
        below = f"Below it the case is tempered again, down to {down}{lost}. " if fresh < deepest else ""
        return (
            f"A skin of {value(fresh, 3, 'mm')} rehardens: new, brittle martensite, whose hardness counts "
            f"for nothing. {below}"
        )
    return f"It tempers the case again, down to {down}{lost} at the surface. "


def _safe(found: Ground) -> str:
    limit = found.limit
    if limit is None:
        return ""
    if limit.largest is None:
        if limit.lowest is None or any(notice.key == "grind_limit.unknown" for notice in limit.stops):
            return "A depth of cut that keeps the hardness cannot be found: the finest has no temperature."
        return "No depth of cut looked at would keep the hardness within what a test does not see."
    return (
        f"Up to a depth of cut of {value(limit.largest, 4, 'mm')} the loss stays within what a hardness test "
        "does not see."
    )


def _why(shown: Review) -> str:
    if shown.record.furnace is None:
        return NOT_SAID
    if shown.predicted is None:
        return "The prediction is being worked out."
    return f"Nothing is predicted: {marked(shown.predicted.no_treated)}."


def course(shown: Review, found: Predicted | None, _: Predicted | None) -> Drawing | None:
    """The carbon over time; None without a prediction."""
    furnace, treated = shown.record.furnace, None if found is None else found.treated
    return None if treated is None or furnace is None else course_drawing(furnace, treated)


def carbon(_: Review, found: Predicted | None, record: Predicted | None) -> Drawing | None:
    """The carbon over depth; None without a prediction."""
    was = None if record is None else record.treated
    if found is None or found.treated is None:
        return None
    return carbon_drawing(found.treated, was, found.places[1:])


def hardness(shown: Review, found: Predicted | None, record: Predicted | None) -> Drawing | None:
    """The hardness over depth; None without a prediction."""
    was = None if record is None else record.treated
    if found is None or found.treated is None:
        return None
    return predicted_drawing(found.treated, shown.record.gear.case, was)


def ground(_: Review, found: Predicted | None, __: Predicted | None) -> Drawing | None:
    """The hardness after the grind; None where no grind is given."""
    return None if found is None or found.ground is None else ground_drawing(found.ground)


def scale(shown: Review, _: Predicted | None, __: Predicted | None) -> Drawing | None:
    """Every case depth on one scale, for the mesh that asks for the deepest; None where no case is drawn."""
    depths = case_scale(shown, deepest_mesh(shown))
    return case_scale_drawing(depths) if depths else None
