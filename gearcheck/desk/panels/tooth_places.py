"""Flank, tip and root side by side: what carbon and hardness come to where the surface is curved."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import NO_BREAK
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.words import text
from gearcheck.review.tooth_places import ROOT, TIP
from gearcheck.review.treated import Predicted, ToothPlace

_COLUMNS = ("Place", "surface carbon", f"depth at 0.35{NO_BREAK}% C", "at 550 HV, softest", "hardest")
_TAKEN = {
    TIP: "the tip as the largest rod that touches tip land and both flanks, {radius} in radius",
    ROOT: "the root as a hollow of {radius}, the radius of its fillet",
}


def places_html(found: Predicted) -> str:
    """Return a table of flank, tip and root; empty where the flank stands alone."""
    curved = found.places[1:]
    if not curved:
        return ""
    taken = " and ".join(_TAKEN[one.name].format(radius=value(abs(one.radius_mm), 1, "mm")) for one in curved)
    numeric = "".join(f'<th scope="col" class="num">{text(name)}</th>' for name in _COLUMNS[1:])
    rows = "".join(f"<tr>{''.join(_cells(one))}</tr>" for one in found.places)
    return (
        "<p>Where the surface is convex, carbon crowds and the case comes deeper; where it is hollow, carbon "
        f"spreads and the case stays shallower. Here the flank is taken as flat, {taken}. All places are "
        "assumed to cool alike, and the depth is that as treated.</p>"
        f'<table class="gc-table"><thead><tr><th scope="col">{_COLUMNS[0]}</th>{numeric}</tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def _cells(place: ToothPlace) -> Iterator[str]:
    carbon = place.treated.carbon
    yield f'<th scope="row">{text(place.name)}</th>'
    yield f'<td class="num">{value(carbon.surface_carbon_wt, 2, "%")}</td>'
    by_carbon = np.nan if carbon.case_depth_mm is None else float(np.ravel(carbon.case_depth_mm)[0])
    for depth in (by_carbon, *place.treated.case_depths_mm):
        missing = "through" if place.name == TIP and _through(place) else "not reached"
        yield f'<td class="num">{missing if np.isnan(depth) else value(depth, 2, "mm")}</td>'


def _through(place: ToothPlace) -> bool:
    """Whether carbon stands above the criterion in the middle of the rod too."""
    carbon = place.treated.carbon
    return float(np.ravel(carbon.carbon_wt)[-1]) >= float(np.ravel(carbon.criterion_carbon_wt)[0])
