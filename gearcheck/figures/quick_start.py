"""What the chart library and the server would build at every start and nothing of ours ever uses."""

from __future__ import annotations

import sys
from importlib import import_module

_GRAMMARS = "rfc3987_syntax"
"""Grammars of addresses with letters of any script, built anew on import: over a second of every start."""


def import_without_grammars() -> None:
    """Import the validator of schemas without the grammars for a format that no schema here has.

    It leaves such a format unchecked where the grammars are not installed; so they are hidden from it, once,
    and can be imported by anyone afterwards.
    """
    if "jsonschema" in sys.modules or _GRAMMARS in sys.modules:
        return
    sys.modules[_GRAMMARS] = None  # type: ignore[assignment]  # how Python spells: not to be imported
    try:
        import_module("jsonschema")
    finally:
        del sys.modules[_GRAMMARS]
