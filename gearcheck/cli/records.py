"""Commands on the workspace: records, export."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.cli import article
from gearcheck.cli.codes import FINE
from gearcheck.cli.ends import plain

if TYPE_CHECKING:
    from gearcheck.record.heads import RecordHead
    from gearcheck.record.workspace import Workspace


def add(commands: Any) -> None:
    """Add the commands to the parser."""
    command = commands.add_parser("records", help="list the records of the workspace")
    command.add_argument("--workspace", type=Path, metavar="FILE", help="where records are kept")
    command.set_defaults(run=_records)
    command = commands.add_parser("export", help="write the report of a gear file, or of a record")
    command.add_argument("what", metavar="WHAT", help="gear file, or the name of a record")
    command.add_argument(
        "--to",
        type=Path,
        default=Path(),
        metavar="PLACE",
        help="a folder, by default the current one; FILE.xlsx or FILE.csv for a table of it",
    )
    article.add_option(command)
    command.add_argument(
        "--input", action="store_true", help="write only the gear file and the evidence of the record"
    )
    command.add_argument(
        "--signed", action="store_true", help="the report that was signed last, whatever was written since"
    )
    command.add_argument("--workspace", type=Path, metavar="FILE", help="where records are kept")
    command.set_defaults(run=_export)


def _records(given: argparse.Namespace) -> int:
    from gearcheck.record.place import workspace_path
    from gearcheck.record.workspace import Workspace

    place = workspace_path(given.workspace)
    print(f"Workspace: {place}")
    if not place.exists():
        print("There is no file yet; it is made when the first record is opened.")
        return FINE
    workspace = Workspace(place)
    heads = workspace.records()
    print(*(_line(workspace, head) for head in heads) if heads else ("It holds no record.",), sep="\n")
    return FINE


def _line(workspace: Workspace, head: RecordHead) -> str:
    """One record; a damaged one keeps the others from nobody."""
    from gearcheck.record.words import event_words

    try:
        book = workspace.book(head.record)
    except InputError as error:
        return f"{head.record}: cannot be opened: {error.faults[0].why or error.faults[0]}"
    count = len(book.revisions)
    revisions = "1 revision" if count == 1 else f"{count} revisions"
    if book.is_signed:
        state = "signed"
    elif book.signatures:
        state = f"not signed yet by {', '.join(book.missing_roles)}"
    else:
        state = "not signed"
    if book.signed_revision and not book.is_signed:
        state += f", written to since revision {book.signed_revision} was signed"
    last = event_words(book.events[-1])
    what = f"{book.part_number}, drawing revision {book.drawing_revision}"
    return plain(f"{head.record}: {what}; {revisions}; {state}; {last}")


def _export(given: argparse.Namespace) -> int:
    file, of_article = Path(given.what), article.is_asked(given)
    if file.is_file() or file.suffix == ".toml":
        if given.input:
            needed = "the name of a record: the input of a gear file is that file"
            raise InputError([Fault("export --input", given.what, needed)])
        from gearcheck.review.gear_file import read_gear_file
        from gearcheck.review.whole import review

        record = read_gear_file(file)
        if of_article:
            print(*article.written(given, review(record), None), sep="\n")
            return FINE
        from gearcheck.report.notebook import export

        print(*export(record, given.to).paths, sep="\n")
        return FINE
    print(*_exported_record(given, of_article=of_article), sep="\n")
    return FINE


def _exported_record(given: argparse.Namespace, *, of_article: bool) -> tuple[Path, ...]:
    from gearcheck.record.place import workspace_path
    from gearcheck.record.steps import gear_files
    from gearcheck.record.workspace import Workspace

    place = workspace_path(given.workspace)
    if not place.exists():
        needed = "a gear file that is there, or the name of a record"
        raise InputError([Fault("export", given.what, needed, f"there is no workspace {place}")])
    workspace = Workspace(place)
    book = workspace.book(given.what)
    if given.input:
        return _written(gear_files(workspace, book), given.to)
    from gearcheck.report.release import export, last_signed

    if given.signed:
        then = last_signed(book)
        if then is None:
            raise InputError([Fault("export --signed", given.what, "a record that all have signed once")])
        book = then
    if of_article:
        from gearcheck.record.keeping import review_of

        return article.written(given, review_of(workspace, book), book)
    return export(workspace, book, given.to).paths


def _written(files: Mapping[str, bytes], folder: Path) -> tuple[Path, ...]:
    """Write none where one would go over a file that says something else."""
    paths = {folder / name: data for name, data in files.items()}
    try:
        taken = [path for path, data in paths.items() if path.exists() and path.read_bytes() != data]
        if taken:
            needed = "a folder without it: nothing is overwritten"
            raise InputError([Fault("input", str(path), needed) for path in taken])
        for path, data in paths.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    except OSError as error:
        why = error.strerror or str(error)
        raise InputError([Fault("folder", str(folder), "a folder that can be written to", why)]) from None
    return tuple(paths)
