"""The command line; it has no rules of its own."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from gearcheck.basics.errors import InputError
from gearcheck.cli import gears, records, signing
from gearcheck.cli.codes import BAD_INPUT, EXIT_CODES, FAILS, FINE, INTERNAL_ERROR, INTERRUPTED, NOBODY_READS
from gearcheck.cli.ends import to_devnull
from gearcheck.report.cautions import CAUTIONS

__all__ = ["BAD_INPUT", "FAILS", "FINE", "INTERNAL_ERROR", "INTERRUPTED", "NOBODY_READS", "main"]


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
        to_devnull()
        return NOBODY_READS
    except Exception as error:  # noqa: BLE001 - the edge of the program: anything else is a fault of ours
        return _internal_error(error)
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="gearcheck",
        description="The live review record of a case-carburised power gear.",
        epilog="\n".join((EXIT_CODES, *CAUTIONS)),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action=_ShowVersion, nargs=0, help="print the version")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for part in (gears, records, signing):
        part.add(commands)
    return parser


class _ShowVersion(argparse.Action):
    """Looks the version up where it is asked for, and not at every start."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object, **__: object) -> None:
        print(_version())
        parser.exit()


def _version() -> str:
    from importlib.metadata import version

    return f"gearcheck {version('gearcheck')}"


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
