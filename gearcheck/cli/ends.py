"""How the commands read files, ask for a passphrase and print."""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from typing import Any

from gearcheck.basics.errors import Fault, InputError


def file_bytes(path: Path, what: str, *, largest: int) -> bytes:
    """Return a file that the user named.

    Parameters
    ----------
    path : Path
        The file.
    what : str
        What it is, for the message.
    largest : int
        The most bytes that it may have.

    Returns
    -------
    bytes
        All of it.

    Raises
    ------
    InputError
        If it cannot be read, or is larger.
    """
    try:
        with path.open("rb") as file:
            data = file.read(largest + 1)
    except OSError as error:
        why = error.strerror or "it cannot be read"
        raise InputError([Fault(what, str(path), "a file that can be read", why)]) from None
    if len(data) > largest:
        raise InputError([Fault(what, str(path), f"a file of at most {largest} bytes")])
    return data


def write_new(path: Path, data: bytes, what: str) -> None:
    """Write a file, never over another one; raises InputError."""
    try:
        with path.open("xb") as file:
            file.write(data)
    except OSError as error:
        needed = "a name that is free, in a folder that exists: nothing is overwritten"
        raise InputError([Fault(what, str(path), needed, error.strerror or str(error))]) from None


def passphrase(prompt: str, *, twice: bool = False) -> str:
    """Ask for a passphrase; where nobody types, the first line of the input is it.

    Parameters
    ----------
    prompt : str
        The question.
    twice : bool
        Whether it is asked once more, so that a slip of the finger locks nothing up.

    Returns
    -------
    str
        As typed.

    Raises
    ------
    InputError
        If the second is another one.
    """
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    from getpass import getpass

    first = getpass(f"{prompt}: ")
    if twice and getpass(f"{prompt}, once more: ") != first:
        raise InputError([Fault("passphrase", "two that differ", "the same one twice")])
    return first


def plain(text: str) -> str:
    """Return text from a file as one line that a console shows as it is."""
    return "".join(letter if letter.isprintable() else " " for letter in text)


def print_json(content: Any) -> None:
    """Print strict JSON, in UTF-8 on every console."""
    if hasattr(sys.stdout, "reconfigure"):
        sys.stdout.reconfigure(encoding="utf-8", errors="strict")
    print(json.dumps(content, ensure_ascii=False, allow_nan=False, indent=1))


def to_devnull() -> None:
    """Drop what is left in the buffer, which has nowhere to go when the interpreter ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
