"""The verify sheet: three answers on a signed file, for those without a command line."""

from __future__ import annotations

import ipywidgets as widgets
from IPython.display import display

from gearcheck.desk.page import Page
from gearcheck.desk.panels.blocked import sheets_html
from gearcheck.desk.panels.verifying import Verifying, cautions_html


class VerifySheet:
    """The sheet; it needs no workspace.

    Parameters
    ----------
    query : str
        The query of the address: the record, so that the links to the other sheets keep it.
    """

    def __init__(self, query: str = "") -> None:
        self.panel, self._page = Verifying(), Page(query=query)

    def show(self) -> None:
        """Show all of it."""
        head = widgets.HTML(
            '<header class="gc-head"><p><b>Verify</b>a signed report</p>'
            f"{sheets_html('verify.ipynb')}</header>"
        )
        main = self.panel.widget().add_class("gc-main")
        margin = widgets.HTML(cautions_html()).add_class("gc-margin")
        row = widgets.Box([main, margin]).add_class("gc-row")
        display(widgets.VBox([head, row, self._page]).add_class("gc-sheet").add_class("gc-live"))
