"""Commands on a gear file: open, check, new, sources."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from gearcheck.basics.errors import Fault, InputError
from gearcheck.cli.codes import FAILS, FINE
from gearcheck.cli.ends import print_json


def add(commands: Any) -> None:
    """Add the commands to the parser."""
    command = commands.add_parser("open", help="open the review in the browser, of a demo gear without FILE")
    command.add_argument("file", nargs="?", type=Path, metavar="FILE", help="gear file")
    command.add_argument("--workspace", type=Path, metavar="FILE", help="where records are kept")
    command.add_argument("--no-browser", action="store_true", help="print the address only")
    command.add_argument(
        "--port", type=int, default=0, metavar="N", help="port to listen on (default: a free one)"
    )
    command.set_defaults(run=_open)
    command = commands.add_parser("check", help="review a gear file and say what fails")
    command.add_argument("file", type=Path, metavar="FILE", help="gear file")
    command.add_argument("--json", action="store_true", help="print the whole review as JSON, in UTF-8")
    command.set_defaults(run=_check)
    command = commands.add_parser("new", help="write a commented gear file to start from")
    command.add_argument("file", nargs="?", type=Path, default=Path("gear.toml"), metavar="FILE")
    command.set_defaults(run=_new)
    command = commands.add_parser("sources", help="list every source and what rests on it")
    command.set_defaults(run=_sources)


def _open(given: argparse.Namespace) -> int:
    from gearcheck.basics.places import scenarios
    from gearcheck.desk.server import serve
    from gearcheck.record.place import workspace_path
    from gearcheck.review.gear_file import read_gear_file
    from gearcheck.review.whole import outcome, review

    file, place = given.file or scenarios() / "tunnel_fan" / "gear.toml", workspace_path(given.workspace)
    whole = review(read_gear_file(file), with_settled=False)
    part, said = whole.record.part, outcome(whole)
    first_words = f"{part.number}, drawing revision {part.revision}: {said}"
    print(f"{file}: {said}\nRecords are kept in {place}.")
    print("Ctrl-C ends the desk. It listens on this machine only:", flush=True)
    browse = not given.no_browser
    serve(file, workspace=place, port=given.port, open_browser=browse, first_words=first_words)
    return FINE


def _check(given: argparse.Namespace) -> int:
    from gearcheck.review.gear_file import read_gear_file
    from gearcheck.review.whole import blocking, review

    whole = review(read_gear_file(given.file))
    if given.json:
        from gearcheck.review.as_json import as_plain

        print_json(as_plain(whole))
    else:
        from gearcheck.report.text import text_report

        print(text_report(whole), end="")
    return FAILS if blocking(whole) else FINE


def _new(given: argparse.Namespace) -> int:
    from gearcheck.review.starter import starter_text

    try:
        with given.file.open("x", encoding="utf-8", newline="\n") as file:
            file.write(starter_text())
    except OSError as error:
        needed = "a name that is free, in a folder that exists and can be written to"
        raise InputError(
            [Fault("gear file", str(given.file), needed, error.strerror or str(error))]
        ) from None
    print(given.file)
    return FINE


def _sources(_: argparse.Namespace) -> int:
    from gearcheck.report.text import sources_text
    from gearcheck.review.sources import ledger

    print(sources_text(ledger()), end="")
    return FINE
