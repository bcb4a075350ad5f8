"""The charts of a report as SVG: drawn once, without widgets, and safe to stand side by side on one page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import altair as alt
import vl_convert
from markupsafe import escape

from gearcheck.figures.depth import depth_chart, depth_curves, depth_lines, solved_line
from gearcheck.figures.path import along_path, path_charts
from gearcheck.figures.pitch import flank_pitch, pitch_charts, reach_of
from gearcheck.figures.stress import life_chart, life_lines
from gearcheck.figures.theme import use_theme
from gearcheck.figures.tooth import circles_of, outline_of, tooth_chart
from gearcheck.review.results import Review
from gearcheck.stress.life import Damage

FLANKS = ("left", "right")
_WIDTH_PX = 760  # of a chart that takes the width of its column on the screen
_OWN_IDS = re.compile(r'(\bid="|url\(#|href="#)((?:clip|gradient_?)\d+)')


@dataclass(frozen=True, slots=True)
class Picture:
    """One chart as SVG.

    Parameters
    ----------
    title : str
        What it shows; read out in its place.
    svg : str
        The drawing.
    """

    title: str
    svg: str

    def __repr__(self) -> str:
        return self.title

    def _repr_svg_(self) -> str:
        return self.svg

    @property
    def html(self) -> str:
        """The drawing with its title, as a figure of a page."""
        title = escape(self.title)
        return f'<figure role="img" aria-label="{title}"><figcaption>{title}</figcaption>{self.svg}</figure>'


def pictures(whole: Review, station: str) -> tuple[Picture, ...]:
    """Return the charts of one station.

    Parameters
    ----------
    whole : Review
        Complete.
    station : str
        Its name.

    Returns
    -------
    tuple of Picture
        None where the results that a chart would show are missing.
    """
    key = station.replace(" ", "-")
    charts = _CHARTS.get(station, _no_charts)(whole)
    return tuple(
        Picture(title=title, svg=svg_text(chart, f"{key}-{number}"))
        for number, (title, chart) in enumerate(charts, start=1)
    )


def _no_charts(_: Review) -> Iterator[tuple[str, Any]]:
    yield from ()


def _of_geometry(whole: Review) -> Iterator[tuple[str, Any]]:
    for mesh in whole.chain.meshes:
        if not mesh.pair.stops:
            outline = outline_of(mesh.gear.geometry, mesh.pair)
            title = f"One tooth of the gear, with the circles that bound its flank against {mesh.name}"
            yield title, tooth_chart(*outline, circles_of(mesh.gear))
        along = along_path(mesh)
        if along is not None:
            title = f"Specific sliding and contact pressure along the path of contact with {mesh.name}"
            yield title, _stacked(path_charts(along))


def _of_stress(whole: Review) -> Iterator[tuple[str, Any]]:
    methods = whole.record.methods
    if methods is None:
        return
    for mesh in whole.chain.meshes:
        for damage, words in ((Damage.FLANK, "Contact stress σH"), (Damage.ROOT, "Tooth root stress σF")):
            found = life_lines(mesh, damage, methods.readings)
            if found:
                title = f"{words} against what is permissible over load cycles, gear and {mesh.name}"
                yield title, life_chart(found, title=words[:1].lower() + words[1:])


def _of_case_depth(whole: Review) -> Iterator[tuple[str, Any]]:
    for place, solved in enumerate(whole.settled):
        lines = (*depth_lines(whole, whole, place), *solved_line(solved))
        if lines:
            title = f"Shear stress below the flank and the depths of the case, against {solved.mesh}"
            yield title, depth_chart(lines, depth_curves(whole, solved))


def _of_accuracy(whole: Review) -> Iterator[tuple[str, Any]]:
    drawn = whole.chain.drawn
    for evidence, measured in zip(whole.record.pitch, whole.pitch, strict=True):
        both = (flank_pitch(measured, drawn, flank) for flank in FLANKS) if drawn is not None else ()
        known = tuple(flank for flank in both if flank is not None)
        for flank in known:
            title = f"Measured pitch, {flank.flank} flank, {evidence.head.applies_to}"
            yield title, _stacked(pitch_charts(flank, reach_of(known)))


def _stacked(charts: Iterable[Any]) -> Any:
    return alt.vconcat(*(_of_fixed_width(chart) for chart in charts), spacing=6)


def _of_fixed_width(chart: Any) -> Any:
    """A chart as wide as its column has no column here."""
    return chart.properties(width=_WIDTH_PX) if getattr(chart, "width", None) == "container" else chart


_CHARTS: Mapping[str, Callable[[Review], Iterator[tuple[str, Any]]]] = {
    "geometry": _of_geometry,
    "stress": _of_stress,
    "case depth": _of_case_depth,
    "accuracy": _of_accuracy,
}


def svg_text(chart: Any, key: str) -> str:
    """Draw a chart; the names inside the drawing are made its own and the same at every drawing.

    Parameters
    ----------
    chart : altair chart
        Of the figures.
    key : str
        Letters and hyphens, unique on the page.

    Returns
    -------
    str
        SVG.
    """
    use_theme()
    drawn = vl_convert.vegalite_to_svg(_of_fixed_width(chart).to_dict(), vl_version=_version())
    names: dict[str, str] = {}

    def own(match: re.Match[str]) -> str:
        return match[1] + names.setdefault(match[2], f"{key}-{len(names) + 1}")

    return _OWN_IDS.sub(own, drawn)


def _version() -> str:
    return ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])
