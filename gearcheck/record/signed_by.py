"""Signed by whom? Trust comes from the list of signers that the reader brings, never from the file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gearcheck.basics.errors import shown
from gearcheck.record.answers import Answer
from gearcheck.record.fingerprint import fingerprint
from gearcheck.record.sealed import NOBODY
from gearcheck.record.signatures import shape_faults, signature_faults
from gearcheck.record.signers import Signer
from gearcheck.record.words import moment_words


def signed_by(
    about: Mapping[str, Any], roles: Sequence[str], signers: Sequence[Signer], *, digest: str
) -> Answer:
    """Say who signed, and whether that is enough.

    Parameters
    ----------
    about : mapping
        What the report says of itself.
    roles : sequence of str
        Who has to sign, as its history says.
    signers : sequence of Signer
        Whose keys the reader knows.
    digest : str
        Of the document as it is.

    Returns
    -------
    Answer
        It holds where every role is signed by a known key that may sign in it, by one person each, and
        where nobody else's signature stands beside them.
    """
    known = {item.public_key: item for item in signers}
    words: list[str] = []
    done: list[str] = []
    keys: dict[str, list[str]] = {}
    for item in about["signatures"]:
        faults = signature_faults(item, digest=digest)
        if faults:
            words.append(faults[0])
            continue
        fine, said = _one(item, known.get(item["public_key"]))
        words.append(said)
        signer = known.get(item["public_key"])
        keys.setdefault(signer.name if signer else item["public_key"], []).append(shown(item["role"]))
        if item["role"] not in roles:
            words.append(f"Nobody asked for a signature as {shown(item['role'])}.")
        if fine:
            done.append(item["role"])
    if not about["signatures"]:
        words.append(NOBODY)
    words += [f"One signer signed as {' and as '.join(held)}." for held in keys.values() if len(held) > 1]
    there = {item["role"] for item in about["signatures"] if not shape_faults(item)}
    missing = [shown(role) for role in roles if role not in there]
    if missing:
        words.append(f"Not signed yet by: {', '.join(missing)}.")
    if not roles:
        words.append("It carries no history that says who has to sign.")
    each_once = sorted(done) == sorted(roles) and len(done) == len(about["signatures"])
    apart = all(len(held) == 1 for held in keys.values())
    return Answer(ok=bool(roles) and each_once and apart, words=tuple(words))


def _one(item: Mapping[str, str], signer: Signer | None) -> tuple[bool, str]:
    who = f"{shown(item['name'])} as {shown(item['role'])}"
    when = f"{moment_words(item['signed_at'])} by the clock of the signer's machine"
    if signer is None:
        printed = fingerprint(item["public_key"])
        return False, (
            f"Signed by an unknown key, which says that it is {who}, {when}: "
            f"compare this fingerprint with the signer: {printed}"
        )
    if signer.name != item["name"]:
        return (
            False,
            f"Signed {when} as {who}, but the list of signers gives this key to {shown(signer.name)}.",
        )
    if signer.roles and item["role"] not in signer.roles:
        allowed = ", ".join(shown(role) for role in signer.roles)
        return (
            False,
            f"Signed by {who}, {when}, but the list of signers lets this key sign as {allowed} only.",
        )
    return True, f"Signed by {who}, {when}, with a key that is known."
