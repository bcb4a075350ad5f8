"""What is signed: the digest of a whole notebook but its signatures, and the cell that prints them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.names import markdown_text
from gearcheck.record.fingerprint import fingerprint
from gearcheck.record.strict import canonical, strict_json
from gearcheck.record.words import moment_words

LARGEST_NOTEBOOK = 64 * 2**20
SIGNATURES_CELL = "signatures"
BLOCK = ("digest", "signatures")
"""The names in ``metadata.gearcheck`` that stand outside the digest."""

NOBODY = "Nobody has signed."


def read_notebook(data: bytes) -> dict[str, Any]:
    """Read a notebook strictly.

    Parameters
    ----------
    data : bytes
        The file.

    Returns
    -------
    dict
        Plain data: notebook format 4, with a list of cells that each have a type and a source.

    Raises
    ------
    InputError
        If it is anything else.
    """
    notebook = strict_json(data, what="notebook", largest=LARGEST_NOTEBOOK)
    if not isinstance(notebook, dict) or notebook.get("nbformat") != 4:
        raise InputError([Fault("notebook", "something else", "a notebook of format 4")])
    if not isinstance(notebook.get("metadata"), dict) or not isinstance(notebook.get("cells"), list):
        raise InputError(
            [Fault("notebook", "something else", "a notebook with metadata and a list of cells")]
        )
    for number, cell in enumerate(notebook["cells"], start=1):
        if not isinstance(cell, dict) or cell.get("cell_type") not in ("markdown", "code", "raw"):
            raise InputError([Fault(f"cell {number}", "something else", "a cell of text or of code")])
        if not _is_source(cell.get("source")):
            raise InputError(
                [Fault(f"cell {number}, source", "something else", "a text, or a list of its lines")]
            )
    return notebook


def _is_source(source: Any) -> bool:
    return isinstance(source, str) or (
        isinstance(source, list) and all(isinstance(line, str) for line in source)
    )


def joined(source: str | Sequence[str]) -> str:
    """Return the text of a cell, which a notebook may keep as a list of its lines."""
    return source if isinstance(source, str) else "".join(source)


def notebook_text(notebook: Mapping[str, Any]) -> str:
    """Write a notebook.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` returns it.

    Returns
    -------
    str
        The whole file, always the same for the same notebook.
    """
    return json.dumps(notebook, ensure_ascii=False, allow_nan=False, indent=1, sort_keys=True) + "\n"


def document_digest(notebook: Mapping[str, Any]) -> str:
    """Return the SHA-256 of all that is signed: cells, outputs and metadata, but not the signatures.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` returns it, of a report that has a place for signatures.

    Returns
    -------
    str
        64 hexadecimal digits, of the canonical JSON (RFC 8785) without ``metadata.gearcheck.digest``,
        ``metadata.gearcheck.signatures`` and the source of the last markdown cell.

    Raises
    ------
    InputError
        If it has no place for signatures.
    """
    about = _about(notebook)
    signed = {name: value for name, value in about.items() if name not in BLOCK}
    return hashlib.sha256(canonical(_with(notebook, signed, ""))).hexdigest()


def with_signatures(notebook: Mapping[str, Any], signatures: Sequence[Mapping[str, str]]) -> dict[str, Any]:
    """Return a notebook that states its digest and carries these signatures, and no others.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` returns it.
    signatures : sequence of mapping
        As `sign` returns them.

    Returns
    -------
    dict
        With the same document digest.

    Raises
    ------
    InputError
        If it has no place for signatures.
    """
    about = _about(notebook) | {"digest": document_digest(notebook)}
    about["signatures"] = [dict(item) for item in signatures]
    return _with(notebook, about, signatures_markdown(about).splitlines(keepends=True))


def signatures_source(notebook: Mapping[str, Any]) -> str:
    """Return what the cell of the signatures says; raises as `document_digest`."""
    return joined(notebook["cells"][_place(notebook)]["source"])


def signatures_markdown(about: Mapping[str, Any]) -> str:
    """Print who signed, and who is missing.

    Parameters
    ----------
    about : mapping
        ``metadata.gearcheck``: its ``digest``, its ``signatures``, and the ``roles`` that have to sign.

    Returns
    -------
    str
        Markdown in which nothing of a name or a role means anything but itself.
    """
    signatures = about["signatures"]
    lines = ["## Signatures", ""]
    if signatures:
        lines += [
            "| Role | Name | Signed, by the clock of the signer's machine | Fingerprint of the key |",
            "| --- | --- | --- | --- |",
            *(_row(item) for item in signatures),
        ]
    else:
        lines.append(NOBODY)
    there = {item["role"] for item in signatures}
    missing = [markdown_text(role) for role in about.get("roles", ()) if role not in there]
    if missing:
        lines += ["", f"Missing: {', '.join(missing)}."]
    lines += ["", f"Digest of this document: `{about['digest']}`."]
    lines += [
        "",
        "`gearcheck verify` says of this file whether all this holds, and runs nothing of it.",
    ]
    return "\n".join(lines)


def _row(item: Mapping[str, str]) -> str:
    said = (item["role"], item["name"], moment_words(item["signed_at"]), fingerprint(item["public_key"]))
    return f"| {' | '.join(markdown_text(text) for text in said)} |"


def _about(notebook: Mapping[str, Any]) -> dict[str, Any]:
    about = notebook["metadata"].get("gearcheck")
    if not isinstance(about, dict):
        needed = "a report of a record, which says so in its metadata"
        raise InputError([Fault("notebook", "something else", needed)])
    return dict(about)


def _place(notebook: Mapping[str, Any]) -> int:
    """The place of the last markdown cell, which has to be that of the signatures."""
    cells = notebook["cells"]
    texts = [place for place, cell in enumerate(cells) if cell["cell_type"] == "markdown"]
    if not texts or cells[texts[-1]].get("id") != SIGNATURES_CELL:
        raise InputError([Fault("notebook", "something else", "a last cell of text for the signatures")])
    return texts[-1]


def _with(notebook: Mapping[str, Any], about: Mapping[str, Any], source: str | list[str]) -> dict[str, Any]:
    cells, place = list(notebook["cells"]), _place(notebook)
    cells[place] = {**cells[place], "source": source}
    metadata = {**notebook["metadata"], "gearcheck": dict(about)}
    return {**notebook, "cells": cells, "metadata": metadata}
