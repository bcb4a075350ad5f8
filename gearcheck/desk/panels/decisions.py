"""What was decided, asked and set to be done: each with who, when and what has become of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.entries import action_form, form, lines
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import answer, text
from gearcheck.record import decisions
from gearcheck.record.book import Action, Book, Concession, Question, Written
from gearcheck.record.standing import State, state_of, why_moved
from gearcheck.record.words import moment_words
from gearcheck.review.results import Review


def decisions_html(kept: Kept, folds: Folds) -> str:
    """Return concessions, questions and actions, each with the form that takes it further.

    Parameters
    ----------
    kept : Kept
        The record.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    whole, book = kept.whole(), kept.book
    titles = {item.key: item.title for item in whole.requirements}
    return (
        f"{_concessions(book, whole, folds)}{_questions(book, titles, folds)}{_actions(book, titles, folds)}"
    )


def _concessions(book: Book, whole: Review, folds: Folds) -> str:
    if not book.concessions:
        return _part("Concessions", "<p>No departure is conceded.</p>")
    return _part("Concessions", _list(_concession(item, whole, folds) for item in book.concessions))


def _concession(item: Concession, whole: Review, folds: Folds) -> str:
    state = state_of(item, whole)
    said = (
        f"<p><b>{item.number}. {text(item.title)}</b> {answer(state)}</p>"
        f"<p>{text(item.reason)} Limited to: {text(item.limit)}. {_written(item)}</p>"
    )
    if state is State.STALE:
        said += f"<p>It no longer covers its requirement: {marked(why_moved(item, whole))}.</p>"
    if item.withdrawn is not None:
        return f"{said}<p>Withdrawn: {text(item.why_withdrawn)} {_written(item.withdrawn)}</p>"
    wanted = form(
        f"withdraw:{item.number}",
        lines("reason", "Why it is withdrawn"),
        f"Withdraw concession {item.number}",
    )
    return said + folds.fold(f"withdraw {item.number}", "withdraw it", lambda: wanted)


def _questions(book: Book, titles: Mapping[str, str], folds: Folds) -> str:
    asks = form("ask:", lines("text", "Question to the whole record"), "Ask")
    new = folds.fold("ask", "ask a question of the whole record", lambda: asks)
    if not book.questions:
        return _part("Questions", f"<p>No question was asked.</p>{new}")
    return _part("Questions", _list(_question(item, titles, folds) for item in book.questions) + new)


def _question(item: Question, titles: Mapping[str, str], folds: Folds) -> str:
    said = (
        f"<p><b>{item.number}. {_about(item.about, titles)}</b> "
        f"{_open(item.answered is None, 'answered')}</p>"
        f"<p>{text(item.text)} {_written(item)}</p>"
    )
    if item.answered is not None:
        return f"{said}<p>Answer: {text(item.answer)} {_written(item.answered)}</p>"
    wanted = form(f"answer:{item.number}", lines("text", "Answer"), f"Answer question {item.number}")
    return said + folds.fold(f"answer {item.number}", "answer it", lambda: wanted)


def _actions(book: Book, titles: Mapping[str, str], folds: Folds) -> str:
    sets = action_form("")
    new = folds.fold("act", "set an action for the whole record", lambda: sets)
    if not book.actions:
        return _part("Actions", f"<p>No action was set.</p>{new}")
    return _part("Actions", _list(_action(item, titles, folds) for item in book.actions) + new)


def _action(item: Action, titles: Mapping[str, str], folds: Folds) -> str:
    said = (
        f"<p><b>{item.number}. {_about(item.about, titles)}</b> {_open(item.done is None, 'done')}</p>"
        f"<p>{text(item.text)} {text(item.owner)}, until {text(item.due)}. {_written(item)}</p>"
    )
    if item.done is not None:
        return f"{said}<p>Done: {text(item.note)} {_written(item.done)}</p>"
    wanted = form(f"finish:{item.number}", lines("note", "What came of it"), f"Close action {item.number}")
    return said + folds.fold(f"finish {item.number}", "close it", lambda: wanted)


def _part(title: str, inside: str) -> str:
    return f"<h3>{title}</h3>{inside}"


def _list(items: object) -> str:
    return f'<ol class="gc-decided">{"".join(f"<li>{item}</li>" for item in items)}</ol>'  # type: ignore[attr-defined]


def _about(key: str, titles: Mapping[str, str]) -> str:
    return text(titles.get(key, key)) if key else "The whole record"


def _open(is_open: bool, done: str) -> str:
    return answer("open") if is_open else f'<span class="gc-quiet">{done}</span>'


def _written(item: Written) -> str:
    said = f"{item.by}, {moment_words(item.at)}, on revision {item.revision} of the record"
    return f'<span class="gc-quiet">{text(said)}</span>'


def decide(kept: Kept, key: str, values: Mapping[str, str]) -> None:
    """Write down what a form of this panel asks for.

    Parameters
    ----------
    kept : Kept
        The record.
    key : str
        Of the form: what, and of which number.
    values : mapping of str to str
        What was typed.

    Raises
    ------
    InputError
        What is missing; then nothing is written.
    """
    what, _, number = key.partition(":")
    steps: dict[str, Callable[[], None]] = {
        "ask": lambda: kept.do(decisions.ask, about="", text=values["text"]),
        "answer": lambda: kept.do(decisions.answer, number=int(number), text=values["text"]),
        "act": lambda: kept.do(decisions.set_action, about="", **values),
        "finish": lambda: kept.do(decisions.finish, number=int(number), note=values["note"]),
        "withdraw": lambda: kept.do(decisions.withdraw, number=int(number), reason=values["reason"]),
    }
    steps[what]()
