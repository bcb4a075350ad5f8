"""The draft beside the outcome: its name, what adopting it takes away, and the drafts that are saved."""

from __future__ import annotations

from collections.abc import Mapping

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk.drafts import Drafts
from gearcheck.desk.panels.entries import entry, form, lines
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.record.difference import KIND_NAMES, input_changes
from gearcheck.record.standing import State, state_of, why_moved
from gearcheck.record.steps import adopt_draft, drafted
from gearcheck.record.words import moment_words
from gearcheck.review.draft import draft_words
from gearcheck.review.inputs import KINDS, Record
from gearcheck.review.whole import has_slower_lines, review


def draft_html(state: Sheet, drafts: Drafts, folds: Folds) -> str:
    """Return what may be done with the draft, and the saved ones.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    drafts : Drafts
        Of its record.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML; empty where there is neither.
    """
    own = "" if not state.words else _own(state, drafts, folds)
    saved = _saved(state, drafts, folds)
    return f'<div class="gc-drafts">{own}{saved}</div>' if own or saved else ""


def _own(state: Sheet, drafts: Drafts, folds: Folds) -> str:
    adopts = form("adopt", lines("reason", "Why it becomes the next revision"), "Adopt the draft")
    names = form("rename", entry("name", "Name of the draft", value=drafts.name), "Give it this name")
    number = drafts.kept.book.revision.revision + 1
    adopt = f"Adopt the draft as revision {number} of the record"
    return folds.fold("adopt", adopt, lambda: _takes_away(state, drafts) + adopts) + folds.fold(
        "rename", "Name the draft", lambda: names
    )


def _takes_away(state: Sheet, drafts: Drafts) -> str:
    """What adopting the draft changes, and which evidence and concessions no longer hold then."""
    kept = drafts.kept
    record = drafted(kept.workspace, kept.book, state.draft)
    changes = "".join(f"<li>{marked(str(item))}</li>" for item in input_changes(state.record, record))
    said = [f'<ul class="gc-list">{changes}</ul>']
    whole = review(record, with_settled=has_slower_lines(record))
    lost = [
        f"Concession {one.number}: {why_moved(one, whole)}"
        for one in kept.book.concessions
        if state_of(one, kept.whole()) is State.HOLDS and state_of(one, whole) is State.STALE
    ]
    gone = [*_stale(state.record, record), *lost]
    if gone:
        each = "".join(f"<li>{marked(one)}.</li>" for one in gone)
        said.append(f'<p>No longer holds then:</p><ul class="gc-list">{each}</ul>')
    return "".join(said)


def _stale(before: Record, record: Record) -> list[str]:
    """The evidence that would be stale, under the reason that it shares with others."""
    known = {item.head.key for kind in KINDS for item in getattr(before, kind) if item.head.stale}
    by_reason: dict[str, list[str]] = {}
    for kind in KINDS:
        for item in getattr(record, kind):
            if item.head.stale and item.head.key not in known:
                by_reason.setdefault(item.head.stale, []).append(
                    f"{KIND_NAMES[kind]}, {item.head.applies_to}"
                )
    return [f"{'; '.join(dict.fromkeys(names)).capitalize()}: {why}" for why, names in by_reason.items()]


def _saved(state: Sheet, drafts: Drafts, folds: Folds) -> str:
    saved = [item for name, item in drafts.saved().items() if name != drafts.name]
    if not saved:
        return ""

    def body() -> str:
        return "".join(
            f"<p><b>{text(item.name)}</b>: {text(draft_words(item.values, state.record))}. "
            f'<span class="gc-quiet">{text(item.by)}, {text(moment_words(item.at))}, '
            f"on revision {item.revision}</span> "
            f'<button type="button" class="gc-do" data-act="take:{text(item.name)}">open it</button> '
            f'<button type="button" class="gc-do" data-act="forget:{text(item.name)}">drop it</button></p>'
            for item in saved
        )

    count = "One saved draft" if len(saved) == 1 else f"{len(saved)} saved drafts"
    return folds.fold("saved", count, body)


def write_draft(state: Sheet, drafts: Drafts, key: str, values: Mapping[str, str]) -> None:
    """Do what a form of this panel asks for; an InputError says what is missing."""
    if not state.draft:
        raise InputError([Fault("draft", "", "a draft: it was dropped meanwhile")])
    if key == "rename":
        drafts.rename(values.get("name", ""), state.draft)
    elif key == "adopt":
        drafts.kept.do(adopt_draft, values=dict(state.draft), reason=values.get("reason", ""))
        drafts.drop()
