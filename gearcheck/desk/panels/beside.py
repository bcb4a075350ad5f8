"""What was written beside a requirement, and the forms that write there."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import action_form, entry, form, lines
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import answer, text
from gearcheck.record import decisions
from gearcheck.record.standing import State, state_of, why_moved
from gearcheck.requirements.types import Requirement


def beside_html(kept: Kept, item: Requirement, folds: Folds) -> str:
    """Return the decisions about one requirement, and a fold with the forms that add one.

    Parameters
    ----------
    kept : Kept
        The record.
    item : Requirement
        As the record has it, without a draft.
    folds : Folds
        Of the piece.

    Returns
    -------
    str
        HTML.
    """
    said = "".join((*_concessions(kept, item), *_questions(kept, item), *_actions(kept, item)))
    return said + folds.fold(f"beside:{item.key}", "write beside it", lambda: _forms(kept, item, folds))


def _concessions(kept: Kept, item: Requirement) -> list[str]:
    found = []
    for one in kept.book.concessions:
        if one.about != item.key:
            continue
        state = state_of(one, kept.whole())
        why = f": {marked(why_moved(one, kept.whole()))}" if state is State.STALE else ""
        found.append(
            f"<p>Concession {one.number} {answer(state)}{why}. {text(one.reason)} "
            f"Limited to: {text(one.limit)}. "
            f'<span class="gc-quiet">{text(one.by)}, on revision {one.revision} of the record</span></p>'
        )
    return found


def _questions(kept: Kept, item: Requirement) -> list[str]:
    return [
        f"<p>Question {one.number}: {text(one.text)} "
        f'<span class="gc-quiet">{text(one.by)}</span> '
        + (
            answer("open")
            if one.answered is None
            else f'Answer: {text(one.answer)} <span class="gc-quiet">{text(one.answered.by)}</span>'
        )
        + "</p>"
        for one in kept.book.questions
        if one.about == item.key
    ]


def _actions(kept: Kept, item: Requirement) -> list[str]:
    return [
        f"<p>Action {one.number}: {text(one.text)} {text(one.owner)}, until {text(one.due)}. "
        + (answer("open") if one.done is None else f"Done: {text(one.note)}")
        + "</p>"
        for one in kept.book.actions
        if one.about == item.key
    ]


def _forms(kept: Kept, item: Requirement, folds: Folds) -> str:
    asks = form(f"ask:{item.key}", lines("text", "Question"), "Ask")
    acts = action_form(item.key)
    parts = [
        folds.fold(f"ask:{item.key}", "a question", lambda: asks),
        folds.fold(f"act:{item.key}", "an action", lambda: acts),
    ]
    if decisions.may_be_conceded(item, kept.whole().record.part.stage):
        grants = form(
            f"concede:{item.key}",
            lines("reason", "Why the departure is accepted")
            + entry("limit", "How far it reaches", hint="serial numbers, hours, a number of parts"),
            "Grant the concession",
        )
        parts.append(folds.fold(f"concede:{item.key}", "a concession", lambda: grants))
    return f'<div class="gc-works">{"".join(parts)}</div>'


def write_beside(kept: Kept, key: str, values: Mapping[str, str]) -> None:
    """Write down what a form beside a requirement asks for.

    Parameters
    ----------
    kept : Kept
        The record.
    key : str
        What, and the key of the requirement.
    values : mapping of str to str
        What was typed.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    what, _, about = key.partition(":")
    given = {name: values.get(name, "") for name in ("text", "owner", "due", "reason", "limit")}
    steps: dict[str, Callable[[], None]] = {
        "ask": lambda: kept.do(decisions.ask, about=about, text=given["text"]),
        "act": lambda: kept.do(
            decisions.set_action, about=about, text=given["text"], owner=given["owner"], due=given["due"]
        ),
        "concede": lambda: kept.do(
            decisions.concede, whole=kept.whole(), about=about, reason=given["reason"], limit=given["limit"]
        ),
    }
    steps[what]()
