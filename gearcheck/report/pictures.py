"""The charts of a report as SVG: drawn once, without widgets, and safe to stand side by side on one page."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import altair as alt
import vl_convert
from markupsafe import escape

from gearcheck.figures.theme import use_theme
from gearcheck.review.results import Review

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
    return ()


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
    drawn = vl_convert.vegalite_to_svg(chart.to_dict(), vl_version=_version())
    names: dict[str, str] = {}

    def own(match: re.Match[str]) -> str:
        return match[1] + names.setdefault(match[2], f"{key}-{len(names) + 1}")

    return _OWN_IDS.sub(own, drawn)


def _version() -> str:
    return ".".join(alt.SCHEMA_VERSION.lstrip("v").split(".")[:2])
