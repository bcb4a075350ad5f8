"""What others wrote while a page was open: it is shown before it is taken in."""

from __future__ import annotations

from gearcheck.desk.kept import Kept
from gearcheck.desk.words import text


def others_html(kept: Kept) -> str:
    """Return what others wrote while this page was open; nothing where nobody did."""
    if not kept.others:
        return ""
    said = "".join(f"<li>{text(one)}.</li>" for one in kept.others)
    shows = '<button type="button" class="gc-do" data-act="take-in">show the record as it is now</button>'
    return (
        '<div class="gc-others" role="status"><p><b>Others wrote to the record meanwhile:</b></p>'
        f'<ul class="gc-list">{said}</ul>{shows}</div>'
    )
