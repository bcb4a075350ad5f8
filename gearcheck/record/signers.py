"""The list of known signers: trust comes from it, never from the file that is verified."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.record.fingerprint import fingerprint

_NAMES = {"name", "public_key", "roles", "fingerprint"}


@dataclass(frozen=True, kw_only=True)
class Signer:
    """Someone whose key is known; without roles, in any of them."""

    name: str
    public_key: str
    roles: tuple[str, ...] = ()


def read_signers(data: bytes) -> tuple[Signer, ...]:
    """Read a list of signers.

    Parameters
    ----------
    data : bytes
        TOML with ``[[signer]]`` entries: name, public_key, and optional roles and fingerprint.

    Returns
    -------
    tuple of Signer
        In their order.

    Raises
    ------
    InputError
        All that is wrong.
    """
    try:
        found = tomllib.loads(data.decode("utf-8"))
    except (ValueError, RecursionError) as error:
        raise InputError([Fault("signer list", "", "TOML with [[signer]] entries", str(error))]) from None
    entries = found.get("signer")
    if not isinstance(entries, list) or found.keys() != {"signer"}:
        raise InputError([Fault("signer list", "", "TOML with [[signer]] entries and nothing else")])
    faults, known = Faults(), []
    for number, entry in enumerate(entries, start=1):
        signer = _signer(entry if isinstance(entry, dict) else {}, f"signer[{number}]", faults)
        if signer is not None:
            known.append(signer)
    keys = [item.public_key for item in known]
    for number, key in enumerate(keys, start=1):
        faults.need(keys.count(key) == 1, f"signer[{number}].public_key", key, "each key once")
    faults.check()
    return tuple(known)


def _signer(entry: dict[str, object], place: str, faults: Faults) -> Signer | None:
    before = len(faults.found)
    name, key, roles = entry.get("name"), entry.get("public_key"), entry.get("roles", [])
    for other in entry.keys() - _NAMES:
        faults.add(f"{place}.{other}", other, f"one of {', '.join(sorted(_NAMES))}")
    faults.need(isinstance(name, str) and name.strip() != "", f"{place}.name", name, "the name of the signer")
    is_key = isinstance(key, str) and len(key) == 64 and not set(key) - set("0123456789abcdef")
    faults.need(is_key, f"{place}.public_key", key, "64 hexadecimal digits in small letters")
    is_list = isinstance(roles, list) and all(isinstance(role, str) for role in roles)
    faults.need(is_list, f"{place}.roles", roles, 'a list of roles, such as ["quality"]')
    given = entry.get("fingerprint")
    if is_key and given is not None:
        faults.need(given == fingerprint(str(key)), f"{place}.fingerprint", given, fingerprint(str(key)))
    if len(faults.found) > before:
        return None
    assert isinstance(roles, list)
    return Signer(name=str(name), public_key=str(key), roles=tuple(roles))
