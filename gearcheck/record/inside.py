"""What a report carries, read without running any of it."""

from __future__ import annotations

import ast
import io
import tokenize
import warnings
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import PurePosixPath
from typing import Any

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.record.requests import is_digest
from gearcheck.record.sealed import joined

FORMAT = 1
NAMES = ("GEAR_FILE", "EVIDENCE", "HISTORY")
LONGEST_NAME = 200
LONGEST_CELL = 8_000_000

_SKIPPED = (tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.ENDMARKER, tokenize.STRING)
_DEEPEST = 2


@dataclass(frozen=True, kw_only=True)
class Carried:
    """What the first code cell assigns.

    Parameters
    ----------
    gear_file : str
        The text of the gear file.
    evidence : mapping of str to str
        The text of each evidence file by its name.
    history : tuple of str
        The events of the record as canonical texts; none in the report of a plain gear file.
    """

    gear_file: str
    evidence: Mapping[str, str]
    history: tuple[str, ...]


def about_record(notebook: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return what a report says of itself in ``metadata.gearcheck``.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` returns it.

    Returns
    -------
    mapping
        Of the form that this version reads.

    Raises
    ------
    InputError
        If it is none.
    """
    about = notebook["metadata"].get("gearcheck")
    if not isinstance(about, dict):
        raise InputError(
            [Fault("notebook", "something else", "a report of a record, which says so in its metadata")]
        )
    faults = Faults()

    def need(name: str, holds: bool, needed: str) -> None:
        faults.need(holds, f"notebook, metadata.gearcheck.{name}", about.get(name), needed)

    need("format", about.get("format") == FORMAT, f"format {FORMAT}, which this version reads")
    for name in ("part_number", "drawing_revision", "stage"):
        need(name, isinstance(about.get(name), str), "a text")
    revision = about.get("revision")
    need("revision", isinstance(revision, int | str) and not isinstance(revision, bool), "a revision")
    need("digest", is_digest(about.get("digest")), "64 hexadecimal digits in lower case")
    contents = about.get("contents")
    need("contents", isinstance(contents, dict), "inputs, evidence, results, answers, decisions, versions")
    need("roles", _is_texts(about.get("roles")), "a list of roles")
    need("signatures", isinstance(about.get("signatures"), list), "a list of signatures")
    faults.check()
    return about


def _is_texts(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(item, str) for item in value)


def carried_in(notebook: Mapping[str, Any]) -> Carried:
    """Read the first code cell as text, and never as a program.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` returns it.

    Returns
    -------
    Carried
        The three literals.

    Raises
    ------
    InputError
        If the cell holds anything but these three literals.
    """
    source = next((joined(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "code"), "")
    if len(source) > LONGEST_CELL:
        raise InputError([Fault("first code cell", f"{len(source)} letters", f"at most {LONGEST_CELL}")])
    try:
        _check_tokens(source)
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # an escape that Python only warns of is none that a report writes
            body = ast.parse(source).body
        values = {name: _literal(node, name) for name, node in zip(NAMES, body, strict=True)}
        for value in values.values():
            str(value).encode("utf-8")
    except (SyntaxError, tokenize.TokenError, ValueError, TypeError, RecursionError, MemoryError):
        needed = f"{', '.join(NAMES)} as plain texts, and nothing else"
        raise InputError([Fault("first code cell", "something else", needed)]) from None
    gear_file, evidence, history = values.values()
    fine = isinstance(gear_file, str) and isinstance(evidence, dict) and _is_texts(history)
    if not fine or not _is_texts([*evidence, *evidence.values()]):
        raise InputError(
            [Fault("first code cell", "something else", "a text, texts by name, a list of texts")]
        )
    _check_names(evidence)
    return Carried(gear_file=gear_file, evidence=evidence, history=tuple(history))


def _check_tokens(source: str) -> None:
    """Refuse all but names, texts, lists and tables, before Python's own parser sees how deep it goes."""
    depth = 0
    for token in tokenize.generate_tokens(io.StringIO(source).readline):
        if token.type in _SKIPPED or (token.type == tokenize.NAME and token.string in NAMES):
            continue
        if token.type != tokenize.OP or token.string not in "=:,[]{}":
            raise ValueError(token.string)
        depth += (token.string in "[{") - (token.string in "]}")
        if depth > _DEEPEST:
            raise ValueError("too deep")


def _literal(node: ast.stmt, name: str) -> Any:
    if not isinstance(node, ast.Assign) or [ast.unparse(target) for target in node.targets] != [name]:
        raise ValueError(name)
    value = ast.literal_eval(node.value)
    if isinstance(node.value, ast.Dict) and len(node.value.keys) != len(value):
        raise ValueError("a name stands twice")
    return value


def _check_names(evidence: Mapping[str, str]) -> None:
    """Each name is one of a file below the gear file, on every system."""
    faults = Faults()
    paths = [PurePosixPath(name.casefold()) for name in evidence]
    for name, path in zip(evidence, paths, strict=True):
        inside = name.isprintable() and not set('\\:*?"<>|') & set(name) and not path.is_absolute()
        plain = (
            0 < len(name) <= LONGEST_NAME
            and all(len(part.encode("utf-8")) < 250 for part in path.parts)
            and ".." not in path.parts
            and path.name != ""
        )
        apart = paths.count(path) == 1 and not any(path in other.parents for other in paths)
        faults.need(inside and plain and apart, "EVIDENCE", name, "the name of a file beside the gear file")
    faults.check()
