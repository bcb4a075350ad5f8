"""Guess first: three questions, and after the guess what the calculation says of the gear under review."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gearcheck.desk.guard import Say
from gearcheck.desk.panels.numbers import marked
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import text
from gearcheck.review.guesses import Answer, Question, Tried


class Guesses:
    """The questions with what was guessed.

    Parameters
    ----------
    state : Sheet
        The state of the sheet; the answers are those of its record, whatever draft stands.
    say : Say
        Where trouble is told.
    questions : sequence of Question
        What is asked.
    """

    MARGIN = (
        "Guess before you look: what surprises stays.",
        "The answers are worked out on the record; its draft is put aside when you take one of these up.",
    )

    def __init__(self, state: Sheet, say: Say, questions: Sequence[Question]) -> None:
        self.state, self._questions = state, questions
        self._guessed: dict[str, int] = {}
        self._known: dict[str, Answer | None] = {}
        self.piece = Piece(self._html, say, self._act)

    def _act(self, act: str) -> None:
        kind, _, what = act.partition(":")
        key, _, place = what.partition(":")
        if kind == "guess":
            self._guessed[key] = int(place)
        elif kind == "again":
            self._guessed.pop(key, None)
        elif kind == "draft":
            answer = self._answer(next(one for one in self._questions if one.key == key))
            values = None if answer is None else answer.tried[int(place)].values
            if values is not None:
                self.state.take(values)

    def _answer(self, question: Question) -> Answer | None:
        if question.key not in self._known:
            self._known[question.key] = question.work(self.state.record)
        return self._known[question.key]

    def _why(self) -> str:
        mesh = self.state.ghost.chain.meshes[0]
        return (
            mesh.missing
            or mesh.gear.missing_flank
            or mesh.gear.missing_root
            or ("the record lacks what it needs, or a stop leaves no value")
        )

    def _html(self, _: Folds) -> str:
        asked = "".join(self._question(number, one) for number, one in enumerate(self._questions, start=1))
        return f'<h2 id="guesses">Three guesses</h2><div class="gc-guesses">{asked}</div>'

    def _question(self, number: int, one: Question) -> str:
        head = f"<h3>{number}. {text(one.ask)}</h3>"
        if one.key not in self._guessed:
            return f'<section class="gc-guess">{head}<p>{"".join(_buttons(one))}</p></section>'
        answer = self._answer(one)
        if answer is None:
            said = f"<p>The calculation cannot answer on this record: {marked(self._why())}.</p>"
        else:
            said = self._said(one, answer)
        return f'<section class="gc-guess" data-guessed>{head}{said}<p>{marked(one.reason)}</p></section>'

    def _said(self, one: Question, answer: Answer) -> str:
        guessed = one.guesses[self._guessed[one.key]]
        verdict = "as you guessed" if self._guessed[one.key] == answer.right else "not as you guessed"
        rows = "".join(self._row(one, place, tried) for place, tried in enumerate(answer.tried))
        again = f'<button type="button" class="gc-do" data-act="again:{one.key}">guess again</button>'
        return (
            f"<p>You guessed: {text(guessed)}. {again}</p>"
            f"<p><b>{marked(answer.said)}</b> It is {verdict}.</p>"
            f'<table class="gc-table"><tbody>{rows}</tbody></table>'
        )

    def _row(self, one: Question, place: int, tried: Tried) -> str:
        button = self._button(f'data-act="draft:{one.key}:{place}"', tried)
        return (
            f'<tr><th scope="row">{text(tried.words)}</th><td>{marked(tried.said)}</td><td>{button}</td></tr>'
        )

    def _button(self, act: str, tried: Tried) -> str:
        if tried.values is None:
            return ""
        if dict(tried.values) == self.state.draft:
            return "on the sheet now"
        return f'<button type="button" class="gc-do" {act}>put it on the sheet</button>'


def _buttons(one: Question) -> Iterator[str]:
    for place, guess in enumerate(one.guesses):
        act = f'data-act="guess:{one.key}:{place}"'
        yield f'<button type="button" class="gc-do" {act}>{text(guess)}</button> '
