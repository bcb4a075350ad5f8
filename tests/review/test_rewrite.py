"""A draft that is written into its gear file is read as what it was, and nothing else changes."""

import difflib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.places import scenarios
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import CHANGES, changed, open_changes
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.leaves import alike, leaves
from gearcheck.review.rewrite import evidence_texts, rewritten

RECORDS = {
    name: read_gear_file(scenarios() / name / "gear.toml")
    for name in ("tunnel_fan", "ship_lift", "harvester")
}


def read_back(record, values):
    return carried_record(rewritten(record, values), evidence_texts(record))


@st.composite
def drafts(draw):
    record = RECORDS[draw(st.sampled_from(sorted(RECORDS)))]
    values = {}
    for change in draw(st.lists(st.sampled_from(CHANGES), unique_by=lambda item: item.key)):
        if change in open_changes(record):
            low, high = change.bounds(record)
            number = st.integers(int(low), int(high)) if change.whole else st.floats(low, high)
            values[change.key] = float(draw(number))
    return record, values


@settings(max_examples=40, deadline=None)
@given(drafts())
def test_any_draft_is_read_as_it_was_written(draft):
    record, values = draft
    found, wanted = leaves(read_back(record, values)), leaves(changed(record, values))
    assert found.keys() == wanted.keys()
    assert [place for place in wanted if not alike(found[place], wanted[place])] == []


@pytest.mark.parametrize("name", RECORDS)
def test_its_review_is_that_of_the_draft(name):
    record = RECORDS[name]
    values = {change.key: change.stepped(record) for change in open_changes(record)}
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


def test_an_inch_stays_an_inch():
    record = RECORDS["harvester"]
    face = record.gear.tooth.face_width_mm
    written = [
        line for line in lines_of(record, {"face_width": face + 2.54}) if line.startswith("face_width")
    ]
    assert written
    assert all(line.endswith(' in"') for line in written)


def test_comments_and_order_stay():
    record = RECORDS["ship_lift"]
    text = "# mine\n" + record.source_text.replace("teeth = 19", "teeth = 19   # as the old one")
    own = carried_record(text, evidence_texts(record))
    again = rewritten(own, {"torque": 14_600.0})
    assert again.startswith("# mine\n")
    assert "teeth = 19   # as the old one" in again
    assert again.splitlines()[-1] == text.splitlines()[-1]


def test_no_noise_of_binary_numbers_is_written():
    text = rewritten(RECORDS["ship_lift"], {"profile_shift": 0.1 + 0.2})
    assert "profile_shift = 0.3\n" in text
