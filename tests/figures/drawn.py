"""Draw a drawing the way the page does, and read back what is written in it."""

import html
import re

import vl_convert

from gearcheck.figures.drawing import Drawing


def svg(drawing: Drawing, width: int = 640) -> str:
    spec = drawing.to_dict()
    # rows that no layer draws stop the page: it cannot exchange what the chart does not hold
    assert set(spec["datasets"]) == set(re.findall(r"'data': {'name': '([^']+)'}", str(spec)))
    if spec["width"] == "container":
        spec["width"] = width
    return vl_convert.vegalite_to_svg(spec)


def written(drawing: Drawing) -> list[str]:
    return [html.unescape(text) for text in re.findall(r"<text[^>]*>([^<]+)</text>", svg(drawing))]
