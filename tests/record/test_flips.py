"""One byte of a signed report changed, at many places: whatever changes what it says is found."""

import json
import random
import string
from collections import Counter

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.verify import verify
from tests.record import signed as demo
from tests.record.results import write_row

TRIES = 2000
SEED = 20260302


def parsed(data):
    try:
        return json.loads(data)
    except (ValueError, RecursionError):
        return None


def outcome_of(data):
    try:
        return {0: "all well", 1: "altered"}.get(verify(data, with_numbers=False).exit_code, "not altered")
    except InputError:
        return "cannot be read"


def kind(data, place):
    """What a byte is that may change without changing what the file says."""
    return (
        "white space outside texts" if data[place : place + 1].isspace() else "another spelling of the same"
    )


def flips(data, tries):
    """Any byte in place of another, and every second time a letter or a digit that fits in."""
    chance = random.Random(SEED)
    plain = string.ascii_letters.encode() + string.digits.encode()
    for number in range(tries):
        place = chance.randrange(len(data))
        others = set(plain if number % 2 else range(256)) - {data[place]}
        changed = bytearray(data)
        changed[place] = chance.choice(sorted(others))
        yield place, bytes(changed)


def tried(data, tries):
    """How often each outcome came, and where a change of meaning was missed."""
    before, counted, missed = parsed(data), Counter(), []
    for place, changed in flips(data, tries):
        if parsed(changed) == before:
            counted[f"says the same: {kind(data, place)}"] += 1
            continue
        found = outcome_of(changed)
        counted[found] += 1
        if found not in ("altered", "cannot be read"):
            missed.append(place)
    return counted, missed


def test_a_few_changed_bytes_are_found():
    counted, missed = tried(demo.data(demo.signed()), 30)
    assert not missed
    assert counted["altered"] + counted["cannot be read"] > 15


@pytest.mark.slow
def test_every_changed_byte_that_changes_the_meaning_is_found():
    data = demo.data(demo.real())
    counted, missed = tried(data, TRIES)
    words = ", ".join(f"{count} {what}" for what, count in sorted(counted.items()))
    told = f"{words}; {len(missed)} missed" if missed else f"{words}; none missed"
    write_row(f"one byte changed in a signed report of {len(data)} bytes (seed {SEED})", TRIES, told)
    assert not missed
