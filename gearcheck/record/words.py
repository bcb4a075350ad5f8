"""What was written to a record, in words: who did what, and when."""

from __future__ import annotations

from datetime import date, datetime

from gearcheck.record.events import Event, Kind

_DID = {
    Kind.OPENED: "opened the record",
    Kind.REVISED: "wrote revision {revision}",
    Kind.ASKED: "asked question {number}",
    Kind.ANSWERED: "answered question {to}",
    Kind.ACTION_SET: "set action {number}",
    Kind.ACTION_DONE: "closed action {to}",
    Kind.CONCEDED: "granted concession {number}",
    Kind.WITHDRAWN: "withdrew concession {to}",
    Kind.DISPOSED: "disposed of a finding",
    Kind.CONFIRMED: "confirmed values against {edition}",
    Kind.ROLES_SET: "set the roles that sign",
    Kind.PREPARED: "put the report before the signers",
    Kind.SIGNED: "took in a signature",
}


def moment_words(at: str) -> str:
    """Return a time as it is read: ``on 2 March 2026 at 09:30 UTC``.

    Parameters
    ----------
    at : str
        ISO 8601, UTC; what is none is given back as it is.

    Returns
    -------
    str
        In words.

    Examples
    --------
    >>> moment_words("2026-03-02T09:30:00Z")
    'on 2 March 2026 at 09:30 UTC'
    """
    try:
        moment = datetime.strptime(at, "%Y-%m-%dT%H:%M:%SZ")
    except ValueError:
        return at
    return f"on {day_words(at[:10])} at {moment:%H:%M} UTC"


def day_words(day: str) -> str:
    """Return a day as it is read: ``2 March 2026``; what is none is given back as it is."""
    try:
        found = date.fromisoformat(day)
    except ValueError:
        return day
    return f"{found.day} {_MONTHS[found.month - 1]} {found.year}"


_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def event_words(event: Event) -> str:
    """Say who did what and when: ``A. Fern (design) asked question 4 on 2 March 2026 at 09:30 UTC``.

    Parameters
    ----------
    event : Event
        Any.

    Returns
    -------
    str
        A sentence without its full stop; text from outside, not markup.
    """
    return f"{did_words(event)} {moment_words(event.at)}"


def did_words(event: Event) -> str:
    """Say who did what: ``A. Fern (design) asked question 4``; takes what `event_words` takes."""
    named = {"number": event.number, "revision": "", "to": "", "edition": ""} | {
        key: value for key, value in event.body.items() if key in ("revision", "to", "edition")
    }
    role = f" ({event.by.role})" if event.by.role else ""
    return f"{event.by.name}{role} {_DID[event.kind].format_map(named)}"
