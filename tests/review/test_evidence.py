"""Measured values against what is drawn: case, stock and hardness, each with its cause in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gearcheck.basics.places import scenarios
from gearcheck.materials.inputs import Quality
from gearcheck.requirements.types import Evidence
from gearcheck.review.chain import calculate
from gearcheck.review.evidence import held
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged


@pytest.fixture(scope="module")
def ship_lift():
    """Drawn: 1.90 to 2.40 mm as treated, 0.15 to 0.25 mm stock, 1.60 to 2.30 mm finished; 697 HV, MQ.

    Here it is measured without uncertainty, and without what other evidence says.
    """
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    sure = {
        kind: tuple(
            replace(item, head=replace(item.head, uncertainty=None)) for item in getattr(record, kind)
        )
        for kind in ("case_depth", "hardness")
    }
    return replace(record, traverse=(), result=(), **sure)


def of(record):
    """The findings against the limit of each characteristic itself."""
    found = {}
    for one in held(record, calculate(record), ()):
        if one.about in ("", one.characteristic):
            found.setdefault(one.characteristic, []).append(one.finding)
    return found


def with_case(record, as_treated, stock):
    """The record with the left flank alone measured."""
    item = replace(record.case_depth[0], as_treated_mm=as_treated, stock_removed_mm=stock)
    return replace(record, case_depth=(item,), pitch=())


def with_hardness(record, measured, quality=Quality.MQ):
    item = replace(record.hardness[0], hardness_HV=measured)
    steel = replace(record.gear.steel, quality=quality)
    return replace(record, hardness=(item,), pitch=(), gear=replace(record.gear, steel=steel))


@pytest.mark.parametrize(
    ("as_treated", "stock", "words"),
    [
        (1.93, 0.20, "1.93 mm as treated, 0.20 mm ground off"),
        (1.90, 0.15, "1.90 mm as treated, 0.15 mm ground off"),
        (2.40, 0.25, "2.40 mm as treated, 0.25 mm ground off"),
        (1.93, 0.38, "1.93 mm as treated, 0.38 mm ground off, at most 0.25 mm drawn"),
        (1.93, 0.10, "1.93 mm as treated, 0.10 mm ground off, at least 0.15 mm drawn"),
        (1.85, 0.20, "1.85 mm as treated, at least 1.90 mm drawn, 0.20 mm ground off"),
        (1.90, 0.30, "1.90 mm as treated, 0.30 mm ground off, at most 0.25 mm drawn"),
        (2.45, 0.10, "2.45 mm as treated, at most 2.40 mm drawn, 0.10 mm ground off, at least 0.15 mm drawn"),
    ],
)
def test_the_cause_is_read_with_the_case_left(ship_lift, as_treated, stock, words):
    found = of(with_case(ship_lift, as_treated, stock))
    for key in ("case.left.left", "case.most.left"):
        (finding,) = found[key]
        assert finding.text.endswith(f"specified ({words}).")
        assert finding.value == pytest.approx(as_treated - stock)
    # 1.90 - 0.30 is 1.60, though the machine's own difference lies just below
    assert found["case.left.left"][0].ok == (round(as_treated - stock, 6) >= 1.6)
    assert found["case.most.left"][0].ok == (round(as_treated - stock, 6) <= 2.3)


@pytest.mark.parametrize(
    ("measured", "quality", "ok", "limit", "words"),
    [
        (696, Quality.MQ, False, 697, "696 HV measured where 697 HV is specified."),
        (712, Quality.MQ, True, 697, "712 HV measured where 697 HV is specified."),
        (800, Quality.MQ, True, 697, "800 HV measured where 697 HV is specified."),
        (812, Quality.MQ, False, 800, "812 HV measured, over the 800 HV that the material quality allows."),
        (812, Quality.ML, True, 697, "812 HV measured where 697 HV is specified."),
    ],
)
def test_a_surface_may_be_too_hard_for_its_quality(ship_lift, measured, quality, ok, limit, words):
    record = with_hardness(ship_lift, measured, quality)
    (finding,) = of(record)["hardness.surface"]
    assert (finding.ok, finding.limit, finding.value) == (ok, limit, measured)
    assert finding.text == f"Surface hardness: {words}"
    answer = next(item for item in judged(record) if item.key == "hardness.surface")
    assert answer.by_evidence is (Evidence.SHOWN if ok else Evidence.CONTRADICTED)


def test_a_core_has_no_upper_limit(ship_lift):
    core = replace(ship_lift.hardness[1], hardness_HV=900.0)
    (finding,) = of(replace(ship_lift, hardness=(core,), pitch=()))["hardness.core"]
    assert finding.ok
