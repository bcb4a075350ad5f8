"""Whatever is done to a gear file, the reader gives a record or says what is wrong, and soon."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.inputs import Record
from tests.review.gear_texts import with_evidence, write_pitch

LINES = with_evidence().split("\n")
KEYS = [number for number, line in enumerate(LINES) if " = " in line and not line.startswith("#")]

LITERALS = st.sampled_from(
    [
        *("0", "-0.0", "1", "-1", "4", "1e308", "-1e308", "5e-324", "nan", "inf", "-inf", "9" * 300),
        *("0x" + "f" * 1500, "true", "2026-03-02", "07:32:00", "0001-01-01T00:00:00Z", "9999-12-31"),
        *('""', "''", '"x"', '"' + "x" * 1500 + '"', '"\\u0000"', '"\\u202e"', '"\\uFFFF"', '"nan mm"'),
        *('"1e400 mm"', '"-0 mm"', '"12,5 mm"', '"5 mm mm"', '"1e-320 mm"', '"99999999999 mm"', '"0 HV"'),
        *('"9999 HRC"', '"20.0000000000001 HRC"', '"1 1/in"', '"0 1/in"', '"1 9**9**9*mm"', '"../x"'),
        *("[]", "[[[[]]]]", "[1, 2, 3]", '["1 mm", "1 mm"]', '["nan mm", "1 mm"]', "{}", "{ a = 1 }"),
        *("", "garbage", '"', "'''", '"""', "[", "]", "=", "#", "\t", "\\", "\0", "\x7f", "1_000", "+1"),
    ]
)
UNITS = st.sampled_from(["mm", "in", "deg", "rpm", "h", "HV", "HRC", "µm"])
VALUES = (
    LITERALS
    | st.integers().map(str)
    | st.floats().map(str)
    | st.text(max_size=30).map(json.dumps)
    | st.text(max_size=30)
    | st.builds(lambda value, unit: f'"{value} {unit}"', st.floats(), UNITS)
    | st.lists(LITERALS, max_size=3).map(lambda items: f"[{', '.join(items)}]")
)


def value_replaced(line: str, value: str) -> str:
    return f"{line.split(' = ')[0]} = {value}"


def key_renamed(line: str, name: str) -> str:
    return f"{name} = {line.partition(' = ')[2]}"


NAMES = st.sampled_from(["teeth", "clas", "a.b", '""', "[x"]) | st.text(max_size=10)
CHANGES = st.one_of(
    st.tuples(st.sampled_from(KEYS), st.just(value_replaced), VALUES),
    st.tuples(st.sampled_from(KEYS), st.just(key_renamed), NAMES),
    st.tuples(st.integers(0, len(LINES) - 1), st.just(lambda line, _: ""), st.just("")),
    st.tuples(st.integers(0, len(LINES) - 1), st.just(lambda line, _: f"{line}\n{line}"), st.just("")),
    st.tuples(st.integers(0, len(LINES) - 1), st.just(lambda line, extra: line + "\n" + extra), VALUES),
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("gear")
    write_pitch(path)
    read_gear_text(with_evidence(), folder=path)  # what loads at the first reading is not timed below
    return path


def read_or_refused(text: str, folder: Path) -> None:
    try:
        record = read_gear_text(text, folder=folder)
    except InputError as error:
        assert error.faults
        for fault in error.faults:
            assert fault.field
            assert fault.needed
            assert str(fault).isprintable()
    else:
        assert isinstance(record, Record)
        assert len(record.digest) == 64


@given(changes=st.lists(CHANGES, min_size=1, max_size=4))
@settings(max_examples=150, deadline=2000, suppress_health_check=[HealthCheck.too_slow])
def test_a_changed_gear_file(changes, folder):
    lines = list(LINES)
    for number, change, extra in changes:
        lines[number] = change(lines[number], extra)
    read_or_refused("\n".join(lines), folder)


@given(text=st.text())
@settings(max_examples=100, deadline=2000)
def test_any_text(text, folder):
    read_or_refused(text, folder)


@given(data=st.binary(max_size=300), at=st.integers(0, 5000))
@settings(max_examples=100, deadline=2000)
def test_any_bytes_in_the_middle(data, at, folder):
    whole = with_evidence().encode()
    (folder / "gear.toml").write_bytes(whole[:at] + data + whole[at:])
    try:
        assert isinstance(read_gear_file(folder / "gear.toml"), Record)
    except InputError as error:
        assert error.faults


SLOW = {
    "dotted keys": "".join(f"a{number}{'.a' * 950} = 1\n" for number in range(155)),
    "quoted keys": "".join(f"a{number}" + '. "a b"' * 280 + " = 1\n" for number in range(150)),
    "long headers": "".join(f"[a{number}{'.a' * 50}]\n" for number in range(2700)),
    "unknown keys": "".join(f"k{number} = 1\n" for number in range(25_000)),
    "empty meshes": "[[mesh]]\n" * 33_000,
    "deep lists": "a = " + "[\n" * 140_000,
    "blanks": (" " * 1999 + "\n") * 149,
    "one long text": 'a = """' + "x\n" * 140_000 + '"""',
    "entries": '[[evidence.pitch]]\nfile = "none.csv"\n' * 8000,
    "dots": " . " * 600 + "\n",
}


@pytest.mark.parametrize("name", SLOW)
@settings(max_examples=1, deadline=2000)
@given(data=st.just(None))
def test_large_odd_files_do_not_hang_it(name, data, folder):
    with pytest.raises(InputError):
        read_gear_text(SLOW[name], folder=folder)
