"""Commands that sign and verify: key, sign, verify."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.cli.codes import FINE
from gearcheck.cli.ends import file_bytes, passphrase, plain, print_json, write_new

if TYPE_CHECKING:
    from gearcheck.record.keys import SigningKey
    from gearcheck.record.requests import Request
    from gearcheck.record.verify import Verification

LARGEST_LIST = 1_000_000


def add(commands: Any) -> None:
    """Add the commands to the parser."""
    command = commands.add_parser("key", help="make a key to sign with")
    what = command.add_subparsers(title="commands", metavar="COMMAND", required=True)
    command = what.add_parser("new", help="make a key, and beside it the entry for a list of signers")
    command.add_argument("file", type=Path, metavar="FILE", help="the key file, which stays with its owner")
    command.add_argument("--name", required=True, help="the signer's name")
    command.set_defaults(run=_new_key)
    command = commands.add_parser("sign", help="sign what a request asks for")
    command.add_argument("request", type=Path, metavar="REQUEST", help="request file")
    command.add_argument("--key", type=Path, required=True, metavar="FILE", help="key file")
    command.add_argument("--name", help="the signer's name (default: the one beside the key)")
    command.add_argument(
        "--report", type=Path, metavar="NOTEBOOK", help="hold the request against the report itself"
    )
    command.add_argument("--to", type=Path, metavar="FILE", help="the signature file to write")
    command.set_defaults(run=_sign)
    command = commands.add_parser("verify", help="say whether a report was altered, who signed it, and more")
    command.add_argument("file", type=Path, metavar="FILE", help="notebook, or the archive of an export")
    command.add_argument("--signers", type=Path, metavar="FILE", help="list of signers whose keys are known")
    command.add_argument("--json", action="store_true", help="print the answers as JSON, in UTF-8")
    command.set_defaults(run=_verify)


def _new_key(given: argparse.Namespace) -> int:
    from gearcheck.record.fingerprint import fingerprint
    from gearcheck.record.keys import new_key, signer_file

    secret = passphrase("Passphrase for the new key", twice=True)
    key = new_key(given.file, name=given.name, passphrase=secret)
    print(given.file, signer_file(given.file), sep="\n")
    print(f"Fingerprint, to be read aloud to whoever keeps a list of signers:\n{fingerprint(key.public_key)}")
    print("Keep the key file and its passphrase to yourself; the other file is for everyone.")
    return FINE


def _sign(given: argparse.Namespace) -> int:
    from gearcheck.basics.names import file_stem
    from gearcheck.record.keys import read_key
    from gearcheck.record.requests import LARGEST, read_request
    from gearcheck.record.signatures import sign, signature_text
    from gearcheck.record.words import moment_words
    from gearcheck.record.workspace import utc_now

    request = read_request(file_bytes(given.request, "request", largest=LARGEST))
    _say(request)
    if given.report is None:
        print("These are the words of the request; --report holds them against the report itself.")
    else:
        _check_report(request, given.report)
        print(f"The report {given.report} is the one that is to be signed.")
    stem = file_stem(f"{request.part_number}_{request.drawing_revision}_{request.role}")
    target = given.to or Path(f"{stem}.signature.json")
    if target.exists():
        raise InputError(
            [Fault("signature file", str(target), "a name that is free: nothing is overwritten")]
        )
    key = read_key(given.key, passphrase(f"Passphrase of {given.key}"))
    name = given.name or _name_beside(given.key, key)
    signature = sign(request, key, name=name, at=utc_now())
    write_new(target, signature_text(signature).encode("utf-8"), "signature file")
    when = moment_words(signature["signed_at"])
    print(f"Signed as {plain(name)}, {plain(request.role)}, {when}: the time of this machine's clock.")
    print(target)
    return FINE


def _say(request: Request) -> None:
    conceded = request.concessions or ("none",)
    lines = (
        f"Part {request.part_number}, {request.title}, drawing revision {request.drawing_revision}, "
        f"revision {request.revision} of the record, {request.stage} review.",
        request.outcome,
        *(f"Concession: {item}" for item in conceded),
        f"Values not confirmed: {request.unconfirmed}",
        f"Digest: {request.digest}",
        f"To be signed in the role: {request.role}",
    )
    print(*(plain(line) for line in lines), sep="\n")


def _check_report(request: Request, path: Path) -> None:
    """What a request says of a report is what comes out of what the report carries."""
    from gearcheck.record.archive import LARGEST_ARCHIVE
    from gearcheck.record.inside import about_record
    from gearcheck.record.ledger import unconfirmed
    from gearcheck.record.requests import concessions_in_words
    from gearcheck.record.sealed import document_digest
    from gearcheck.record.verify import carried_review
    from gearcheck.review.whole import outcome

    notebook, whole, book = carried_review(file_bytes(path, "report", largest=LARGEST_ARCHIVE))
    about = about_record(notebook)
    said = (
        ("digest", document_digest(notebook), request.digest),
        ("part number", about["part_number"], request.part_number),
        ("drawing revision", about["drawing_revision"], request.drawing_revision),
        ("revision", str(about["revision"]), request.revision),
        ("stage", about["stage"], request.stage),
        ("title", book.title, request.title),
        ("outcome", outcome(whole), request.outcome),
        ("concessions", concessions_in_words(book, whole), request.concessions),
        ("values not confirmed", len(unconfirmed(whole, book)), request.unconfirmed),
    )
    needed = "what the request says: this is another report, or another request"
    faults = [Fault(f"report, {what}", plain(str(is_))[:80], needed) for what, is_, was in said if is_ != was]
    if faults:
        raise InputError(faults)


def _name_beside(path: Path, key: SigningKey) -> str:
    from gearcheck.record.keys import signer_file
    from gearcheck.record.signers import read_signers

    beside = signer_file(path)
    known = read_signers(file_bytes(beside, "name", largest=LARGEST_LIST)) if beside.is_file() else ()
    for signer in known:
        if signer.public_key == key.public_key:
            return signer.name
    raise InputError([Fault("--name", "", "the signer's name", f"{beside} does not give it")])


def _verify(given: argparse.Namespace) -> int:
    from gearcheck.record.archive import LARGEST_ARCHIVE
    from gearcheck.record.signers import read_signers
    from gearcheck.record.verify import verify
    from gearcheck.report.cells import misprints

    data = file_bytes(given.file, "report", largest=LARGEST_ARCHIVE)
    listed = b""
    if given.signers is not None:
        listed = file_bytes(given.signers, "signer list", largest=LARGEST_LIST)
    signers = read_signers(listed) if given.signers is not None else ()
    found = verify(data, signers=signers, reprint=misprints)
    if given.json:
        print_json({**asdict(found), "exit_code": found.exit_code})
    else:
        _say_answers(found, has_list=given.signers is not None)
    return found.exit_code


_TITLES = (
    ("altered", "Not altered"),
    ("signed", "Signed as required, by keys that are known"),
    ("numbers", "The same numbers with this version"),
)


def _say_answers(found: Verification, *, has_list: bool) -> None:
    part = f"{found.part_number}, drawing revision {found.drawing_revision}"
    print(plain(f"{part}, revision {found.revision} of the record, digest {found.digest}"))
    for name, title in _TITLES:
        answer = getattr(found, name)
        print(f"\n{title}: {'cannot be said' if answer.ok is None else 'yes' if answer.ok else 'no'}")
        print(*(f"  {plain(line)}" for line in answer.words), sep="\n")
    if not has_list:
        print("\nNo list of signers was given (--signers): no key is known.")
