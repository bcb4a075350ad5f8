"""A throw-away sheet that uses every piece of the desk; the tests write its workbooks somewhere else."""

from __future__ import annotations

import sys
from pathlib import Path

import nbformat

BOOKS = {
    "review.ipynb": [
        "import trial",
        "from gearcheck.desk.page import query_string",
        "query = query_string()",
        "trial.sheet(query)",
    ],
    "stress.ipynb": [
        "import trial",
        "from gearcheck.desk.page import query_string",
        "trial.sheet(query_string())",
    ],
    "slow.ipynb": ["import time\ntime.sleep(4)", "import trial\ntrial.sheet('')"],
    "broken.ipynb": ["raise RuntimeError('told to nobody')"],
}


def write_books(folder: Path) -> None:
    """Write the workbooks and copy this module beside them, outside the served folder."""
    books = folder / "workbooks"
    books.mkdir()
    for name, cells in BOOKS.items():
        notebook = nbformat.v4.new_notebook(
            metadata={"title": name, "kernelspec": {"name": "python3", "display_name": "Python 3"}}
        )
        notebook.cells = [nbformat.v4.new_code_cell(cell, id=f"c{n}") for n, cell in enumerate(cells)]
        nbformat.write(notebook, books / name)
    (folder / "trial.py").write_text(Path(__file__).read_text(encoding="utf-8"), encoding="utf-8")


def sheet(query: str):
    """Return the sheet: an outcome, a slider that moves a chart, troubles to provoke."""
    import os
    import time
    from urllib.parse import parse_qs, urlencode

    import altair as alt
    import ipywidgets as widgets
    import pandas as pd

    from gearcheck.basics.errors import Fault, InputError
    from gearcheck.desk.charts import SharedChart, VegaBundle
    from gearcheck.desk.guard import Trouble, guarded
    from gearcheck.desk.page import Page
    from gearcheck.desk.words import answer, text
    from gearcheck.figures.theme import use_theme

    use_theme()
    page, trouble = Page(query=query), Trouble()
    start = float(parse_qs(query).get("torque", ["1"])[0])

    def chart(factor: float, title: str = "first title") -> alt.LayerChart:
        rows = pd.DataFrame({"z": range(50), "s": [factor * z for z in range(50)]})
        label = pd.DataFrame({"words": [f"factor {factor:.2f}"], "z": [20]})
        line = alt.Chart(rows).mark_line().encode(x="z:Q", y="s:Q")
        named = alt.Chart(label).mark_text().encode(x="z:Q", text="words:N")
        return alt.layer(line, named).properties(title=title, width="container")

    drawn = SharedChart(chart(start), words="a straight line")
    torque = widgets.FloatSlider(start, min=0.5, max=1.5, step=0.01, description="Torque factor")
    name = widgets.Text(description="Name")
    outcome = widgets.HTML()

    def moved(_: object = None) -> None:
        outcome.value = (
            f'<p class="gc-outcome">torque {torque.value:.2f}</p>'
            f'<p data-trouble id="one">{answer("fails")}</p><p data-trouble id="two">{answer("open")}</p>'
            f'<p id="query">{text(query)}</p><p id="pid">{os.getpid()}</p>'
            f'<p id="file">{text(os.environ["GEARCHECK_FILE"])}</p>'
            f'<p><a id="link" href="stress.ipynb">Stress</a></p>'
        )
        drawn.show(chart(torque.value))
        page.query = urlencode({"torque": f"{torque.value:.2f}"})

    def fault(_: object) -> None:
        raise RuntimeError("the <b>cause</b>")

    def entry(_: object) -> None:
        if name.value != "right":
            raise InputError([Fault("name", name.value, "right"), Fault("teeth", "2", "5 or more")])

    def work(_: object) -> None:
        time.sleep(7)

    def retitle(_: object) -> None:
        drawn.show(chart(torque.value, "second title"))

    buttons = []
    for label, handler in (("Fault", fault), ("Entry", entry), ("Work", work), ("Title", retitle)):
        button = widgets.Button(description=label)
        button.on_click(guarded(handler, trouble.say))
        buttons.append(button)
    torque.observe(guarded(moved, trouble.say), "value")
    moved()
    page.query = query
    main = widgets.VBox([outcome, drawn]).add_class("gc-main")
    row = widgets.Box([main, widgets.HTML("<p>where it comes from</p>").add_class("gc-margin")]).add_class(
        "gc-row"
    )
    controls = widgets.VBox([torque, name, *buttons]).add_class("gc-control")
    return (
        widgets.VBox([page, VegaBundle(), trouble, row, controls]).add_class("gc-sheet").add_class("gc-live")
    )


if __name__ == "__main__":
    from gearcheck.desk.server import serve

    here = Path(sys.argv[1])
    serve(
        here / "gear <1>.toml" if sys.platform != "win32" else here / "gear.toml",
        open_browser=False,
        first_words="2 of 9 requirements fail <by> calculation.",
        folder=here / "workbooks",
    )
