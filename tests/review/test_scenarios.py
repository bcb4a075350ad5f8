"""Each demo gear answers as its story says, through reader, review and JSON."""

from __future__ import annotations

import json
import tomllib
from dataclasses import replace

import pytest

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.places import scenarios
from gearcheck.requirements.types import Calculation, Evidence, Scale, Stage
from gearcheck.review.as_json import as_plain
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations import NAMES
from gearcheck.review.whole import blocking, outcome, review
from gearcheck.stress.inputs import Bending

FOLDERS = sorted(path.parent for path in scenarios().glob("*/gear.toml"))


@pytest.fixture(scope="module", params=FOLDERS, ids=lambda folder: folder.name)
def told(request):
    expected = tomllib.loads((request.param / "expected.toml").read_text(encoding="utf-8"))
    return review(read_gear_file(request.param / "gear.toml")), expected


def keys(whole, wanted):
    return sorted(item.key for item in whole.requirements if wanted(item))


def test_what_fails_and_what_is_contradicted(told):
    whole, expected = told
    assert keys(whole, lambda item: item.by_calculation is Calculation.FAILS) == sorted(expected["fails"])
    found = keys(whole, lambda item: item.by_evidence is Evidence.CONTRADICTED)
    assert found == sorted(expected["contradicted"])
    assert len(keys(whole, lambda item: item.by_evidence is Evidence.OPEN)) == expected["open"]
    assert keys(whole, lambda item: item.by_evidence is Evidence.STALE) == sorted(expected.get("stale", []))
    unknown = keys(whole, lambda item: item.by_calculation is Calculation.NOT_ASSESSED)
    assert len(unknown) == expected["not_assessed"]
    assert bool(blocking(whole)) == (expected["exit"] == 1)


def test_the_outcome_counts_what_the_table_shows(told):
    whole, expected = told
    sentence = outcome(whole)
    count = len(expected["fails"]) or "None"
    assert sentence.startswith(f"{count} of {len(whole.requirements)} requirements")
    assert ("contradicted" in sentence) == bool(expected["contradicted"])
    assert ("not assessed" in sentence) == bool(expected["not_assessed"])


def test_each_requirement_has_two_answers_and_one_scale(told):
    whole, _ = told
    assert len({item.key for item in whole.requirements}) == len(whole.requirements)
    for item in whole.requirements:
        assert item.station in NAMES
        assert (item.by_calculation is Calculation.NOT_ASSESSED) == bool(item.reason), item.key
        if item.by_calculation is Calculation.NOT_ASSESSED:
            assert (item.demand, item.reserve, item.share, item.native) == (None, None, None, "")
            continue
        assert (item.demand <= item.capacity) == (item.by_calculation is Calculation.MEETS)
        assert (item.reserve is not None) == (item.scale is Scale.TORQUE)
        assert (item.share is not None) == (item.scale is Scale.SHARE)
        if whole.record.part.stage is not Stage.RELEASE:
            assert item.by_evidence is not Evidence.OPEN


def test_the_review_is_strict_json_and_keeps_every_step(told):
    whole, _ = told
    text = json.dumps(as_plain(whole), allow_nan=False, ensure_ascii=False)
    back = json.loads(text)
    symbols = {term["symbol"] for step in back["workings"] for term in step["terms"]}
    assert {"K_V", "Z_H", "Y_F", "σ_HP", "σ_FP", "d_Nf", "N_L", "c_γα"} <= symbols
    for step in back["workings"]:
        assert step["method"]["cite"]
        assert step["method"]["status"] in {"published", "from memory", "common practice"}


def test_the_same_record_gives_the_same_review(told):
    whole, _ = told
    assert json.dumps(as_plain(review(whole.record))) == json.dumps(as_plain(whole))


def test_a_reliability_beyond_the_limits_is_a_stop_not_a_number():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    assert record.required is not None
    whole = review(replace(record, required=replace(record.required, reliability=0.999)))
    stress = [item for item in whole.requirements if item.station == "stress"]
    assert all(item.by_calculation is Calculation.NOT_ASSESSED for item in stress)
    assert all("0.999" in item.reason for item in stress)


