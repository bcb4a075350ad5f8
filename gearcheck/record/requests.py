"""What goes out to a signer: a small file that says what is to be signed, in which role."""

from __future__ import annotations

import json
import re
from dataclasses import asdict, dataclass
from typing import Any

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.record.book import Book
from gearcheck.record.checks import is_plain
from gearcheck.record.standing import State, departure, state_of
from gearcheck.record.strict import strict_json
from gearcheck.review.results import Review
from gearcheck.review.whole import outcome

FORMAT = "gearcheck request to sign 1"
LARGEST = 200_000
LONGEST_TEXT = 500
_DIGEST = re.compile(r"[0-9a-f]{64}")
_STAGES = ("concept", "detail", "release")


def is_digest(text: object) -> bool:
    """Say whether a text is a SHA-256: 64 hexadecimal digits, lower case."""
    return isinstance(text, str) and _DIGEST.fullmatch(text) is not None


@dataclass(frozen=True, kw_only=True)
class Request:
    """What one signer is asked to sign.

    Parameters
    ----------
    part_number, drawing_revision, title, stage : str
        Of the gear.
    revision : str
        Of the record.
    digest : str
        Of the document, which is what the signature is over.
    role : str
        In which it is signed.
    outcome : str
        The sentence that says how many requirements fail.
    concessions : tuple of str
        Those in force, in words.
    unconfirmed : int
        How many values that it rests on were not confirmed.
    """

    part_number: str
    drawing_revision: str
    title: str
    stage: str
    revision: str
    digest: str
    role: str
    outcome: str
    concessions: tuple[str, ...]
    unconfirmed: int


def request_text(book: Book, role: str, whole: Review) -> str:
    """Write the request to one role.

    Parameters
    ----------
    book : Book
        Of a record whose report lies before the signers.
    role : str
        One of those that have to sign.
    whole : Review
        Of the revision that is signed.

    Returns
    -------
    str
        JSON; the same record gives the same text.

    Raises
    ------
    InputError
        If nothing lies before the signers, or the role is not asked for.
    """
    if book.prepared is None:
        needed = "a report that was put before the signers, and nothing written since"
        raise InputError([Fault("record", book.record, needed)])
    if role not in book.prepared.roles:
        raise InputError([Fault("role", role, f"one of {', '.join(book.prepared.roles)}")])
    request = Request(
        part_number=book.part_number,
        drawing_revision=book.drawing_revision,
        title=book.title,
        stage=str(whole.record.part.stage),
        revision=str(book.prepared.revision),
        digest=book.prepared.digest,
        role=role,
        outcome=outcome(whole),
        concessions=concessions_in_words(book, whole),
        unconfirmed=book.prepared.unconfirmed,
    )
    return json.dumps({"format": FORMAT, **asdict(request)}, ensure_ascii=False, indent=1) + "\n"


def concessions_in_words(book: Book, whole: Review) -> tuple[str, ...]:
    """Return the concessions that hold, as a request names them: a signer agrees to them."""
    return tuple(
        f"{item.number}, {item.title}, {departure(item)} Reason: {item.reason} Limit: {item.limit}"
        for item in book.concessions
        if state_of(item, whole) is State.HOLDS
    )


def read_request(text: bytes | str) -> Request:
    """Read a request.

    Parameters
    ----------
    text : bytes or str
        As `request_text` wrote it.

    Returns
    -------
    Request
        What is to be signed.

    Raises
    ------
    InputError
        If it is no request.
    """
    content = strict_json(text, what="request", largest=LARGEST)
    if not isinstance(content, dict) or content.pop("format", None) != FORMAT:
        raise InputError(
            [Fault("request", "something else", "a request to sign, as the sign-off sheet gives it out")]
        )
    _check(content)
    return Request(**{**content, "concessions": tuple(content["concessions"])})


def _check(content: dict[str, Any]) -> None:
    names, faults = set(Request.__dataclass_fields__), Faults()
    if set(content) != names:
        odd = ", ".join(sorted(set(content) ^ names))
        raise InputError([Fault("request", odd, "the fields of a request, and no others")])
    for name in sorted(names - {"concessions", "unconfirmed", "title"}):
        faults.need(_is_text(content[name]), f"request, {name}", content[name], "a text in one line")
    faults.need(isinstance(content["title"], str), "request, title", content["title"], "a text")
    faults.need(is_digest(content["digest"]), "request, digest", content["digest"], "64 hexadecimal digits")
    faults.need(
        content["stage"] in _STAGES, "request, stage", content["stage"], f"one of {', '.join(_STAGES)}"
    )
    listed = content["concessions"]
    in_words = isinstance(listed, list) and all(isinstance(item, str) for item in listed)
    faults.need(in_words, "request, concessions", listed, "a list of texts")
    count = content["unconfirmed"]
    counts = isinstance(count, int) and not isinstance(count, bool) and count >= 0
    faults.need(counts, "request, unconfirmed", count, "a whole number")
    faults.check()


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip()) and len(value) <= LONGEST_TEXT and is_plain(value)
