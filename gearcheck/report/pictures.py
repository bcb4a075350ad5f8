"""The charts of a report as SVG: drawn once, without widgets, and safe to stand side by side on one page."""

from __future__ import annotations

import re
from dataclasses import dataclass

import vl_convert
from altair import SCHEMA_VERSION

from gearcheck.figures.drawing import Drawing
from gearcheck.figures.ladder import ladder, ladder_drawing
from gearcheck.figures.stations import drawings
from gearcheck.review.results import Review

_WIDTH_PX = 760  # of a chart that takes the width of its column on the screen
_OWN_IDS = re.compile(r'(\bid="|url\(#|href="#)((?:clip|gradient_?)\d+)')


@dataclass(frozen=True, slots=True)
class Picture:
    """One chart as SVG.

    Parameters
    ----------
    title : str
        What it shows.
    words : str
        What is to be seen in it, for those who cannot see it.
    svg : str
        The drawing.
    """

    title: str
    words: str
    svg: str

    def __repr__(self) -> str:
        return f"{self.title}. {self.words}."

    def _repr_svg_(self) -> str:
        return self.svg

    @property
    def bundle(self) -> dict[str, str]:
        """What a notebook keeps of it."""
        return {"image/svg+xml": self.svg, "text/plain": repr(self)}


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
        Picture(
            title=item.title,
            words=item.drawing.words,
            svg=svg_text(item.drawing, title=item.title, key=f"{key}-{number}"),
        )
        for number, item in enumerate(drawings(whole, whole, station), start=1)
        if item.drawing is not None
    )


def ladder_picture(whole: Review) -> tuple[Picture, ...]:
    """Return the torque reserves as bars; none where nothing stands on that scale."""
    rungs = ladder(whole.requirements, whole.requirements).rungs
    if not rungs:
        return ()
    drawing, title = ladder_drawing(rungs), "Torque reserve, worst first"
    return (Picture(title=title, words=drawing.words, svg=svg_text(drawing, title=title, key="ladder")),)


def svg_text(drawing: Drawing, *, title: str, key: str) -> str:
    """Draw a chart; the names inside the drawing are made its own and the same at every time.

    Parameters
    ----------
    drawing : Drawing
        Of the figures.
    title : str
        Written above it.
    key : str
        Letters, digits and hyphens, unique on the page.

    Returns
    -------
    str
        SVG.
    """
    spec = {**drawing.to_dict(), "title": {"text": title, "fontWeight": "bold", "fontSize": 15}}
    if spec.get("width") == "container":
        spec["width"] = _WIDTH_PX
    drawn = vl_convert.vegalite_to_svg(spec, vl_version=_version())
    names: dict[str, str] = {}

    def own(match: re.Match[str]) -> str:
        return match[1] + names.setdefault(match[2], f"{key}-{len(names) + 1}")

    return _OWN_IDS.sub(own, drawn)


def _version() -> str:
    return ".".join(SCHEMA_VERSION.lstrip("v").split(".")[:2])
