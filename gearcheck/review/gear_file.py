"""The reader of the gear file, format 1: TOML, with evidence files beside it, becomes one record."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from gearcheck.basics.errors import Fault, InputError
from gearcheck.review.file_text import LARGEST_GEAR_FILE, decoded, limited_bytes, tables_of
from gearcheck.review.inputs import Record


def read_gear_file(path: str | Path) -> Record:
    """Read a gear file and the evidence files that it names.

    Parameters
    ----------
    path : str or Path
        The gear file.

    Returns
    -------
    Record
        In the units of the package, with its digest and its text.

    Raises
    ------
    InputError
        All faults at once, each with its place, the value given and what is needed.

    Examples
    --------
    >>> from gearcheck.basics.places import scenarios
    >>> read_gear_file(scenarios() / "tunnel_fan" / "gear.toml").gear.tooth.teeth
    23
    """
    file = Path(path)
    text = decoded(limited_bytes(file, LARGEST_GEAR_FILE, "gear file"), file.name)
    return read_gear_text(text, folder=file.parent, name=file.name)


def read_gear_text(text: str, *, folder: str | Path, name: str = "gear file") -> Record:
    """Read the text of a gear file.

    Parameters
    ----------
    text : str
        TOML of format 1.
    folder : str or Path
        Where the evidence files lie; nothing outside it is read.
    name : str
        What errors in the TOML itself call the file.

    Returns
    -------
    Record
        In the units of the package, with its digest and its text.

    Raises
    ------
    InputError
        All faults at once, each with its place, the value given and what is needed.

    Notes
    -----
    Places are written as in the file, entries of a list counted from 1: ``mesh[1].mate.teeth, line 37``.
    """
    from gearcheck.review.file_check import checked  # these load pydantic, which is slow to load
    from gearcheck.review.file_digest import digest, with_keys
    from gearcheck.review.file_duty import duty_file
    from gearcheck.review.file_evidence import pitch_files
    from gearcheck.review.file_fatigue_faults import fatigue_faults
    from gearcheck.review.file_inspection import inspection_files
    from gearcheck.review.file_modification import modification_faults
    from gearcheck.review.file_places import key_lines
    from gearcheck.review.file_plan import all_results, inspection_faults
    from gearcheck.review.file_record import record_of
    from gearcheck.review.file_specimens import specimen_files
    from gearcheck.review.file_trace_entries import trace_faults
    from gearcheck.review.file_traces import trace_files

    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise InputError([Fault(name, "half a character", "text in UTF-8")]) from None
    tables, lines = tables_of(text, name), key_lines(text)
    model, faults = checked(tables, lines)
    files, more = pitch_files(tables, Path(folder), lines)
    traces, of_traces = trace_files(tables, Path(folder), lines)
    inspected, still_more = inspection_files(tables, Path(folder), lines)
    duty, of_duty = duty_file(tables, Path(folder), lines)
    specimens, of_tests = specimen_files(tables, Path(folder), lines)
    faults += [*more, *of_traces, *still_more, *of_duty, *of_tests]
    if model is None:
        raise InputError(faults)
    results = all_results(model, inspected, lines)
    faults += [*inspection_faults(model, results, lines), *modification_faults(model, lines)]
    faults += trace_faults(model, traces, lines) + fatigue_faults(model.fatigue, specimens, lines)
    if faults:
        raise InputError(faults)
    record = with_keys(record_of(model, files, inspected, results, duty, traces, specimens))
    return replace(record, digest=digest(record), source_text=text)
