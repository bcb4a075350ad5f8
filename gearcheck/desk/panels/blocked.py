"""The head of the sign-off sheet: what record it is, its outcome, and what blocks signing."""

from __future__ import annotations

from collections.abc import Iterable

from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.numbers import anchor, marked
from gearcheck.desk.panels.others import others_html
from gearcheck.desk.words import text
from gearcheck.record.blocks import Block, blocks, open_points
from gearcheck.record.book import Book
from gearcheck.report.cautions import CAUTIONS
from gearcheck.review.results import Review
from gearcheck.review.whole import outcome

SHEETS = (
    ("review.ipynb", "Review"),
    ("stress.ipynb", "Stress"),
    ("contact.ipynb", "Contact"),
    ("case_depth.ipynb", "Case depth"),
    ("heat_treat.ipynb", "Heat treatment"),
    ("accuracy.ipynb", "Accuracy"),
    ("fatigue.ipynb", "Fatigue tests"),
    ("inspection.ipynb", "Inspection"),
    ("sign_off.ipynb", "Sign-off"),
    ("verify.ipynb", "Verify"),
)
PLACES = (
    ("decisions", "Decisions"),
    ("confirm", "Confirm"),
    ("signing", "Signing"),
    ("history", "History"),
    ("files", "Take away"),
)


def sheets_html(here: str) -> str:
    """Return the links to the other sheets of the desk; the address takes the record along."""
    links = (f"<b>{name}</b>" if file == here else f'<a href="{file}">{name}</a>' for file, name in SHEETS)
    return f'<nav aria-label="Sheets">{"".join(links)}</nav>'


def head_html(
    kept: Kept, here: str = "sign_off.ipynb", places_here: Iterable[tuple[str, str]] = PLACES, more: str = ""
) -> str:
    """Return the part line, with the links to the other sheets and to the places of this one.

    Parameters
    ----------
    kept : Kept
        The record.
    here : str
        The file of this sheet.
    places_here : iterable of tuple of str
        Its places, and how they are called.
    more : str
        HTML that ends the head.
    """
    book, part = kept.book, kept.whole().record.part
    places = "".join(f'<a href="#{key}">{label}</a>' for key, label in places_here)
    return (
        f'<header class="gc-head"><p><b>{text(part.number)}</b>{text(part.title)}'
        f'<span class="gc-where">drawing revision {text(part.revision)}, {text(part.stage)} review, '
        f"revision {book.revision.revision} of the record</span></p>{sheets_html(here)}"
        f'<nav class="gc-places" aria-label="Places on this sheet">{places}</nav>{more}</header>'
    )


def blocked_html(kept: Kept) -> str:
    """Return the outcome sentence, and in plain sentences what blocks signing."""
    whole = kept.whole()
    found = blocks(whole, kept.book)
    return (
        f'<p class="gc-outcome" role="status">{text(outcome(whole))}</p>{_blocked(found, whole, kept.book)}'
        f"<p>{text(open_points(kept.book))}</p>{others_html(kept)}"
    )


def _blocked(found: tuple[Block, ...], whole: Review, book: Book) -> str:
    if not found and book.is_signed:
        return (
            f'<p id="blocked"><b>All have signed revision {book.revision.revision} of the record.</b> '
            "Whatever is written to it now asks for new signatures of all; the signed report stays.</p>"
        )
    if not found and book.prepared is not None:
        return (
            '<p id="blocked">The report lies before the signers. Whatever is written to the record now takes '
            "it back.</p>"
        )
    if not found:
        return '<p id="blocked">Nothing blocks signing.</p>'
    places = {item.key: anchor(place) for place, item in enumerate(whole.requirements)}
    each = "".join(f"<li data-trouble>{marked(one.text)}{_link(one, places)}</li>" for one in found)
    count = "One point blocks" if len(found) == 1 else f"{len(found)} points block"
    return f'<p id="blocked">{count} signing:</p><ul class="gc-list gc-blocks">{each}</ul>'


def _link(one: Block, places: dict[str, str]) -> str:
    if one.about in places:
        return f' <a href="review.ipynb#{places[one.about]}">in the review</a>'
    if one.about:
        return ' <a href="inspection.ipynb#dispositions">in the inspection</a>'
    return ' <a href="#signing">below</a>'


def aside_html(kept: Kept) -> str:
    """Return the margin beside the outcome: the note of the record, and the first caution."""
    note = kept.whole().record.part.note
    return (f"<p>{text(note)}</p>" if note else "") + f"<p>{text(CAUTIONS[0])}</p>"
