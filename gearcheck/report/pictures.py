"""The charts of a report as SVG: drawn once, without widgets, and safe to stand side by side on one page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

import vl_convert
from altair import SCHEMA_VERSION
from markupsafe import escape

from gearcheck.figures.depth import depth_curves, depth_drawing
from gearcheck.figures.depths import depth_lines, drawn_depth
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.path import along_path, pressure_drawing, sliding_drawing
from gearcheck.figures.pitch import cumulative_drawing, flank_pitch, reach_of, single_drawing
from gearcheck.figures.stress import life_drawing, life_lines
from gearcheck.figures.tooth import tooth_drawing, tooth_of
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
        What it shows, in a sentence; read out in its place.
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
    return tuple(
        Picture(title=f"{subject}: {drawing.words}.", svg=svg_text(drawing, f"{key}-{number}"))
        for number, (subject, drawing) in enumerate(_DRAWN[station](whole), start=1)
    )


def _of_geometry(whole: Review) -> Iterator[tuple[str, Drawing]]:
    for mesh in whole.chain.meshes:
        tooth = tooth_of(mesh.gear, mesh.pair)
        if tooth is not None:
            yield f"The gear against {mesh.name}", tooth_drawing(tooth, None, "the gear")
        along = along_path(mesh)
        if along is not None:
            yield f"The gear with {mesh.name}", sliding_drawing(along)
            yield f"The gear with {mesh.name}", pressure_drawing(along)


def _of_stress(whole: Review) -> Iterator[tuple[str, Drawing]]:
    methods = whole.record.methods
    if methods is None:
        return
    for mesh in whole.chain.meshes:
        for damage in Damage:
            found = life_lines(mesh, damage, methods.readings)
            if found:
                yield f"The gear with {mesh.name}", life_drawing(found, damage)


def _of_case_depth(whole: Review) -> Iterator[tuple[str, Drawing]]:
    for place, solved in enumerate(whole.settled):
        found = depth_lines(whole, whole, place)
        if found:
            yield (
                f"Against {solved.mesh}",
                depth_drawing(found, depth_curves(solved.required, drawn_depth(whole))),
            )


def _of_accuracy(whole: Review) -> Iterator[tuple[str, Drawing]]:
    for evidence, measured in zip(whole.record.pitch, whole.pitch, strict=True):
        both = (flank_pitch(measured, whole.chain.drawn, flank) for flank in FLANKS)
        known = tuple(flank for flank in both if flank is not None)
        for flank in known:
            single, total = reach_of(known)
            subject = f"{evidence.head.source}, {evidence.head.applies_to}"
            yield subject, single_drawing(flank, single)
            yield subject, cumulative_drawing(flank, total)


_DRAWN: Mapping[str, Callable[[Review], Iterator[tuple[str, Drawing]]]] = {
    "geometry": _of_geometry,
    "stress": _of_stress,
    "case depth": _of_case_depth,
    "accuracy": _of_accuracy,
}


def svg_text(drawing: Drawing, key: str) -> str:
    """Draw a chart; the names inside the drawing are made its own and the same at every time.

    Parameters
    ----------
    drawing : Drawing
        Of the figures.
    key : str
        Letters, digits and hyphens, unique on the page.

    Returns
    -------
    str
        SVG.
    """
    spec = drawing.to_dict()
    if spec.get("width") == "container":
        spec["width"] = _WIDTH_PX
    drawn = vl_convert.vegalite_to_svg(spec, vl_version=_version())
    names: dict[str, str] = {}

    def own(match: re.Match[str]) -> str:
        return match[1] + names.setdefault(match[2], f"{key}-{len(names) + 1}")

    return _OWN_IDS.sub(own, drawn)


def _version() -> str:
    return ".".join(SCHEMA_VERSION.lstrip("v").split(".")[:2])
