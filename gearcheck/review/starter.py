"""The commented example with which a new gear file begins."""

from __future__ import annotations

from importlib.resources import files


def starter_text() -> str:
    """Return a complete gear file with a comment on every value.

    Returns
    -------
    str
        TOML of format 1; it reads as it stands.

    Examples
    --------
    >>> from pathlib import Path
    >>> from gearcheck.review.gear_file import read_gear_text
    >>> read_gear_text(starter_text(), folder=Path()).part.title
    'Conveyor-drive pinion'
    """
    return files("gearcheck.review").joinpath("starter.toml").read_text(encoding="utf-8")
