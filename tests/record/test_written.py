"""What people write is looked at letter by letter before it is kept."""

import pytest

from gearcheck.basics.errors import Faults
from gearcheck.record import checks
from gearcheck.record.events import Person


def refused(check, *given, **named):
    faults = Faults()
    check(*given, faults=faults, **named)
    return [str(fault) for fault in faults.found]


@pytest.mark.parametrize(
    "text",
    [
        "yes",
        "Which lot?\nThe one of March.",
        "Which lot?\r\nThe one of March.\tOr not.",
        "0.12\u00a0mm, as a word processor writes it",
        "0.12\u202fmm, thin and narrow\u2009spaces",
        "Größe ΔT ≤ 3 K, 齿轮",
        "x" * 4000,
    ],
    ids=range(7),
)
def test_what_can_be_read_is_taken(text):
    faults = Faults()
    assert checks.words(f"  {text}\n", "reason", "why", faults) == text.replace("\r\n", "\n")
    assert not faults.found


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "reason: missing; needed: why, at most 4000 letters"),
        (" \n\t ", "reason: missing; needed: why, at most 4000 letters"),
        ("x" * 4001, f"reason: given {'x' * 57}...; needed: why, at most 4000 letters"),
        ("the\x00end", "reason: given 'the\\x00end'; needed: why, without signs that do not show"),
        ("an \u202eend", "reason: given 'an \\u202eend'; needed: why, without signs that do not show"),
        ("half \ud800", "reason: given 'half \\ud800'; needed: why, without signs that do not show"),
        ("one\rtwo", "reason: given 'one\\rtwo'; needed: why, without signs that do not show"),
    ],
    ids=["empty", "blank", "long", "null", "turned", "surrogate", "return"],
)
def test_what_cannot_be_read_is_named(text, said):
    assert refused(checks.words, text, "reason", "why") == [said]


@pytest.mark.parametrize("text", ["", "  ", "A.\nFern", "A.\u200bFern", "x" * 201, "\t"], ids=range(6))
def test_a_line_is_one_line(text):
    (said,) = refused(checks.line, text, "owner", "who does it")
    assert "on one line of at most 200 letters" in said


def test_a_name_is_needed_and_a_role_is_not():
    assert not refused(checks.person, Person(name="A.\u00a0Fern"))
    assert len(refused(checks.person, Person(name=" ", role="a\nb"))) == 2


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2026-02-29",
        "2026-13-01",
        "0000-01-01",
        "26-03-02",
        "2026-3-2",
        "02.03.2026",
        "20260302",
        "2026-W10-1",
        "2026-03-02T09:30",
        "٢٠٢٦-٠٣-٠٢",
        "2026-03-02\n2026-03-03",
    ],
)
def test_a_day_that_is_none_is_refused(text):
    (said,) = refused(checks.day, text, "due")
    assert said.endswith("needed: a day, written as 2026-03-02")


def test_a_day_is_taken_without_blanks():
    faults = Faults()
    assert checks.day(" 2028-02-29 ", "due", faults) == "2028-02-29"
    assert not faults.found


@pytest.mark.parametrize(
    ("text", "fine"),
    [("2026-03-20", True), ("2026-03-21", True), ("2026-03-22", False), ("1999-12-31", True)],
)
def test_a_day_on_which_something_was_seen_has_come(text, fine):
    assert bool(refused(checks.day, text, "day", today="2026-03-20")) is not fine