def test_the_root_of_an_idler_counts_its_bending_both_ways():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    mesh = record.meshes[0]
    other = Flank.RIGHT if mesh.loaded_flank is Flank.LEFT else Flank.LEFT
    idler = replace(record, meshes=(mesh, replace(mesh, name="second", loaded_flank=other)))
    here, there = (review(item).chain.meshes[0] for item in (record, idler))
    assert there.gear.bending is Bending.IDLER
    assert there.mate.bending is Bending.ONE_WAY
    assert there.gear.root_safety.safety < 0.9 * here.gear.root_safety.safety
    assert there.mate.root_safety.safety == pytest.approx(here.mate.root_safety.safety)
    assert there.gear.flank.safety == pytest.approx(here.gear.flank.safety)


def test_two_meshes_on_one_flank_double_its_cycles():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    mesh = record.meshes[0]
    whole = review(replace(record, meshes=(mesh, replace(mesh, name="second"))))
    single = review(record).chain.meshes[0]
    both = whole.chain.meshes[0]
    assert both.gear.cycles.load_cycles == pytest.approx(2 * single.gear.cycles.load_cycles)
    assert both.mate.cycles.load_cycles == pytest.approx(single.mate.cycles.load_cycles)


def test_evidence_of_another_revision_is_stale():
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    whole = review(replace(record, part=replace(record.part, revision="next")))
    answers = {item.by_evidence for item in whole.requirements if item.findings}
    assert answers == {Evidence.STALE}
    stale = {item.key for item in whole.requirements if item.findings}
    assert stale <= {item.key for item in blocking(whole)}


def test_the_public_review_is_the_room_that_answers_a_call():
    import gearcheck

    record = gearcheck.read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    for _ in range(2):
        assert gearcheck.review(record, with_settled=False).requirements
    assert gearcheck.review.whole.review is review


@pytest.mark.parametrize(
    ("drawn", "words"),
    [
        (6, "class 6 drawn (13.0 µm), class 6 agreed (13.0 µm)"),
        (5, "class 5 drawn (9.0 µm), class 6 agreed (13.0 µm)"),
    ],
)
def test_an_accuracy_line_names_both_classes(drawn, words):
    from gearcheck.review.changes import changed

    record = changed(read_gear_file(scenarios() / "ship_lift" / "gear.toml"), {"class": drawn})
    natives = {item.key: item.native for item in review(record, with_settled=False).requirements}
    assert natives["accuracy.single.left"] == words


def test_a_pair_that_cannot_mesh_says_that_a_stop_leaves_it_without_answers():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    mesh = replace(record.meshes[0], centre_distance_mm=300.0)
    whole = review(replace(record, meshes=(mesh,)))
    stopped = [item for item in whole.requirements if item.stopped]
    assert stopped
    assert all(item.by_calculation is Calculation.NOT_ASSESSED for item in stopped)
    assert "because of a stop" in outcome(whole)


def test_a_missing_section_is_no_stop(told):
    whole, _ = told
    assert not any(item.stopped for item in whole.requirements)
    assert "stop" not in outcome(whole)


def test_the_measured_teeth_reach_a_class_and_keep_its_tolerance():
    record = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    whole = review(record)
    (reached,) = whole.classes
    measured = whole.pitch[0]
    coarser = max(measured.left_single_pitch_um, measured.right_single_pitch_um)
    assert coarser > whole.chain.drawn.single_pitch_um
    assert reached.single_pitch == record.gear.accuracy.tolerance_class + 1
    assert reached.overall >= reached.cumulative_pitch


def test_equality_is_enough_and_rounding_is_no_failure():
    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    case = replace(
        record.gear.case, as_treated_min_mm=1.90, left_stock_max_mm=0.30, right_stock_max_mm=0.30,
        as_treated_max_mm=2.0, finished_min_mm=1.60, finished_max_mm=2.0,
    )  # fmt: skip
    whole = review(replace(record, gear=replace(record.gear, case=case)))
    answers = {item.key: item.by_calculation for item in whole.requirements}
    assert answers["case.left.left"] is Calculation.MEETS
    short = replace(case, as_treated_min_mm=1.8999)
    whole = review(replace(record, gear=replace(record.gear, case=short)))
    answers = {item.key: item.by_calculation for item in whole.requirements}
    assert answers["case.left.left"] is Calculation.FAILS


def test_a_stop_is_never_told_as_nothing_in_the_way():
    from gearcheck.review.whole import blocking_words

    record = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    assert blocking_words(review(record)) == "Nothing blocks the detail review."
    apart = replace(record, meshes=(replace(record.meshes[0], centre_distance_mm=300.0),))
    assert "a stop leaves 7 requirements without an answer" in blocking_words(review(apart))
    lift = review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"))
    assert blocking_words(lift) == "5 requirements block the release review."
