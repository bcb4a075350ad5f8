"""Public keys as they are written and read aloud."""

from __future__ import annotations

import hashlib
import re

_KEY = re.compile(r"[0-9a-f]{64}")


def is_public_key(text: object) -> bool:
    """Say whether a text can be an Ed25519 public key: 64 hexadecimal digits, lower case."""
    return isinstance(text, str) and _KEY.fullmatch(text) is not None


def fingerprint(public_key: str) -> str:
    """Return the fingerprint of a key: its SHA-256, in groups of four to read aloud.

    Parameters
    ----------
    public_key : str
        64 hexadecimal digits; of anything else it says that it is no key.

    Returns
    -------
    str
        16 groups of four hexadecimal digits.

    Examples
    --------
    >>> fingerprint("00" * 32)[:19]
    '6668 7aad f862 bd77'
    """
    if not is_public_key(public_key):
        return "no key"
    digits = hashlib.sha256(bytes.fromhex(public_key)).hexdigest()
    return " ".join(digits[place : place + 4] for place in range(0, 64, 4))
