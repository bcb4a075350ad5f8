"""A process that writes entry after entry to a record until it is ended: file, record, who and how many."""

from __future__ import annotations

import hashlib
import sys
from pathlib import Path

from gearcheck.record.events import Entry, Kind, Person
from gearcheck.record.workspace import StaleWrite, Workspace


def opening(by):
    """The first entry of a record."""
    told = {"part_number": "TF-118", "drawing_revision": "C", "title": "Pinion", "follows": "", "fork": ""}
    return Entry(kind=Kind.OPENED, by=by, body=told)


def asking(by, text="Which lot?"):
    """One more entry of a record."""
    return Entry(kind=Kind.ASKED, by=by, body={"about": "", "text": text})


def main(file, record, name, count):
    """Say ``begin``, then the number of each entry once it was written; after another's, try again."""
    workspace, by = Workspace(Path(file)), Person(name=name, role="design")
    print("begin", flush=True)
    written = 0
    while written < int(count):
        seen = workspace.last(record)
        data = f"{name} {seen}\n".encode() * 1000
        entry = asking(by, hashlib.sha256(data).hexdigest()) if seen else opening(by)
        try:
            workspace.append(record, [entry], seen=seen, contents=[data])
        except StaleWrite:
            continue
        written += 1
        print(seen + 1, flush=True)


if __name__ == "__main__":
    main(*sys.argv[1:])
