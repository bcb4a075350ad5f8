"""The archive of an export, read in memory and within limits: nothing of it is ever written out."""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
import zlib
from collections.abc import Mapping, Sequence

from gearcheck.basics.errors import Fault, InputError, shown
from gearcheck.basics.names import file_stem
from gearcheck.record.inside import Carried
from gearcheck.record.sealed import LARGEST_NOTEBOOK
from gearcheck.record.signatures import signature_text

SUMS = "SHA256SUMS"
LARGEST_ARCHIVE = 256 * 2**20
LARGEST_CONTENT = 256 * 2**20
MOST_FILES = 200
_LONGEST = 150
_LINE = re.compile(r"([0-9a-f]{64}) [ *](.+)")
_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_. -]*(/[A-Za-z0-9_][A-Za-z0-9_. -]*)*")


def is_archive(data: bytes) -> bool:
    """Say whether a file is an archive rather than a notebook."""
    return data[:2] == b"PK"


def notebook_in(data: bytes) -> tuple[bytes, tuple[str, ...], dict[str, bytes]]:
    """Take the notebook out of an archive, and hold every file against the list of fingerprints.

    Parameters
    ----------
    data : bytes
        The archive.

    Returns
    -------
    notebook : bytes
        The one notebook in it.
    faults : tuple of str
        Which files are not those of the list ``SHA256SUMS``, in sentences.
    files : dict of str to bytes
        All of it by name.

    Raises
    ------
    InputError
        If it is no archive of an export.
    """
    if len(data) > LARGEST_ARCHIVE:
        raise InputError([Fault("archive", f"{len(data)} bytes", f"at most {LARGEST_ARCHIVE} bytes")])
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            files = _files(archive)
    except InputError:
        raise
    except (zipfile.BadZipFile, zlib.error, EOFError, RuntimeError, NotImplementedError, ValueError) as error:
        raise InputError([Fault("archive", "", "an archive as an export writes it", str(error))]) from None
    notebooks = [name for name in files if name.casefold().endswith(".ipynb")]
    if len(notebooks) != 1:
        raise InputError([Fault("archive", f"{len(notebooks)} notebooks", "one notebook")])
    return files[notebooks[0]], _sum_faults(files), files


def _files(archive: zipfile.ZipFile) -> dict[str, bytes]:
    members = archive.infolist()
    names = [item.filename for item in members]
    if len(members) > MOST_FILES:
        raise InputError([Fault("archive", f"{len(members)} files", f"at most {MOST_FILES}")])
    for name in names:
        # what one system takes for two names another one takes for one
        twin = sum(name.casefold() == other.casefold() for other in names) > 1
        if twin or not _is_plain(name):
            raise InputError([Fault("archive", shown(name), "plain names of files, each once")])
    left, files = LARGEST_CONTENT, {}
    for item in members:
        with archive.open(item) as file:  # what it says of its size is not believed
            files[item.filename] = file.read(min(left, _largest(item.filename)) + 1)
        left -= len(files[item.filename])
        if left < 0 or len(files[item.filename]) > _largest(item.filename):
            raise InputError([Fault("archive", shown(item.filename), "files of the size of a report")])
    return files


def _is_plain(name: str) -> bool:
    """Whether every system unpacks a file under this very name."""
    return _NAME.fullmatch(name) is not None and all(part[-1] not in ". " for part in name.split("/"))


def _largest(name: str) -> int:
    return LARGEST_NOTEBOOK if name.endswith(".ipynb") else LARGEST_CONTENT


def _sum_faults(files: dict[str, bytes]) -> tuple[str, ...]:
    if SUMS not in files:
        return (f"The archive has no list of fingerprints, {SUMS}.",)
    listed: dict[str, str] = {}
    for line in files[SUMS].decode("utf-8", "replace").splitlines():
        found = _LINE.fullmatch(line)
        if found is None or found[2] in listed:
            return (f"The list of fingerprints, {SUMS}, cannot be read.",)
        listed[found[2]] = found[1]
    faults = [f"{shown(name)} is listed in {SUMS}, but missing." for name in listed if name not in files]
    for name, data in files.items():
        if name == SUMS:
            continue
        if name not in listed:
            faults.append(f"{name} is in the archive, but not listed in {SUMS}.")
        elif hashlib.sha256(data).hexdigest() != listed[name]:
            faults.append(f"{name} was altered: its fingerprint is not the one in {SUMS}.")
    return tuple(faults)


def beside_faults(
    files: Mapping[str, bytes], carried: Carried, signatures: Sequence[Mapping[str, str]]
) -> tuple[str, ...]:
    """Hold gear file, evidence, history and signatures of an archive against what its notebook carries.

    Parameters
    ----------
    files : mapping of str to bytes
        All of the archive.
    carried : Carried
        What its notebook carries.
    signatures : sequence of mapping
        Those in its notebook.

    Returns
    -------
    tuple of str
        Sentences; none where all of them are the same.
    """
    wanted = {**copies(carried.gear_file, carried.evidence, carried.history), **signature_files(signatures)}
    prints = (SUMS.casefold(), ".ipynb", ".html", ".pdf")
    others = {name: data for name, data in files.items() if not name.casefold().endswith(prints)}
    faults = [f"{name} is missing from the archive." for name in wanted if name not in others]
    for name, data in others.items():
        if name not in wanted:
            faults.append(f"{shown(name)} is no file of this report.")
        elif data != wanted[name]:
            faults.append(f"{name} is not what the notebook beside it carries.")
    return tuple(faults)


def copies(gear_file: str, evidence: Mapping[str, str], history: Sequence[str]) -> dict[str, bytes]:
    """Return the files that an archive holds beside the prints: gear file, evidence and history."""
    found = {"gear.toml": gear_file.encode("utf-8")}
    for name, text in evidence.items():
        plain = len(name) < _LONGEST and _is_plain(name)
        first = hashlib.sha256(name.encode("utf-8")).hexdigest()[:8]
        found[f"evidence/{name if plain else f'{first}-{file_stem(name)}'}"] = text.encode("utf-8")
    if history:
        found["history.jsonl"] = "".join(f"{text}\n" for text in history).encode("utf-8")
    return found


def signature_files(signatures: Sequence[Mapping[str, str]]) -> dict[str, bytes]:
    """Return the signatures as the files of an archive."""
    return {
        f"signatures/{number}-{file_stem(item['role'])}.json": signature_text(
            dict(sorted(item.items()))
        ).encode("utf-8")
        for number, item in enumerate(signatures, start=1)
    }
