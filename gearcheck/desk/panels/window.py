"""What is left for the tooth: the window of the drawing, the case left, and the exposure of each profile."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.numbers import Number, array
from gearcheck.desk.panels.exposures import NOTHING
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.words import text
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.exposures import short_name
from gearcheck.figures.stock import stock_drawing
from gearcheck.gear.form import InternalFormClearance
from gearcheck.hardening.case_window import CaseWindow
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.residual import ResidualStress
from gearcheck.hardening.stock import GroundCase
from gearcheck.inspection.route import route
from gearcheck.review.balance import Balance, Held
from gearcheck.review.inputs import StressState
from gearcheck.review.measured_stress import is_of_flank, stress_name
from gearcheck.review.results import Review
from gearcheck.review.stock_left import SHARES
from gearcheck.review.treated import Predicted

NO_WINDOW = (
    "What the furnace holds is not said: [gear.furnace] with its depth_scatter shows whether the window of "
    "the drawing leaves it room."
)
SHOWN = (Criterion.YIELDING, Criterion.SHEAR_AMPLITUDE, Criterion.INCLUSIONS, Criterion.DANG_VAN)


def window_html(shown: Review) -> str:
    """Return what is said of the window of the drawing, of the case left, and of the root form."""
    head = '<h2 id="window">What is left for the tooth</h2>'
    found = shown.balance
    if found is None:
        return head
    window = f"<p>{NO_WINDOW}</p>" if found.window is None else f"<p>{_window(shown, found.window)}</p>"
    return f"{head}{window}{_left(shown, found)}{_roots(shown)}"


def stock(shown: Review, _: Predicted | None, __: Predicted | None) -> Drawing | None:
    """The stock of each tooth; None where the record says nothing of the set-up."""
    case, found = shown.record.gear.case, None if shown.balance is None else shown.balance.teeth
    return None if found is None or case is None else stock_drawing(found, case)


def _window(shown: Review, found: CaseWindow) -> str:
    need, most = value(found.finished_min_mm, 2), value(found.finished_max_mm, 2, "mm")
    said = f"A finished case of {need} to {most} is needed and allowed. "
    if found.stops:
        return said + " ".join(text(notice.text) for notice in found.stops)
    case = shown.record.gear.case
    drawn = (
        ""
        if case is None
        else f"; {value(case.as_treated_min_mm, 2)} to {value(case.as_treated_max_mm, 2, 'mm')} is drawn"
    )
    return (
        f"{said}With the stock of both flanks{_curved(found)} the drawing may ask for "
        f"{value(found.least_mm, 2)} to "
        f"{value(found.largest_mm, 2, 'mm')} as treated{drawn}. The furnace takes "
        f"{value(2 * float(array(found.furnace_tolerance_mm)), 2, 'mm')} of it and leaves "
        f"{value(found.spare_mm, 2, 'mm')} to spare."
    )


def _curved(found: CaseWindow) -> str:
    """Whether tip and root count as they are predicted."""
    return "" if found.root_min_mm is None else ", and tip and root as predicted,"


def _left(shown: Review, found: Balance) -> str:
    """The case left on each flank, when the furnace aims at the middle of what is drawn."""
    flanks = [(name, one) for name, one in (("left", found.left), ("right", found.right)) if one is not None]
    if not flanks:
        return ""
    case = shown.record.gear.case
    least = "" if case is None else f" {value(case.finished_min_mm, 2, 'mm')}"
    rows = "".join(_flank(name, one) for name, one in flanks)
    heads = "".join(f'<th scope="col" class="num">{100 * share:.0f} % below</th>' for share in SHARES)
    return (
        "<p>Aimed at the middle of the window drawn, this is the case left over all flanks of many gears, "
        "its spread as one standard deviation. "
        f"{text(' '.join(found.counted))}</p>"
        '<table class="gc-table"><thead><tr><th scope="col">Flank</th>'
        '<th scope="col" class="num">mean</th><th scope="col" class="num">spread</th>'
        f'{heads}<th scope="col" class="num">under{least}</th>'
        f'<th scope="col" class="num">not cleaned up</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _flank(name: str, found: GroundCase) -> str:
    cells = "".join(
        f'<td class="num">{value(depth, 2, "mm")}</td>' for depth in array(found.quantile_mm).ravel()
    )
    return (
        f'<tr><th scope="row">{name}</th><td class="num">{value(found.mean_mm, 2, "mm")}</td>'
        f'<td class="num">{value(found.deviation_mm, 3, "mm")}</td>{cells}'
        f'<td class="num">{_share(found.share_below)}</td>'
        f'<td class="num">{_share(found.share_uncut)}</td></tr>'
    )


def _share(given: Number) -> str:
    share = 100 * float(array(given))
    return "under 0.1 %" if share < 0.1 else f"{share:.1f} %"


def _roots(shown: Review) -> str:
    """What the range of stock leaves between the active profile and the fillet of the gear under review."""
    known = [
        (float(array(one.clearance_mm)), mesh.name, one)
        for mesh in shown.chain.meshes
        if (one := mesh.gear.clearance).clearance_mm is not None
    ]
    if not known:
        return ""
    least, name, found = min(known, key=lambda one: one[:2])
    against = f" against {text(name)}" if len(known) > 1 else ""
    if isinstance(found, InternalFormClearance):
        said = f"{value(least, 3, 'mm')} on the diameter from the cutter that is given"
    else:
        at = value(found.stock_min_mm, 3, "mm")
        said = f"{value(least, 3, 'mm')} on the diameter, at the smallest stock of {at}"
    below = " No clean involute is left down to its start." if least < 0 else ""
    step = float(array(found.step_mm))
    foot = (
        f"The largest stock exceeds the protuberance and leaves a grinding step of up to "
        f"{value(step, 3, 'mm')} at the foot of the flank."
        if step > 0
        else "The largest stock stays within the protuberance: grinding leaves no step."
    )
    return (
        f"<p>The clearance of the root form circle to the active profile{against} is smallest over the range "
        f"of stock with {said}.{below} {foot}</p>"
    )


def exposure_html(shown: Review) -> str:
    """Return what is said of the exposure of each profile below the surface, by each criterion."""
    found = shown.balance
    if found is None:
        return ""
    if not found.held:
        return f"<p>{NOTHING}</p>"
    heads = "".join(f'<th scope="col" class="num">{text(short_name(one))}</th>' for one in SHOWN)
    several = len({one.mesh for one in found.held}) > 1
    rows = "".join(
        f'<tr><th scope="row">{text(one.profile)}{f", against {text(one.mesh)}" if several else ""}'
        f"{_quiet(one.limits)}</th>"
        f"{''.join(_cells(one))}</tr>"
        for one in found.held
    )
    return (
        "<p>Largest exposure below the surface, safety included: above 1 the metal is overstressed there. "
        "The depth of it stands below.</p>"
        f'<table class="gc-table"><thead><tr><th scope="col">Case</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>{_skin(shown)}"
    )


def _skin(shown: Review) -> str:
    """What is counted of operations of the route that change the skin after the grind."""
    given, asked, cut = shown.record.inspection, shown.record.subsurface, shown.record.grinding
    if asked is None:
        return ""
    steps = None if given is None else route(given.route, given.operations)
    said = [*_residual(shown, asked.residual_stress)]
    measured = any(one.state is StressState.PEENED for one in shown.record.residual_stress)
    if measured or (steps is not None and steps.find("peen") is not None):
        begins = "The route peens" if not measured else "Peened, and measured"
        shown_only = "; where it was measured it is shown, and decides nothing" if measured else ""
        said.append(
            f"{begins}: the compression that this puts into the skin is not credited, here or in any rating"
            f"{shown_only}."
        )
    polished = cut is not None and cut.superfinish_max_mm is not None
    if polished or (steps is not None and steps.find("superfinish") is not None):
        said.append("Of superfinishing nothing is credited but what it takes off, where that is given.")
    return f"<p>{text(' '.join(said))}</p>"


def _residual(shown: Review, model: ResidualStress) -> Iterator[str]:
    """Which residual stress stands in the rows, and which measured one in none of them."""
    measured = any(one.has_measured_stress for one in (shown.balance.held if shown.balance else ()))
    apart = ", except where a row says that it was measured" if measured else ""
    if model is ResidualStress.NONE:
        yield f"The exposures take no residual stress{apart}."
    else:
        yield (
            "The residual stress in them is that of a model, from the hardness of the case"
            f"{apart}; it counts in Dang Van alone."
        )
    if measured:
        yield (
            "What was measured stands beside the model and replaces nothing; it is taken as equal along and "
            "across the flank."
        )
    others = [stress_name(one) for one in shown.record.residual_stress if not is_of_flank(one)]
    if others:
        yield f"Measured too, and in no row, for the rows are of the finished flank: {'; '.join(others)}."


def _quiet(words: str) -> str:
    return f'<br><span class="gc-quiet">{text(words)}</span>' if words else ""


def _cells(one: Held) -> Iterator[str]:
    for criterion in SHOWN:
        exposure, depth = one.largest(criterion)
        where = f'<span class="gc-quiet">{value(depth, 2, "mm")}</span>'
        yield f'<td class="num">{value(exposure, 2)}<br>{where}</td>'
