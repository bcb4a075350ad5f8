"""Text from people on its way into a file name, an address or Markdown."""

from __future__ import annotations

import re

# names that Windows keeps for its devices
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)")
_LONGEST_NAME = 100
_MARKDOWN = re.compile(r"([\\`*_{}\[\]()#+\-.!|$~<>&:])")


def file_stem(text: str) -> str:
    """Return a file name without ending that every system accepts.

    Parameters
    ----------
    text : str
        Such as part number and revision.

    Returns
    -------
    str
        ASCII letters, digits, ``-``, ``_`` and inner dots; never empty and never the name of a device.

    Examples
    --------
    >>> file_stem("TF-118/../C"), file_stem("con")
    ('TF-118-C', 'report-con')
    """
    stem = re.sub(r"[^A-Za-z0-9_.-]+", "-", text)
    stem = re.sub(r"[.-]*-[.-]*", "-", stem)[:_LONGEST_NAME].strip("-.")
    first = stem.partition(".")[0]
    return f"report-{stem}".rstrip("-") if not stem or _RESERVED.fullmatch(first) else stem


def markdown_text(text: str) -> str:
    """Return text that Markdown shows as it is: no markup, no link, no formula."""
    return _MARKDOWN.sub(r"\\\1", " ".join(text.split())).replace("\\&", "&amp;").replace("\\<", "&lt;")
