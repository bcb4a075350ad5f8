"""Files that a reader takes along: each a link that gives the browser what the calculation holds."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from gearcheck.desk.guard import Say, guarded


class Downloads(anywidget.AnyWidget):
    """A list of files; the bytes of one travel when it is asked for.

    Parameters
    ----------
    say : Say
        Where trouble is told.
    label : str
        What the list is, for those who hear the page.
    """

    _esm = Path(__file__).parent / "download.js"

    names = traitlets.List(traitlets.Unicode()).tag(sync=True)
    label = traitlets.Unicode().tag(sync=True)

    def __init__(self, say: Say, label: str) -> None:
        self._files: Mapping[str, Callable[[], bytes]] = {}
        super().__init__(label=label)
        self.on_msg(guarded(self._hear, say))

    def offer(self, files: Mapping[str, Callable[[], bytes]]) -> None:
        """Offer these files, and no others.

        Parameters
        ----------
        files : mapping of str to callable
            By name, what gives the bytes of each.
        """
        self._files = dict(files)
        self.names = list(files)

    def _hear(self, _: Any, message: Any, __: Any) -> None:
        name = str(message.get("get", "")) if isinstance(message, dict) else ""
        if name in self._files:
            self.send({"file": name}, buffers=[self._files[name]()])
