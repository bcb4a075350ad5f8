"""Closing a record: values confirmed, roles named, the report put before the signers, signatures taken in."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.record import checks
from gearcheck.record.blocks import add_blocks
from gearcheck.record.book import Book
from gearcheck.record.events import Entry, Kind, Person
from gearcheck.record.ledger import confirmables, unconfirmed
from gearcheck.record.sealed import document_digest, read_notebook
from gearcheck.record.signatures import read_signature, signature_faults
from gearcheck.record.workspace import Workspace
from gearcheck.review.results import Review

_MOST_ROLES = 10


def confirm(
    workspace: Workspace,
    book: Book,
    whole: Review,
    *,
    by: Person,
    items: Sequence[str],
    edition: str,
    clause: str,
    date: str,
) -> Book:
    """Write down that values were compared with the document itself.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    whole : Review
        Of the revision that holds.
    by : Person
        Who held the document.
    items : sequence of str
        What was compared, by the names that `confirmables` gives.
    edition, clause, date : str
        Document with its edition, place in it, and the day.

    Returns
    -------
    Book
        With the confirmation.

    Raises
    ------
    InputError
        What is missing, not known, or confirmed already.
    """
    faults = Faults()
    checks.person(by, faults)
    known = {item.what: item for item in confirmables(whole, book)}
    faults.need(bool(items), "values", "", "at least one value that was compared")
    for what in items:
        fine = what in known and known[what].confirmation is None
        faults.need(fine, "value", what, "one that this record rests on and nobody has confirmed")
    body = {
        "edition": checks.line(edition, "edition", "the document and its edition", faults),
        "clause": checks.line(clause, "clause", "clause, table or page", faults),
        "date": checks.day(date, "day", faults, today=workspace.today),
    }
    faults.check()
    found = [{"what": what, "content": known[what].content} for what in dict.fromkeys(items)]
    entry = Entry(kind=Kind.CONFIRMED, by=by, body={**body, "items": found})
    return workspace.append(book.record, [entry], seen=book.last)


def require_roles(workspace: Workspace, book: Book, *, by: Person, roles: Sequence[str]) -> Book:
    """Say who has to sign, one signer a role.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    by : Person
        Who decides it.
    roles : sequence of str
        One to ten, each once.

    Returns
    -------
    Book
        With the roles.

    Raises
    ------
    InputError
        None, too many, one twice.
    """
    faults = Faults()
    checks.person(by, faults)
    named = [checks.line(role, "role", "a role", faults) for role in roles]
    some = 1 <= len(named) <= _MOST_ROLES and len({role.lower() for role in named}) == len(named)
    faults.need(some, "roles", ", ".join(named), f"one to {_MOST_ROLES} roles, each once")
    faults.check()
    return workspace.append(
        book.record, [Entry(kind=Kind.ROLES_SET, by=by, body={"roles": named})], seen=book.last
    )


def prepare(workspace: Workspace, book: Book, whole: Review, *, by: Person, notebook: bytes) -> Book:
    """Put a report before the signers: from now on its digest is what they sign.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    whole : Review
        Of the revision that holds.
    by : Person
        Who.
    notebook : bytes
        The report, without signatures.

    Returns
    -------
    Book
        With the report prepared.

    Raises
    ------
    InputError
        What blocks, in sentences.
    """
    faults = Faults()
    checks.person(by, faults)
    add_blocks(faults, whole, book)
    faults.check()
    report = read_notebook(notebook)
    digest, about = document_digest(report), report["metadata"]["gearcheck"]
    told = tuple(str(about.get(name)) for name in ("part_number", "drawing_revision", "revision"))
    own = (book.part_number, book.drawing_revision, str(book.revision.revision))
    faults.need(told == own, "report", ", ".join(told), f"the report of {', '.join(own)}")
    faults.check()
    if book.prepared is not None and book.prepared.digest == digest:  # what came back for it stays
        faults.add("report", digest[:12], "another report than the one that lies before the signers")
    faults.check()
    body = {
        "digest": digest,
        "report": hashlib.sha256(notebook).hexdigest(),
        "roles": list(book.roles),
        "unconfirmed": len(unconfirmed(whole, book)),
    }
    entry = Entry(kind=Kind.PREPARED, by=by, body=body)
    return workspace.append(book.record, [entry], seen=book.last, contents=[notebook])


def take_signature(workspace: Workspace, book: Book, *, by: Person, text: bytes | str) -> Book:
    """Take in a signature that came back.

    Parameters
    ----------
    workspace : Workspace
        That keeps it.
    book : Book
        Of the record.
    by : Person
        Who takes it in.
    text : bytes or str
        The signature file.

    Returns
    -------
    Book
        With the signature.

    Raises
    ------
    InputError
        Why it is none for what was prepared.
    """
    faults = Faults()
    checks.person(by, faults)
    signature = read_signature(text)
    if book.prepared is None:
        why = "the record went on since, or nothing was prepared: prepare it, and ask the signers again"
        raise InputError([Fault("signature", signature["name"], "a report before the signers", why)])
    found = signature_faults(signature, digest=book.prepared.digest)
    if found:
        needed = f"a signature of the report {book.prepared.digest[:12]}"
        raise InputError([Fault("signature", signature["name"], needed, found[0].rstrip("."))])
    role, taken = signature["role"], [item.signature for item in book.signatures]
    roles = ", ".join(book.missing_roles) or "none: all have signed"
    faults.need(role in book.missing_roles, "role", role, f"a role that has not signed yet: {roles}")
    is_new = all(item["public_key"] != signature["public_key"] for item in taken)
    faults.need(is_new, "key", signature["name"], "a key of its own for each role")
    said = (signature["part_number"], signature["drawing_revision"], signature["revision"])
    wanted = (book.part_number, book.drawing_revision, str(book.prepared.revision))
    faults.need(said == wanted, "signature", ", ".join(said), ", ".join(wanted))
    faults.check()
    entry = Entry(kind=Kind.SIGNED, by=by, body={"signature": signature})
    return workspace.append(book.record, [entry], seen=book.last)
