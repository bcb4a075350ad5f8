"""Tooth size and backlash of a record: what is said, what is held against it, and what is missing."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.gear.inputs import SizeMeasure
from gearcheck.requirements.types import Calculation, Evidence
from gearcheck.review.chain import calculate
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.limits import limits_of
from gearcheck.review.size import SIZE, STATES, cannot_be_words, thickness_of, thickness_words
from gearcheck.review.starter import starter_text
from gearcheck.review.whole import review

LIFT = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
FAN = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
MINE = ("geometry.size", "geometry.backlash")
GEAR_SIZE = '[gear.size]\nallowance = ["-0.09 mm", "-0.05 mm"]\nmeasure = "span"\nteeth = 3\n\n'


def keys(record):
    return [item.key for item in review(record, with_settled=False).requirements if item.key.startswith(MINE)]


def requirement(record, key):
    found = review(record, with_settled=False).requirements
    return next(item for item in found if item.key == key)


def with_size(text):
    return starter_text().replace("\n[[mesh]]\n", f"\n{text}[[mesh]]\n", 1)


def faults(text):
    with pytest.raises(InputError) as caught:
        read_gear_text(text, folder=Path())
    return [str(fault) for fault in caught.value.faults]


def test_a_file_without_these_sections_has_none_of_it():
    assert keys(FAN) == []
    chain = calculate(FAN)
    assert chain.meshes[0].gear.size is None and chain.meshes[0].backlash is None
    assert SIZE not in limits_of(FAN, chain)


def test_the_limits_follow_from_the_allowances_and_give_them_back():
    chain = calculate(LIFT)
    limit, size = limits_of(LIFT, chain)[SIZE], LIFT.gear.size
    assert limit.words == "dimension over balls of 20 mm"
    assert thickness_of(LIFT, limit.least).allowance_mm == pytest.approx(size.allowance_min_mm, abs=1e-9)
    assert thickness_of(LIFT, limit.most).allowance_mm == pytest.approx(size.allowance_max_mm, abs=1e-9)
    over_teeth = replace(size, measure=SizeMeasure.SPAN, span_teeth=3, body_diameter_mm=None)
    spanned = replace(LIFT, gear=replace(LIFT.gear, size=over_teeth))
    limit = limits_of(spanned, calculate(spanned))[SIZE]
    assert limit.words == "span over 3 teeth"
    assert thickness_of(spanned, limit.least).allowance_mm == pytest.approx(size.allowance_min_mm, abs=1e-9)


def test_a_measured_size_is_evidence_and_says_the_thickness():
    item = requirement(LIFT, "geometry.backlash.drum")
    assert item.by_calculation is Calculation.MEETS
    assert item.by_evidence is Evidence.SHOWN
    (finding,) = item.findings
    said = finding.text.replace("\N{NO-BREAK SPACE}", " ")
    assert "229.121 mm measured, a normal tooth thickness of 18.443 mm" in said
    assert "229.078 mm to 229.188 mm asked" in said
    assert thickness_words(FAN, 54.5) == "" and cannot_be_words(FAN, 54.5) == ""
    (result,) = [one for one in LIFT.result if one.characteristic == SIZE]
    thick = replace(LIFT, result=(replace(result, value=229.25),))
    assert requirement(thick, "geometry.backlash.drum").by_evidence is Evidence.CONTRADICTED


@pytest.mark.parametrize("value", [120.0, 200.0, 258.0, 400.0])
def test_a_size_that_no_tooth_of_the_gear_has_gives_no_thickness(value):
    """A normal thickness below 0.7 or above 1.4 of the nominal one, or no flank at all."""
    (result,) = [one for one in LIFT.result if one.characteristic == SIZE]
    item = requirement(replace(LIFT, result=(replace(result, value=value),)), "geometry.backlash.drum")
    assert item.by_evidence is Evidence.CONTRADICTED
    said = item.findings[0].text.replace("\N{NO-BREAK SPACE}", " ")
    assert "measured, which cannot be the dimension over balls of 20 mm of these teeth, 229.078" in said
    assert "normal tooth thickness" not in said


def test_the_worst_state_and_both_ends_count():
    mesh = calculate(LIFT).meshes[0]
    least = [state.least.normal_backlash_mm for state in mesh.backlash.states]
    assert len(least) == len(STATES)
    assert mesh.backlash.least_mm == min(least)
    assert mesh.backlash.tightest[0] == STATES[least.index(min(least))] == "warm"
    hotter = replace(LIFT.meshes[0].backlash, gear_warm_C=150.0, mate_warm_C=120.0)
    warm = replace(LIFT, meshes=(replace(LIFT.meshes[0], backlash=hotter),))
    assert requirement(warm, "geometry.backlash.drum").by_calculation is Calculation.FAILS
    still = replace(LIFT.meshes[0].backlash, runout_share=0.0)
    quiet = replace(LIFT, meshes=(replace(LIFT.meshes[0], backlash=still),))
    assert calculate(quiet).meshes[0].backlash.least_mm > mesh.backlash.least_mm


def test_samples_stay_apart():
    several = replace(LIFT.gear.size, allowance_min_mm=np.array([-0.3, -0.2]))
    chain = calculate(replace(LIFT, gear=replace(LIFT.gear, size=several)))
    assert chain.meshes[0].backlash.greatest_mm.shape == (2,)
    alone = calculate(LIFT).meshes[0].backlash.greatest_mm
    assert chain.meshes[0].backlash.greatest_mm[1] == pytest.approx(alone, rel=1e-12)
    assert chain.meshes[0].gear.size.limits_mm[0].shape == (2,)


def test_what_is_missing_is_said():
    bare = replace(LIFT, gear=replace(LIFT.gear, size=None))
    item = requirement(bare, "geometry.backlash.drum")
    assert (item.by_calculation, item.reason) == (Calculation.NOT_ASSESSED, "[gear.size] missing")
    mesh = LIFT.meshes[0]
    for moved, said in (
        (replace(mesh, mate=replace(mesh.mate, size=None)), "[mesh.mate.size] missing"),
        (replace(mesh, backlash=None), "[mesh.backlash] missing"),
        (
            replace(mesh, mate=replace(mesh.mate, accuracy=None)),
            "[mesh.mate.accuracy] missing",
        ),
    ):
        assert requirement(replace(LIFT, meshes=(moved,)), "geometry.backlash.drum").reason == said


def test_without_an_agreement_the_teeth_must_not_jam():
    free = replace(LIFT.required, least_backlash_mm=None, greatest_backlash_mm=None)
    record = replace(LIFT, required=free)
    assert keys(record) == ["geometry.size", "geometry.backlash.drum"]
    assert requirement(record, "geometry.backlash.drum").demand == 0.0


def test_a_measure_off_the_involute_stops():
    small = replace(LIFT.gear.size, body_diameter_mm=12.0)
    record = replace(LIFT, gear=replace(LIFT.gear, size=small))
    item = requirement(record, "geometry.size")
    assert item.by_calculation is Calculation.NOT_ASSESSED
    assert "larger body is needed" in item.reason
    assert SIZE not in limits_of(record, calculate(record))
    assert requirement(record, "geometry.backlash.drum").by_calculation is Calculation.MEETS


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("teeth = 3", 'diameter = "9 mm"', ["the number of teeth that are spanned", "no diameter here"]),
        ("teeth = 3\n", "", ["missing; needed: the number of teeth that are spanned"]),
        ('"span"', '"balls"', ["the diameter of a ball or pin", "no teeth here"]),
        ('"-0.09 mm", "-0.05 mm"', '"-0.05 mm", "-0.09 mm"', ["the smallest value first"]),
        ('"-0.09 mm"', "-0.09", ["a bare number has no unit"]),
        ('"span"', '"caliper"', ['"span", "balls", "pins"']),
    ],
)
def test_what_a_size_must_say(old, new, said):
    found = faults(with_size(GEAR_SIZE.replace(old, new)))
    assert len(found) == len(said)
    for words in said:
        assert any(words in one for one in found), words


@pytest.mark.parametrize(
    ("housing", "expected"),
    [('"grey cast iron"', 10.5), ('"cast aluminium"', 22.0), ('"12.1 µm/(m·K)"', 12.1)],
)
def test_a_housing_by_its_material_or_its_expansion(housing, expected):
    text = (scenarios() / "ship_lift" / "gear.toml").read_text(encoding="utf-8")
    text = text[: text.index("[[evidence")].replace('housing = "steel"', f"housing = {housing}")
    record = read_gear_text(text, folder=Path())
    assert record.meshes[0].backlash.housing_expansion_um_m_K == expected


@pytest.mark.parametrize("housing", ['"wood"', "10.5", '"10.5 mm"'])
def test_a_housing_that_nobody_knows(housing):
    text = (scenarios() / "ship_lift" / "gear.toml").read_text(encoding="utf-8")
    text = text[: text.index("[[evidence")].replace('housing = "steel"', f"housing = {housing}")
    (fault,) = faults(text)
    assert "mesh[1].backlash.housing" in fault and "µm/(m·K)" in fault
