"""A draft that is written into its gear file is read as what it was, and nothing else changes."""

import difflib
import itertools
import re
import tomllib

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import CHANGES, changed, open_changes
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.inputs import KINDS
from gearcheck.review.judge import judged
from gearcheck.review.leaves import alike, leaves
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.starter import starter_text

RECORDS = {
    name: read_gear_file(scenarios() / name / "gear.toml")
    for name in ("tunnel_fan", "ship_lift", "harvester")
}


def adoptable(record):
    """The changes that can become a revision: measured teeth keep their number."""
    return [one for one in open_changes(record) if one.key != "teeth" or not record.pitch]


def read_back(record, values):
    return carried_record(rewritten(record, values), evidence_texts(record))


@st.composite
def drafts(draw):
    record = RECORDS[draw(st.sampled_from(sorted(RECORDS)))]
    values = {}
    for change in draw(st.lists(st.sampled_from(CHANGES), unique_by=lambda item: item.key)):
        if change in adoptable(record):
            low, high = change.bounds(record)
            number = st.integers(int(low), int(high)) if change.whole else st.floats(low, high)
            values[change.key] = float(draw(number))
    return record, values


@settings(max_examples=15, deadline=None)
@given(drafts())
def test_any_draft_is_read_as_it_was_written(draft):
    record, values = draft
    found, wanted = leaves(read_back(record, values)), leaves(changed(record, values))
    assert found.keys() == wanted.keys()
    assert [place for place in wanted if not near(found[place], wanted[place])] == []


def near(one, other):
    """Alike, or both nothing but what a subtraction leaves over."""
    return alike(one, other) or (not isinstance(one, str) and abs(one - other) < 1e-12)


@pytest.mark.parametrize("name", RECORDS)
def test_its_review_is_that_of_the_draft(name):
    record = RECORDS[name]
    values = {change.key: change.stepped(record) for change in adoptable(record)}
    for now, drafted in zip(judged(read_back(record, values)), judged(changed(record, values)), strict=True):
        assert (now.key, now.by_calculation, now.by_evidence) == (
            drafted.key,
            drafted.by_calculation,
            drafted.by_evidence,
        )
        assert alike(now.demand, drafted.demand)
        assert alike(now.capacity, drafted.capacity)


def lines_of(record, values):
    """The lines that went and came."""
    pairs = difflib.ndiff(record.source_text.splitlines(), rewritten(record, values).splitlines())
    return [line[2:] for line in pairs if line[0] in "-+"]


@pytest.mark.parametrize(
    ("name", "values", "lines"),
    [
        ("ship_lift", {"torque": 14600.0}, ['torque = "15.2 kN·m"', 'torque = "14.6 kN·m"']),
        ("ship_lift", {}, []),
        (
            "tunnel_fan",
            {"class": 7.0},
            ["class = 6", "class = 7", "class = 6", "class = 7"],
        ),
    ],
    ids=["unit kept", "nothing", "mates too"],
)
def test_only_the_lines_of_the_draft_change(name, values, lines):
    assert lines_of(RECORDS[name], values) == lines


@pytest.mark.parametrize(
    ("face_width_mm", "written"),
    [
        (55.88, ['face_width = "2.2 in"', 'face_width = "2.1 in"']),
        (40.0, ['face_width = "40 mm"', 'face_width = "37.46 mm"']),  # 1.5748... in would not be 40 mm
    ],
    ids=["an inch stays an inch", "where it says it exactly"],
)
def test_the_unit_of_the_file(face_width_mm, written):
    found = lines_of(RECORDS["harvester"], {"face_width": face_width_mm})
    assert [line for line in found if line.startswith("face_width")][1::2] == written


def test_measured_teeth_keep_their_number():
    with pytest.raises(InputError, match=r"number of teeth: given 20; .* the pitch was measured"):
        rewritten(RECORDS["tunnel_fan"], {"teeth": 20.0})


