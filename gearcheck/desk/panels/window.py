"""What is left for the tooth: the window of the drawing, the case left, and the exposure of each profile."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.numbers import array
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.words import text
from gearcheck.figures.exposures import short_name
from gearcheck.hardening.case_window import CaseWindow
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.stock import GroundCase
from gearcheck.review.balance import SHARES, Balance, Held
from gearcheck.review.results import Review

NO_WINDOW = (
    "What the furnace holds is not said: [gear.furnace] with its depth_scatter shows whether the window of "
    "the drawing leaves it room."
)
SHOWN = (Criterion.YIELDING, Criterion.SHEAR_AMPLITUDE, Criterion.INCLUSIONS, Criterion.DANG_VAN)


def window_html(shown: Review) -> str:
    """Return what is said of the window of the drawing, of the case left, and of the exposures."""
    head = '<h2 id="window">What is left for the tooth</h2>'
    found = shown.balance
    if found is None:
        return head
    window = f"<p>{NO_WINDOW}</p>" if found.window is None else f"<p>{_window(shown, found.window)}</p>"
    return f"{head}{window}{_left(shown, found)}{_exposed(found)}"


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
    heads = "".join(f'<th scope="col" class="num">{100 * share:.0f} %</th>' for share in SHARES)
    return (
        "<p>Aimed at the middle of the window drawn, so much case is left on so many of the flanks:</p>"
        f'<table class="gc-table"><thead><tr><th scope="col">Flank; below which lie</th>{heads}'
        f'<th scope="col" class="num">under{least}</th></tr></thead><tbody>{rows}</tbody></table>'
    )


def _flank(name: str, found: GroundCase) -> str:
    cells = "".join(
        f'<td class="num">{value(depth, 2, "mm")}</td>' for depth in array(found.quantile_mm).ravel()
    )
    below = 100 * float(array(found.share_below))
    told = "under 0.1 %" if below < 0.1 else f"{below:.1f} %"
    return f'<tr><th scope="row">{name}</th>{cells}<td class="num">{told}</td></tr>'


def _exposed(found: Balance) -> str:
    """The largest exposure of each profile by each criterion."""
    if not found.held:
        return ""
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
        f"<tbody>{rows}</tbody></table>"
    )


def _quiet(words: str) -> str:
    return f'<br><span class="gc-quiet">{text(words)}</span>' if words else ""


def _cells(one: Held) -> Iterator[str]:
    for criterion in SHOWN:
        exposure, depth = one.largest(criterion)
        where = f'<span class="gc-quiet">{value(depth, 2, "mm")}</span>'
        yield f'<td class="num">{value(exposure, 2)}<br>{where}</td>'
