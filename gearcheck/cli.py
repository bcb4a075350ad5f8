"""The command line: open, check, export, new and sources; it has no rules of its own."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from gearcheck.basics.errors import Fault, InputError
from gearcheck.report.cautions import CAUTIONS

FINE, FAILS, BAD_INPUT, INTERNAL_ERROR = 0, 1, 2, 3
INTERRUPTED, NOBODY_READS = 130, 141

_EXIT_CODES = """\
exit codes: 0 nothing fails at this stage; 1 a requirement fails, or evidence needed at this stage is missing;
2 the input cannot be used; 3 an internal error.
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Parameters
    ----------
    arguments : sequence of str, optional
        Those of the process, where none are given.

    Returns
    -------
    int
        The exit code.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a console that lacks a letter shows a mark, and goes on
            stream.reconfigure(errors="replace")
    given = _parser().parse_args(arguments)
    try:
        code: int = given.run(given)
        sys.stdout.flush()
    except InputError as error:
        print(*error.faults, sep="\n", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # what is left in the buffer has nowhere to go when the interpreter ends
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return NOBODY_READS
    except Exception as error:  # noqa: BLE001 - the edge of the program: anything else is a fault of ours
        return _internal_error(error)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="gearcheck",
        description="The live review record of a case-carburised power gear.",
        epilog="\n".join((_EXIT_CODES, *CAUTIONS)),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action=_ShowVersion, nargs=0, help="print the version")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    command = commands.add_parser("open", help="open the review in the browser, of a demo gear without FILE")
    command.add_argument("file", nargs="?", type=Path, metavar="FILE", help="gear file")
    command.add_argument("--no-browser", action="store_true", help="print the address only")
    command.add_argument(
        "--port", type=int, default=0, metavar="N", help="port to listen on (default: a free one)"
    )
    command.set_defaults(run=_open)
    command = commands.add_parser("check", help="review a gear file and say what fails")
    command.add_argument("file", type=Path, metavar="FILE", help="gear file")
    command.add_argument("--json", action="store_true", help="print the whole review as JSON, in UTF-8")
    command.set_defaults(run=_check)
    command = commands.add_parser("export", help="write the report as notebook and as one HTML file")
    command.add_argument("file", type=Path, metavar="FILE", help="gear file")
    command.add_argument(
        "--to", type=Path, default=Path(), metavar="FOLDER", help="default: the current folder"
    )
    command.set_defaults(run=_export)
    command = commands.add_parser("new", help="write a commented gear file to start from")
    command.add_argument("file", nargs="?", type=Path, default=Path("gear.toml"), metavar="FILE")
    command.set_defaults(run=_new)
    command = commands.add_parser("sources", help="list every source and what rests on it")
    command.set_defaults(run=_sources)
    return parser


class _ShowVersion(argparse.Action):
    """Looks the version up where it is asked for, and not at every start."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object, **__: object) -> None:
        print(_version())
        parser.exit()


def _version() -> str:
    from importlib.metadata import version

    return f"gearcheck {version('gearcheck')}"


def _open(given: argparse.Namespace) -> int:
    from gearcheck.basics.places import scenarios
    from gearcheck.desk.server import serve
    from gearcheck.review.gear_file import read_gear_file
    from gearcheck.review.whole import outcome, review

    file = given.file or scenarios() / "tunnel_fan" / "gear.toml"
    first_words = outcome(review(read_gear_file(file), with_settled=False))
    print(f"{file}: {first_words}\nCtrl-C ends the desk. It listens on this machine only:", flush=True)
    serve(file, port=given.port, open_browser=not given.no_browser, first_words=first_words)
    return FINE


def _check(given: argparse.Namespace) -> int:
    from gearcheck.review.gear_file import read_gear_file
    from gearcheck.review.whole import blocking, review

    whole = review(read_gear_file(given.file))
    if given.json:
        import json

        from gearcheck.review.as_json import as_plain

        if hasattr(sys.stdout, "reconfigure"):
            sys.stdout.reconfigure(encoding="utf-8", errors="strict")
        print(json.dumps(as_plain(whole), ensure_ascii=False, allow_nan=False, indent=1))
    else:
        from gearcheck.report.text import text_report

        print(text_report(whole), end="")
    return FAILS if blocking(whole) else FINE


def _export(given: argparse.Namespace) -> int:
    from gearcheck.report.notebook import export
    from gearcheck.review.gear_file import read_gear_file

    print(*export(read_gear_file(given.file), given.to).paths, sep="\n")
    return FINE


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


def _internal_error(error: Exception) -> int:
    import traceback
    from platform import platform, python_version

    if os.environ.get("GEARCHECK_DEBUG"):
        traceback.print_exception(error)
    last = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{Path(last.filename).name}, line {last.lineno}"
    print(
        f"gearcheck: internal error: {type(error).__name__}: {error} ({place})\n"
        "This is a fault of the program, not of your input. Please report this with the gear file and with:\n"
        f"{_version()}, Python {python_version()}, {platform()}. GEARCHECK_DEBUG=1 shows the whole trace.",
        file=sys.stderr,
    )
    return INTERNAL_ERROR