def test_comments_and_order_stay():
    record = RECORDS["ship_lift"]
    text = "# mine\n" + record.source_text.replace("teeth = 19", "teeth = 19   # as the old one")
    own = carried_record(text, evidence_texts(record))
    again = rewritten(own, {"torque": 14_600.0})
    assert again.startswith("# mine\n")
    assert "teeth = 19   # as the old one" in again
    assert again.splitlines()[-1] == text.splitlines()[-1]


def test_line_ends_stay():
    record = RECORDS["ship_lift"]
    text = record.source_text.replace("\n", "\r\n")
    own = carried_record(text, evidence_texts(record))
    assert rewritten(own, {"torque": 14_600.0}) == text.replace("15.2 kN·m", "14.6 kN·m")


def test_each_remark_of_the_starter_stays():
    record = read_gear_text(starter_text(), folder=scenarios())
    text = rewritten(record, {change.key: change.stepped(record) for change in adoptable(record)})
    assert text != record.source_text
    assert [line.partition("#")[2] for line in text.splitlines()] == [
        line.partition("#")[2] for line in record.source_text.splitlines()
    ]


SHAPES = {
    "one line each": lambda tables: "\n".join(f"{key} = {inline(value)}" for key, value in tables.items()),
    "keys with points": lambda tables: "\n".join(dotted(tables)),
}


def inline(value):
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {inline(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(inline, value)) + "]"
    return tomlkit.item(value).as_string()


def dotted(tables, above=()):
    for key, value in tables.items():
        if isinstance(value, dict):
            yield from dotted(value, (*above, key))
        else:
            yield f"{'.'.join((*above, key))} = {inline(value)}"


@pytest.mark.parametrize("shape", SHAPES)
def test_a_file_of_another_shape_is_written_too(shape):
    tables = tomllib.loads(RECORDS["ship_lift"].source_text)
    del tables["inspection"], tables["evidence"]  # on one line they are longer than a line may be
    text = SHAPES[shape](tables) + "\n"
    own = carried_record(text, {})
    values = {change.key: change.stepped(own) for change in adoptable(own)}
    found, wanted = leaves(read_back(own, values)), leaves(changed(own, values))
    assert [place for place in wanted if not near(found[place], wanted[place])] == []
    assert rewritten(own, {"torque": 14_600.0}) == text.replace("15.2 kN·m", "14.6 kN·m")


def test_sections_in_another_order_are_written_too():
    """Those of the gear last leave every line in its place; mixed, all is read alike."""
    record = RECORDS["ship_lift"]
    first, *sections = re.split(r"(?m)^(?=\[)", record.source_text)
    own = [text for text in sections if text.startswith("[gear.")]
    others = [text for text in sections if not text.startswith("[gear.")]
    last = first + "".join([*others, "\n", *own])
    mixed = first + "".join(f"{a}\n{b}" for a, b in itertools.zip_longest(others, own, fillvalue=""))
    for text in (last, mixed):
        given = carried_record(text, evidence_texts(record))
        found = read_back(given, {"torque": 14_600.0})
        assert leaves(found) == leaves(changed(record, {"torque": 14_600.0}))
        for kind in KINDS:
            assert [item.head.key for item in getattr(found, kind)] == [
                item.head.key for item in getattr(record, kind)
            ]
        if text == last:
            assert found.source_text == text.replace("15.2 kN·m", "14.6 kN·m")


@pytest.mark.parametrize(
    ("name", "values", "lines"),
    [
        ("ship_lift", {"profile_shift": 0.1 + 0.2}, ["profile_shift = 0.3", "profile_shift = -0.048"]),
        # 0.18 is given back in full, and binary numbers leave 5.6e-17 of it
        ("tunnel_fan", {"profile_shift": 0.53}, ["profile_shift = 0.53", "profile_shift = 0.0"]),
    ],
    ids=["digits", "dust"],
)
def test_no_noise_of_binary_numbers_is_written(name, values, lines):
    found = [line for line in lines_of(RECORDS[name], values) if line.startswith("profile_shift")]
    assert found[1::2] == lines


def test_what_a_gear_file_cannot_hold_is_refused_by_name():
    with pytest.raises(InputError, match=r"gear\.face_width"):
        rewritten(RECORDS["ship_lift"], {"face_width": 0.5})
