"""Writes what people take away: all of it or nothing, and never over something else."""

from __future__ import annotations

import io
import os
import tempfile
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from gearcheck.basics.errors import Fault, InputError

_NO_TIME = (1980, 1, 1, 0, 0, 0)  # the earliest that an archive can say: its content alone makes its bytes


@dataclass(frozen=True, kw_only=True)
class Exported:
    """What was written.

    Parameters
    ----------
    paths : tuple of Path
        The notebook first.
    """

    paths: tuple[Path, ...]


def write_all(files: Mapping[str, bytes], folder: str | Path) -> Exported:
    """Write files into a folder.

    Parameters
    ----------
    files : mapping of str to bytes
        By name.
    folder : str or Path
        Made where it is missing.

    Returns
    -------
    Exported
        The paths. A file that is there already with the same content stays.

    Raises
    ------
    InputError
        A file of that name with other content, or a folder that cannot be written to.
    """
    home = Path(folder)
    paths = {home / name: data for name, data in files.items()}
    try:
        home.mkdir(parents=True, exist_ok=True)
        _check_free(paths)
        for path, data in paths.items():
            _write(path, data)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError([Fault("folder", str(home), "a folder that can be written to", why)]) from None
    return Exported(paths=tuple(paths))


def packed(files: Mapping[str, bytes]) -> bytes:
    """Pack files into one ZIP file, sorted by name; the same files give the same bytes."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, data in sorted(files.items()):
            item = zipfile.ZipInfo(name, _NO_TIME)
            item.compress_type, item.create_system, item.external_attr = zipfile.ZIP_DEFLATED, 3, 0o644 << 16
            archive.writestr(item, data)
    return made.getvalue()


def _check_free(paths: Mapping[Path, bytes]) -> None:
    """Never overwrite what says something else."""
    needed = "a folder without it, or another name: a report is not overwritten"
    faults = [
        Fault("report", str(path), needed, "a file with other content is there")
        for path, data in paths.items()
        if path.exists() and not (path.is_file() and path.read_bytes() == data)
    ]
    if faults:
        raise InputError(faults)


def _write(path: Path, data: bytes) -> None:
    """Write beside it and rename, so that nobody ever reads half a report."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".gearcheck_")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o644)
        Path(name).replace(path)
    finally:
        Path(name).unlink(missing_ok=True)
