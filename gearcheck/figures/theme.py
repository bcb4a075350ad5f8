"""How every chart looks: one registered theme, drawn on the paper of the sheet."""

from __future__ import annotations

from typing import Any, cast

import altair as alt

from gearcheck.figures import tones

FONT = "Seravek, 'Segoe UI', 'Avenir Next', 'Noto Sans', 'Liberation Sans', 'DejaVu Sans', sans-serif"
TEXT_PX = 14


def theme() -> dict[str, Any]:
    """Return the configuration of all charts.

    Returns
    -------
    dict
        As Altair wants it: ``config`` and the default size of a view.
    """
    writing = {"font": FONT, "fontSize": TEXT_PX, "color": tones.INK}
    axis = {
        "labelFont": FONT,
        "labelFontSize": TEXT_PX,
        "labelColor": tones.INK,
        "titleFont": FONT,
        "titleFontSize": TEXT_PX,
        "titleFontWeight": "normal",
        "titleColor": tones.INK,
        "domainColor": tones.INK,
        "tickColor": tones.INK,
        "gridColor": tones.RULE,
        "gridOpacity": 0.5,
        "labelLimit": 320,
    }
    legend = {key: axis[key] for key in axis if key.startswith(("label", "title"))}
    return {
        "config": {
            "background": "transparent",
            "font": FONT,
            "padding": 4,
            "view": {"continuousWidth": 640, "continuousHeight": 320, "stroke": None},
            "axis": axis,
            "axisX": {"tickCount": {"expr": "ceil(width / 110)"}},
            "axisY": {"tickCount": {"expr": "ceil(height / 60)"}},
            "legend": {**legend, "orient": "top"},
            "header": {key: legend[key] for key in legend if key != "labelLimit"},
            "title": {**writing, "fontWeight": "normal", "anchor": "start", "subtitleFontSize": TEXT_PX},
            "text": writing,
            "line": {"strokeWidth": 2, "color": tones.DEMAND},
            "rule": {"color": tones.INK},
            "bar": {"color": tones.DEMAND},
            "point": {"size": 60, "filled": True, "color": tones.MEASURED},
            "area": {"color": tones.DEMAND, "fillOpacity": 0.15},
            "range": {"category": list(tones.SERIES)},
        }
    }


def use_theme() -> None:
    """Make it the theme of this process; once for each kernel or report."""
    alt.theme.register("gearcheck", enable=True)(lambda: cast(alt.theme.ThemeConfig, theme()))
