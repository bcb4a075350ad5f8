"""Charts on the page: one Vega bundle for all of them, drawn as SVG, moved in place without a blank frame."""

from __future__ import annotations

import os
import sys
import tempfile
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any, cast

import altair as alt
import anywidget
import traitlets
import vl_convert

from gearcheck.figures.drawing import Drawing

_CHART = Path(__file__).parent / "chart.js"

# The bundle hands its one function over to the charts, which may have been drawn before it.
_BUNDLE = """
globalThis.gcVega ??= Promise.withResolvers?.() ?? (() => {
  const hand = {};
  hand.promise = new Promise((resolve) => { hand.resolve = resolve; });
  return hand;
})();
globalThis.gcVega.resolve(vegaEmbed);
export default { render({ el }) { el.classList.add("gc-page"); } };
"""


def cache_folder() -> Path:
    """Return the user's folder for what can be made again.

    Returns
    -------
    Path
        Where the system wants it; it need not exist.
    """
    if sys.platform == "win32":
        home = os.environ.get("LOCALAPPDATA") or str(Path.home() / "AppData" / "Local")
    elif sys.platform == "darwin":
        home = str(Path.home() / "Library" / "Caches")
    else:
        home = os.environ.get("XDG_CACHE_HOME") or str(Path.home() / ".cache")
    return Path(home) / "gearcheck"


@cache
def vega_bundle() -> str:
    """Return the drawing code, made by vl-convert and kept between runs.

    Returns
    -------
    str
        A JavaScript module of about 0.9 MB.
    """
    try:
        kept = cache_folder() / f"vega-{version('vl-convert-python')}-{_fingerprint()}.js"
        if kept.is_file():
            return kept.read_text(encoding="utf-8")
    except (OSError, RuntimeError):  # no home, or one that cannot be read: make it anew
        return str(vl_convert.javascript_bundle(_BUNDLE))
    bundle = str(vl_convert.javascript_bundle(_BUNDLE))
    _keep(kept, bundle)
    return bundle


def _fingerprint() -> str:
    return sha256(_BUNDLE.encode()).hexdigest()[:8]


def _keep(file: Path, text: str) -> None:
    """Write at one stroke, so that a second kernel never reads half a file; a read-only home is fine."""
    part = None
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=file.parent, suffix=".part")
        part = Path(name)
        with os.fdopen(handle, "w", encoding="utf-8") as stream:
            stream.write(text)
        part.replace(file)
    except OSError:
        if part is not None:
            part.unlink(missing_ok=True)


class VegaBundle(anywidget.AnyWidget):
    """The drawing code of a page: shown once, invisible itself."""

    def __init__(self) -> None:
        self._esm = vega_bundle()
        super().__init__()


class SharedChart(anywidget.AnyWidget):
    """One chart on a page that shows a `VegaBundle`; give it another chart and it changes in place.

    Where nothing but the rows is new, only they are exchanged: that is fast, and a selection stays. So what
    moves with a slider belongs into the rows (a label too), not into a title or a constant of the chart.

    Parameters
    ----------
    chart : Chart, optional
        Its data as a DataFrame (a list of rows is checked row by row, which costs a third of a second). For
        ``width="container"`` it follows the width of its column.
    words : str
        What the chart shows, in a sentence, for those who cannot see it.
    watch : tuple of str
        Names of its parameters and selections; their values come back in `picked`.
    """

    _esm = _CHART

    spec = traitlets.Dict(allow_none=True, default_value=None).tag(sync=True)
    words = traitlets.Unicode("").tag(sync=True)
    watch = traitlets.List(traitlets.Unicode()).tag(sync=True)
    picked = traitlets.Dict().tag(sync=True)

    def __init__(
        self, chart: alt.TopLevelMixin | None = None, *, words: str = "", watch: tuple[str, ...] = ()
    ) -> None:
        super().__init__(spec=_spec(chart), words=words, watch=list(watch))
        self.add_class("gc-chart")

    def show(self, chart: alt.TopLevelMixin | None, *, words: str | None = None) -> None:
        """Draw another chart in the place of this one; None leaves the place empty."""
        with self.hold_sync():
            self.spec = _spec(chart)
            if words is not None:
                self.words = words

    def draw(self, drawing: Drawing | None) -> None:
        """Draw another drawing in the place of this one, with its words; None leaves the place empty."""
        self.show(cast(Any, drawing), words="" if drawing is None else f"{drawing.words}.")


def _spec(chart: alt.TopLevelMixin | None) -> dict[str, Any] | None:
    if chart is None:
        return None
    spec: dict[str, Any] = chart.to_dict()
    # Altair names a set of rows after its content; with lasting names the page sees that only the rows moved.
    names = {old: f"rows_{number}" for number, old in enumerate(spec.get("datasets", {}))}
    spec["datasets"] = {names[old]: rows for old, rows in spec.get("datasets", {}).items()}
    _rename(spec, names)
    return spec


def _rename(part: Any, names: dict[str, str]) -> None:
    if isinstance(part, list):
        for one in part:
            _rename(one, names)
    elif isinstance(part, dict):
        data = part.get("data")
        if isinstance(data, dict) and data.get("name") in names:
            data["name"] = names[data["name"]]
        for key, one in part.items():
            if key not in ("data", "datasets"):
                _rename(one, names)
