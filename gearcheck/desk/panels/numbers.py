"""How numbers, methods and places are written on the sheet."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gearcheck.basics.digits import NO_BREAK, decimals_text
from gearcheck.basics.methods import Notice, Status
from gearcheck.basics.numbers import Number
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.report.sections import symbols
from gearcheck.requirements.types import CONFIRMED, Requirement

AS_ABOVE = "<p>as above</p>"
"""Where a source is that of the row before."""

_UNBROKEN = re.compile(r"[\w/]*\d[\w/]*(?:-[\w/]+)+(?::\d+)?")
_UNIT = r"(?<=\d) (?=(?:mm|µm|MPa|HV|N·m|N|kN|rpm|°C|h|%)(?![\w·]))"
_EQUAL = r" (?== [−-]?\d)|(?<= =) (?=[−-]?\d)"
_WITH_UNIT = re.compile(rf"{_UNIT}|{_EQUAL}|(?<=\bclass) (?=\d)|(?<=\btooth) (?=\d)")


def value(number: Number, decimals: int, unit: str = "") -> str:
    """Return a number with its unit as HTML."""
    return text(decimals_text(None if number is None else float(number), decimals, unit))


def settling(state: Sheet) -> str:
    """Say, while a draft moves, that what is solved is still that of before; what stands by it is greyed."""
    if state.shown.settled or not state.draft:
        return ""
    return '<p class="gc-settling">What is solved follows when the slider rests</p>'


def marked(words: str) -> str:
    """Return text with symbols as HTML: an index stands low, a number with hyphens is not broken."""
    return _kept_whole(str(symbols(words)))


def whole(words: str) -> str:
    """Return escaped text in which a number with hyphens, such as a date or a standard, is not broken."""
    return _kept_whole(text(words))


def _kept_whole(html: str) -> str:
    joined = _WITH_UNIT.sub(NO_BREAK, html)
    return _UNBROKEN.sub(r'<span class="gc-whole">\g<0></span>', joined)


def source(cite: str, status: str) -> str:
    """Return where a number comes from, with a quiet mark where it was not seen in print."""
    mark = (
        "" if status in (Status.PUBLISHED, CONFIRMED) else f' <span class="gc-memory">{text(status)}</span>'
    )
    return f"<p>{whole(cite)}{mark}</p>"


def notices(found: Iterable[Notice]) -> str:
    """Return notices as paragraphs; a caution and a stop carry their mark."""
    classes = {"note": "gc-note", "caution": "gc-caution", "stop": "gc-caution gc-stop"}
    return "".join(f'<p class="{classes[item.level]}">{marked(item.text)}</p>' for item in found)


def margin_of(item: Requirement) -> str:
    """Say the margin of a requirement on the scale that it has."""
    if item.reserve is not None:
        return item.reserve.words if item.reserve.factor is None else f"{item.reserve.factor:.2f}"
    if item.share is not None:
        return f"{100 * item.share:.0f}{NO_BREAK}%"
    return ""


def moved_from(item: Requirement, before: Requirement) -> str:
    """Say what the margin was in the record, where a draft has changed it."""
    now, was = margin_of(item), margin_of(before)
    return f"record {was}" if was and was != now else ""


def reasons(item: Requirement) -> tuple[str, ...]:
    """Why a requirement is not assessed, each reason once."""
    return tuple(dict.fromkeys(item.reason.split("; "))) if item.reason else ()


def anchor(place: int) -> str:
    """The name of the place where a requirement is read in full."""
    return f"need-{place}"
