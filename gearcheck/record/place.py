"""Where the workspace lies."""

from __future__ import annotations

import os
from pathlib import Path

VARIABLE = "GEARCHECK_WORKSPACE"
NAME = "workspace.sqlite"


def workspace_path(given: Path | None = None) -> Path:
    """Return the file of the workspace.

    Parameters
    ----------
    given : Path, optional
        What the user named; it goes before everything else.

    Returns
    -------
    Path
        Absolute: that given, that of the variable ``GEARCHECK_WORKSPACE``, or one in the folder ``gearcheck``
        of the user's home.

    Examples
    --------
    >>> workspace_path(Path("gears.sqlite")).name
    'gears.sqlite'
    """
    named = os.environ.get(VARIABLE)
    path = given or (Path(named) if named else Path.home() / "gearcheck" / NAME)
    return path.absolute()
