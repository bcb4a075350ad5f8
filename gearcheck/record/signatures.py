"""Signatures: each stands by itself beside what it signs, so that a second does not break the first."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from gearcheck.basics.errors import Fault, InputError, shown
from gearcheck.record.fingerprint import is_public_key
from gearcheck.record.keys import SigningKey, check_name
from gearcheck.record.requests import Request, is_digest
from gearcheck.record.strict import canonical, strict_json

FORMAT = "gearcheck signature 1"
LARGEST = 20_000
LONGEST_TEXT = 500
FIELDS = (
    "format",
    "digest",
    "part_number",
    "drawing_revision",
    "revision",
    "role",
    "name",
    "signed_at",
    "public_key",
    "signature",
)
_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_SIGNATURE = re.compile(r"[0-9a-f]{128}")


def sign(request: Request, key: SigningKey, *, name: str, at: str) -> dict[str, str]:
    """Sign what a request asks for.

    Parameters
    ----------
    request : Request
        As read.
    key : SigningKey
        Of the signer.
    name : str
        Of the signer.
    at : str
        When, UTC, by the clock of this machine.

    Returns
    -------
    dict
        The signature with all that it is over.

    Raises
    ------
    InputError
        If the name cannot be used.
    """
    check_name(name)
    said = {
        "format": FORMAT,
        "digest": request.digest,
        "part_number": request.part_number,
        "drawing_revision": request.drawing_revision,
        "revision": request.revision,
        "role": request.role,
        "name": name,
        "signed_at": at,
        "public_key": key.public_key,
    }
    return {**said, "signature": key.signature(canonical(said))}


def signature_text(signature: Mapping[str, str]) -> str:
    """Return the file that goes back to the record.

    Parameters
    ----------
    signature : mapping
        As `sign` returns it.

    Returns
    -------
    str
        JSON.
    """
    return json.dumps(dict(signature), ensure_ascii=False, indent=1) + "\n"


def read_signature(text: bytes | str) -> dict[str, str]:
    """Read a signature file; whether it holds is for `signature_faults`.

    Parameters
    ----------
    text : bytes or str
        As `signature_text` wrote it.

    Returns
    -------
    dict
        The signature.

    Raises
    ------
    InputError
        If it is no signature file.
    """
    content = strict_json(text, what="signature file", largest=LARGEST)
    faults = shape_faults(content)
    if faults:
        if isinstance(content, dict) and "signature" not in content and "digest" in content:
            needed = "the signature that comes back: gearcheck sign makes it of a request"
            raise InputError([Fault("signature file", "a request", needed)])
        raise InputError(
            [Fault("signature file", "something else", "a signature file as it was written", faults[0])]
        )
    return {name: content[name] for name in FIELDS}


def shape_faults(signature: Any) -> tuple[str, ...]:
    """Say what keeps plain data from being a signature at all.

    Parameters
    ----------
    signature : Any
        Plain data.

    Returns
    -------
    tuple of str
        Sentences; none where it has the form of a signature.
    """
    if not isinstance(signature, dict):
        return ("It is no signature.",)
    if set(signature) != set(FIELDS):
        names = sorted(set(signature) ^ set(FIELDS))
        return (f"It has other fields than a signature has: {shown(', '.join(names))}.",)
    wrong = [name for name in FIELDS if not _is_text(signature[name])]
    if wrong:
        return (f"Its field {wrong[0]} is no text of 1 to {LONGEST_TEXT} letters.",)
    said = (
        (signature["format"] == FORMAT, f"it is not of the format '{FORMAT}'"),
        (is_digest(signature["digest"]), "its digest is not 64 hexadecimal digits in lower case"),
        (is_public_key(signature["public_key"]), "its key is not 64 hexadecimal digits in lower case"),
        (_SIGNATURE.fullmatch(signature["signature"]), "it is not 128 hexadecimal digits in lower case"),
        (_TIME.fullmatch(signature["signed_at"]), "its time is not written as 2026-03-02T09:30:00Z"),
    )
    return tuple(f"A signature cannot be read: {why}." for holds, why in said if not holds)


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and bool(value.strip()) and len(value) <= LONGEST_TEXT


def signature_faults(signature: Mapping[str, Any], *, digest: str) -> tuple[str, ...]:
    """Say why a signature does not hold for a document.

    Parameters
    ----------
    signature : mapping
        As it stands in the signature block.
    digest : str
        Of the document.

    Returns
    -------
    tuple of str
        Sentences; none where it holds.
    """
    faults = shape_faults(signature)
    if faults:
        return faults
    who = f"The signature of {shown(signature['name'])} as {shown(signature['role'])}"
    found = []
    if signature["digest"] != digest:
        found.append(f"{who} is over another document: its digest is {signature['digest'][:12]} ...")
    if not _holds(signature):
        found.append(f"{who} does not hold: what it says was changed after it was signed.")
    return tuple(found)


def _holds(signature: Mapping[str, str]) -> bool:
    said = {name: signature[name] for name in FIELDS if name != "signature"}
    try:
        key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(signature["public_key"]))
        key.verify(bytes.fromhex(signature["signature"]), canonical(said))
    except (InvalidSignature, InputError, ValueError):
        return False
    return True
