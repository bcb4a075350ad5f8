"""A gear file whose mate is internal, from its text to the answers of the review."""

import json

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.figures.tooth import tooth_of
from gearcheck.requirements.types import Calculation
from gearcheck.review.as_json import as_plain
from gearcheck.review.carried import carried_record
from gearcheck.review.chain import calculate
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.rewrite import evidence_texts
from gearcheck.review.whole import review

CUTTER = """internal = true

[mesh.mate.cutter]
teeth = 25
profile_shift = 0.1
tip_diameter = "143.35 mm"
tip_radius = "1.0 mm"

[mesh.mate.rack]
"""
TOOTH = (
    ('centre_distance = "243 mm"', 'centre_distance = "122.327 mm"'),
    ("profile_shift = 0.18", "profile_shift = -0.3"),
    ('tip_diameter = "374.5 mm"', 'tip_diameter = "357.93 mm"'),
)


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def with_internal_mate(record, rack=CUTTER):
    text = record.source_text
    for old, new in (*TOOTH, ("[mesh.mate.rack]\n", rack)):
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return carried_record(text, evidence_texts(record))


def of_mate(whole):
    return {item.key: item for item in whole.requirements if item.key.endswith(".mate")}


def test_the_review_of_a_pinion_in_an_internal_gear(fan):
    record = with_internal_mate(fan)
    whole = review(record)
    assert record.meshes[0].mate.cutter.teeth == 25
    form = of_mate(whole)["geometry.form.wheel.mate"]
    assert form.by_calculation is Calculation.MEETS
    assert form.demand < form.capacity
    assert form.demand_words.startswith("end of active profile")
    for key in ("stress.flank.wheel.mate", "stress.root.wheel.mate"):
        item = of_mate(whole)[key]
        assert item.by_calculation is not Calculation.NOT_ASSESSED, item.reason
        assert np.isfinite(item.reserve.factor)
    assert json.loads(json.dumps(as_plain(whole)))


def test_without_its_cutter_the_root_form_is_not_assessed(fan):
    record = with_internal_mate(fan, "internal = true\n\n[mesh.mate.rack]\n")
    form = of_mate(review(record))["geometry.form.wheel.mate"]
    assert form.by_calculation is Calculation.NOT_ASSESSED
    assert "pinion cutter" in form.reason


def test_a_cutter_needs_an_internal_mate(fan):
    with pytest.raises(InputError, match=r"internal = true"):
        with_internal_mate(fan, CUTTER.replace("internal = true\n", ""))


def test_both_teeth_are_drawn(fan):
    mesh = calculate(with_internal_mate(fan)).meshes[0]
    for member in (mesh.gear, mesh.mate):
        tooth = tooth_of(member, mesh.pair)
        assert tooth is not None
        assert len(tooth.circles) == 4
