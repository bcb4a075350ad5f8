"""The page itself: it notices a lost kernel, keeps the draft in its address, and listens to two keys."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, urlencode

import anywidget
import traitlets

SECRET = "token"  # belongs to the first visit only; the cookie has taken its place
_WAIT_S = 0.5


class Page(anywidget.AnyWidget):
    """Shown once on a sheet, invisible itself.

    Parameters
    ----------
    query : str
        What stands behind the question mark of the address: set it and a reload, a link to another sheet and
        the back key keep it.
    present : bool
        Whether the controls are hidden and the type enlarged.
    writer : dict
        Name and role of who writes, as this browser keeps them.
    """

    _esm = Path(__file__).parent / "page.js"

    query = traitlets.Unicode("").tag(sync=True)
    present = traitlets.Bool(False).tag(sync=True)
    writer = traitlets.Dict().tag(sync=True)

    def reload(self) -> None:
        """Have the browser open the address anew."""
        self.send({"reload": True})

    def __init__(self, **traits: Any) -> None:
        super().__init__(**traits)
        self.on_msg(_answer)


def _answer(page: Page, message: Any, _: Any) -> None:
    if isinstance(message, dict) and "beat" in message:
        page.send({"beat": message["beat"]})


def query_string() -> str:
    """Return the query of the address that the visitor opened; a kernel made ready waits here for a visitor.

    What stands above its call in a workbook is done before anyone comes, so the imports stand above and the
    gear file is read below. The text comes from outside: it is data, never markup.

    Returns
    -------
    str
        Without the question mark and without the token; empty outside the desk.
    """
    if os.environ.get("VOILA_PREHEAT") == "True":
        from voila.utils import wait_for_request

        # A machine that slept breaks the wait; it must not let a visitor lose a draft.
        while "QUERY_STRING" not in os.environ:
            wait_for_request()
            if "QUERY_STRING" not in os.environ:
                time.sleep(_WAIT_S)
    return without_secret(os.environ.get("QUERY_STRING", ""))


def without_secret(query: str) -> str:
    """Return a query without the token, in one spelling.

    Parameters
    ----------
    query : str
        As it came.

    Returns
    -------
    str
        Its other pairs, in their order.

    Examples
    --------
    >>> without_secret("token=abc&draft=torque+%2B6")
    'draft=torque+%2B6'
    """
    pairs = parse_qsl(query, keep_blank_values=True)
    return urlencode([(name, value) for name, value in pairs if name != SECRET])
