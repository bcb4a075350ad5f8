"""What the tests of specimens say of the harvester's pinion: requirement, reserve, and what is told."""

import re
from dataclasses import replace

import numpy as np
import pytest
from scipy.special import ndtr

from gearcheck.accuracy.inputs import Flank
from gearcheck.basics.digits import NO_BREAK, THIN
from gearcheck.basics.methods import Status
from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.fatigue.inputs import Aspect, Curve, Difference, Place
from gearcheck.fatigue.model import LONG_SLOPE
from gearcheck.report.text import text_report
from gearcheck.requirements.types import Calculation, Evidence
from gearcheck.review.carried import carried_record
from gearcheck.review.chain import calculate
from gearcheck.review.changes import mending_changes
from gearcheck.review.fatigue import fatigue_lives
from gearcheck.review.fatigue_inputs import ExcludedSpecimen, GivenFactors, LoadKind, Rig
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.moves import with_torque
from gearcheck.review.part_service import long_slope
from gearcheck.review.rewrite import evidence_texts
from gearcheck.review.specimen_ratio import ratio_of_part, ratio_of_tests
from gearcheck.review.specimen_stress import specimen_stress
from gearcheck.review.stations.contact import LATER
from gearcheck.review.whole import review
from gearcheck.stress.inputs import LifeAt1e10

KEY = "fatigue.root.wheel"


@pytest.fixture(scope="module")
def record():
    return read_gear_file(scenarios() / "harvester" / "gear.toml")


def line_of(whole):
    return next(item for item in whole.requirements if item.key == KEY)


def only(record, **changed):
    """The record with its one entry of tests changed."""
    tests = replace(record.fatigue.tests[0], **changed)
    return replace(record, fatigue=replace(record.fatigue, tests=(tests,)))


def table_of(record, **changed):
    return only(record, table=replace(record.fatigue.tests[0].table, **changed))


def life_of(record):
    return fatigue_lives(record, calculate(record))[0]


def test_the_requirement_is_met_with_a_reserve_of_its_own(record):
    whole = review(record)
    line = line_of(whole)
    assert line.by_calculation is Calculation.MEETS
    life, _ = whole.fatigue
    (own,) = life.supported
    assert line.demand == pytest.approx(whole.chain.meshes[0].gear.root.stress_MPa)
    assert line.demand < line.capacity < own.stress.plug_in_MPa
    assert own.service.teeth == 8.5  # a test of the pulsator ends with the weaker of two teeth
    assert own.service.gears == 2


def test_live_it_follows(record):
    line = line_of(review(record, with_settled=False))
    assert line.reason == LATER
    assert review(record, with_settled=False).fatigue == ()


def test_the_reserve_turns_the_whole_review(record):
    factor = line_of(review(record)).reserve.factor
    for share, answer in ((0.999, Calculation.MEETS), (1.001, Calculation.FAILS)):
        assert line_of(review(with_torque(record, share * factor))).by_calculation is answer


def test_under_a_duty_the_reserve_turns_too(record):
    duty = Duty(
        bins=tuple(
            Bin(torque_Nm=torque, speed_rpm=speed, hours=hours)
            for torque, speed, hours in ((2000.0, 150.0, 5.0), (1200.0, 300.0, 60.0), (500.0, 500.0, 35.0))
        ),
        below_knee=BelowKnee.FLATTER_SLOPE,
    )
    loaded = replace(record, duty=duty)
    life = life_of(loaded)
    (own,) = life.supported
    assert own.service.stress_MPa.size == 3
    assert own.service.below_knee is BelowKnee.FLATTER_SLOPE
    for share, meets in ((0.999, True), (1.001, False)):
        (moved,) = life_of(with_torque(loaded, share * own.reserve.factor)).supported
        assert (moved.stress.factor >= 1.0) is meets


def test_forces_become_the_stress_of_the_rating(record):
    found = specimen_stress(record, record.fatigue.tests[0])
    force = record.fatigue.tests[0].table.load
    assert found.stress_MPa == pytest.approx(force * 896.8543508 / 40e3, rel=1e-8)


def test_running_specimens_speak_the_language_of_the_rating(record):
    """Specimens like the part, with the load factors of its rating, have its stress at its torque."""
    chain = calculate(record)
    mesh, rated = record.meshes[0], chain.meshes[0]
    factors, own = rated.factors, record.fatigue.tests[0].gear
    torque = float(mesh.torque_Nm)
    for place, face, transverse, wanted in (
        (
            Place.ROOT,
            factors.face_factor_bending,
            factors.transverse_factor_bending,
            rated.gear.root.stress_MPa,
        ),
        (
            Place.FLANK,
            factors.face_load_factor,
            factors.transverse_factor_contact,
            rated.gear.flank.stress_MPa,
        ),
    ):
        given = GivenFactors(
            application=float(mesh.application_factor), dynamic=float(factors.dynamic_factor),
            face=float(face), transverse=float(transverse), source="the rating",
            status=Status.COMMON_PRACTICE,
        )  # fmt: skip
        specimens = replace(
            own, normal_module_mm=record.normal_module_mm, helix_angle_deg=record.helix_angle_deg,
            tooth=record.gear.tooth, mate=mesh.mate.tooth, centre_distance_mm=mesh.centre_distance_mm,
            factors=given, span_teeth=None, tip_relief_um=factors.tip_relief_um,
        )  # fmt: skip
        table = replace(
            record.fatigue.tests[0].table, load_kind=LoadKind.TORQUE, load=np.array([torque, 2 * torque])
        )
        tests = replace(record.fatigue.tests[0], place=place, rig=Rig.RUNNING, gear=specimens, table=table)
        found = specimen_stress(record, tests)
        assert found.stress_MPa[0] == pytest.approx(wanted)
        assert [notice.key for notice in found.notices] == ["fatigue.rig_factors"]


@pytest.mark.parametrize(
    ("place", "factor", "words"),
    [(0, 1000, "more than 5000 MPa"), (0, 1e-3, "less than 50 MPa"), (1, 100, "more than 8000 MPa")],
)
def test_loads_in_another_unit_are_no_strength(record, place, factor, words):
    """Newtons in a column of kilonewtons: no steel stands them."""
    tests = record.fatigue.tests[place]
    tests = replace(tests, table=replace(tests.table, load=tests.table.load * factor))
    found = life_of(replace(record, fatigue=replace(record.fatigue, tests=(tests,))))
    assert not found.supported
    assert found.fit is None
    assert words in found.reason.replace(NO_BREAK, " ")
    assert f"is its {tests.table.load_kind} in the unit of the column?" in found.reason


def test_one_load_in_another_unit_stops_unless_it_is_left_out(record):
    load = record.fatigue.tests[0].table.load.copy()
    load[3] *= 1000
    assert "the root stress of P04 comes to" in life_of(table_of(record, load=load)).reason
    out = (*record.fatigue.tests[0].excluded, ExcludedSpecimen(specimen="P04", reason="written in newtons"))
    tests = replace(record.fatigue.tests[0], excluded=out)
    tests = replace(tests, table=replace(tests.table, load=load))
    assert not life_of(replace(record, fatigue=replace(record.fatigue, tests=(tests,)))).reason


def test_what_is_left_out_is_counted(record):
    levels = life_of(record).levels
    assert levels.data.count == 39
    said = next(notice.text for notice in levels.notices if notice.key == "fatigue.excluded")
    assert said.startswith("Left out with a reason: 1 of 40 specimens. P34: When it was taken out, the jaw")
    more = only(record, excluded=(ExcludedSpecimen(specimen="P01", reason="so"),))
    assert "P34" in life_of(more).levels.data.specimens
    assert life_of(only(record, excluded=())).levels.data.count == 40


def test_the_order_of_the_specimens_does_not_matter(record):
    tests = record.fatigue.tests[0]
    order = np.random.default_rng(2).permutation(len(tests.table.specimen))
    words = ("specimen", "gear", "tooth", "batch", "mode", "reason", "retest_of")
    mixed = {name: tuple(getattr(tests.table, name)[at] for at in order) for name in words}
    mixed |= {
        name: getattr(tests.table, name)[order] for name in ("load", "stress_ratio", "cycles", "failed")
    }
    (one,), (other,) = life_of(record).supported, life_of(table_of(record, **mixed)).supported
    assert other.stress.supported_MPa == pytest.approx(one.stress.supported_MPa, rel=2e-3)


def test_a_run_out_is_no_failure(record):
    """Flagged the other way round, all that ran out would be lives, and the support would fall."""
    tests = record.fatigue.tests[0]
    wrong = table_of(record, failed=np.full(len(tests.table.specimen), True), mode=("root fracture",) * 40)
    right = life_of(record)
    assert np.sum(right.levels.run_outs) > 0
    assert life_of(wrong).fit.parameters != pytest.approx(right.fit.parameters)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"failed": np.full(40, False)}, "ran out"),
        ({"load": np.full(40, 45e3)}, "level"),
        ({"stress_ratio": np.linspace(0.0, 0.3, 40)}, "Stress ratios from 0 to 0.3 are mixed"),
        ({"mode": ("root fracture", "flank") * 20}, ""),
    ],
    ids=["all run-outs", "one level", "ratios", "modes"],
)
def test_what_gives_no_footing_says_so(record, changed, words):
    mode = "" if "mode" in changed else "root fracture"
    found = life_of(only(table_of(record, **changed), mode=mode))
    line = line_of(review(only(table_of(record, **changed), mode=mode)))
    assert line.by_calculation is Calculation.NOT_ASSESSED
    assert found.reason == line.reason
    assert words in line.reason
    assert line.capacity is None


def test_one_specimen_alone_supports_nothing(record):
    table = record.fatigue.tests[0].table
    rest = tuple(ExcludedSpecimen(specimen=name, reason="only one") for name in table.specimen[1:])
    found = life_of(only(record, excluded=rest))
    assert found.supported == ()
    assert found.reason


def test_tests_at_one_level_support_no_other_stress(record):
    one = only(table_of(record, load=np.full(40, 45e3)), curve=Curve.ONE_LEVEL)
    assert "no slope" in line_of(review(one)).reason


def test_without_what_is_required_it_is_not_assessed(record):
    assert line_of(review(replace(record, required=None))).reason == "[required] missing"


def test_what_fails_has_remedies(record, monkeypatch):
    """Looked for by two of the changes, as each is worked out value by value."""
    import gearcheck.review.remedies as room

    offered = mending_changes(record, KEY)
    two = tuple(change for change in offered if change.key in ("torque", "face_width"))
    monkeypatch.setattr(room, "mending_changes", lambda *_: two)
    monkeypatch.setattr(room, "_ONE_BY_ONE", room._Search(points=9, cuts=5, rounds=2))
    failing = with_torque(record, 1.8)
    assert line_of(review(failing)).by_calculation is Calculation.FAILS
    found = {one.change.key: one.after for one in room.remedies(failing, KEY)}
    assert found["torque"] < 1.8 * float(record.meshes[0].torque_Nm)
    assert found["face_width"] > float(record.gear.tooth.face_width_mm)


def test_what_meets_says_how_many_differences_are_open(record):
    whole = review(record)
    said = "1 difference between specimen and part open"
    assert line_of(whole).native.endswith(f"MPa supported; {said}")
    (row,) = (row for row in text_report(whole).splitlines() if "Root by specimen tests" in row)
    assert row.endswith(f"({said})")
    differences = tuple(
        replace(one, reason="invented") if one.what is Aspect.RIG else one
        for one in record.fatigue.tests[0].differences
    )
    assert "open" not in line_of(review(only(record, differences=differences))).native


def test_the_pedigree_leaves_the_rig_open(record):
    told = life_of(record).pedigree
    assert [line.what for line in told.lines if line.state == "open"] == ["rig"]


def test_numbers_are_told_as_they_are_printed(record):
    """6 000 000 and 1.49·10⁸ cycles, not 6e+06."""
    told = " ".join(notice.text for notice in review(record).notices)
    assert not re.search(r"\d[eE][+-]?\d", told)
    assert "tested to 6 000 000 cycles, a tooth sees 1.49·10⁸" in told.replace(THIN, " ")


def test_the_planned_test_as_one_of_its_gears_bears_it(record):
    planned = life_of(record).endurance
    assert planned.gears == 1
    assert planned.cycles == pytest.approx([400 * 60 * 310])
    at_nominal = calculate(record).meshes[0].gear.root.stress_MPa
    # the load factors fall a little as the load grows
    assert planned.stress_MPa[0] == pytest.approx(at_nominal * 2300 / (840.607 * 1.5), rel=0.03)


def test_it_is_done_once_whatever_else_moves(record, monkeypatch):
    import gearcheck.review.fatigue as room

    life_of(record)
    monkeypatch.setattr(room, "fatigue_fit", lambda **_: pytest.fail("the fit is at hand"))
    life_of(with_torque(record, 1.05))


def test_how_likely_the_planned_test_is_passed(record):
    """Less than if the fitted curve were the truth, and more than if each gear had a curve of its own."""
    found = life_of(record).passing
    assert found.gears == 2
    assert found.each_apart < found.passed < found.plug_in
    longer = replace(record.fatigue.endurance, gears=6)
    more = life_of(replace(record, fatigue=replace(record.fatigue, endurance=longer))).passing
    assert more.passed < found.passed
    none = life_of(replace(record, fatigue=replace(record.fatigue, endurance=None)))
    assert (none.endurance, none.passing) == (None, None)


def test_a_gear_of_several_mates_counts_the_load_cycles_of_all_on_a_flank(record):
    """A second mate on the same flank doubles those of the endurance test as of the life."""
    mesh = record.meshes[0]
    two = life_of(replace(record, meshes=(mesh, replace(mesh, name="second"))))
    one = life_of(record)
    assert two.endurance.cycles == pytest.approx(2 * one.endurance.cycles)
    assert two.supported[0].service.cycles == pytest.approx(2 * one.supported[0].service.cycles)


def test_a_light_reverse_direction_does_not_take_the_value_away(record):
    """It bears over twenty times its load: the other direction is worse."""
    steps = tuple(
        Bin(torque_Nm=torque, speed_rpm=300.0, hours=50.0, reverse=back)
        for torque, back in ((1200.0, False), (10.0, True))
    )
    both = replace(record, duty=Duty(bins=steps, below_knee=BelowKnee.SAME_SLOPE))
    (own,) = life_of(both).supported
    assert own.stress.factor is not None
    assert own.reserve is not None
    light = replace(
        record, duty=Duty(bins=(replace(steps[1], reverse=False),), below_knee=BelowKnee.SAME_SLOPE)
    )
    line = line_of(review(light))
    assert line.by_calculation is Calculation.NOT_ASSESSED
    assert line.reason.startswith("With confidence over 20 times")


def test_teeth_of_few_gears_leave_more_open(record):
    """Five gears by eight teeth: the bound falls, and what is taken from it stands among the workings."""
    life = life_of(record)
    few = life.few_gears
    assert few.gears == pytest.approx(39**2 / (4 * 8**2 + 7**2))
    table = record.fatigue.tests[0].table
    apart = life_of(table_of(record, gear=table.specimen))
    assert apart.few_gears.log_deviation == 0.0
    assert life.supported[0].stress.supported_MPa < apart.supported[0].stress.supported_MPa
    assert life.supported[0].service.log_deviation == pytest.approx(
        np.hypot(life.transfers.log_deviation, few.log_deviation)
    )
    assert life.supported[0].service.log_factor == pytest.approx(life.transfers.log_factor + few.log_shift)
    assert "Teeth of few gears, root tests" in [title for title, _ in life.results()]
    strength = [life.fit.strength_MPa(cycles=6e6, failed_share=ndtr(u)) for u in (-1.0, 1.0)]
    assert few.fitted_deviation == pytest.approx(0.5 * np.log(strength[1] / strength[0]))


def test_gears_that_are_shared_are_told(record):
    def keys(of):
        return [notice.key for notice in life_of(of).levels.notices]

    transfers = tuple(one for one in record.fatigue.tests[0].transfers if one.kind != "weakest tooth")
    unsaid = only(record, within_gear_share=None, transfers=transfers)
    assert "fatigue.gears_shared" in keys(unsaid)
    assert life_of(unsaid).few_gears is None
    assert "fatigue.gears_shared" not in keys(record)
    assert "fatigue.few_gears" in keys(record)  # five of them
    one = life_of(table_of(record, gear=("G1",) * 40))
    assert "teeth of one gear" in one.reason
    assert one.supported == ()


def test_no_tooth_of_a_pair_is_loaded_twice_unsaid(record):
    """The jaws span four teeth of 24 and load the first and the last."""
    table = record.fatigue.tests[0].table
    again = tuple(
        "4" if name == "P03" else one for name, one in zip(table.specimen, table.tooth, strict=True)
    )
    told = [
        one.text
        for one in life_of(table_of(record, tooth=again)).levels.notices
        if one.key == "fatigue.tooth_repeated"
    ]
    assert {text[:20] for text in told} == {"Tooth 4 of gear G1 w", "Tooth 7 of gear G1 w"}
    assert "fatigue.tooth_repeated" not in [one.key for one in life_of(record).levels.notices]


def test_running_specimens_by_stress_are_as_weak_as_the_weakest_of_their_teeth(record):
    table = replace(record.fatigue.tests[0].table, load_kind=LoadKind.STRESS, load=table_stress(record))
    running = only(record, table=table, gear=None, rig=Rig.RUNNING, teeth_loaded=31)
    assert life_of(running).supported[0].service.teeth == 1.0
    few_teeth = only(record, table=table, gear=None, rig=Rig.RUNNING, teeth_loaded=10)
    assert life_of(few_teeth).supported[0].service.teeth == 1.7


def table_stress(record):
    return specimen_stress(record, record.fatigue.tests[0]).stress_MPa


def run_by_evidence(record, conforms):
    """The answer by evidence at release, with the result of an endurance test."""
    text = (
        record.source_text.replace('stage = "concept"', 'stage = "release"', 1)
        + f"""
[[evidence.result]]
characteristic = "fatigue.endurance"
found = "both gears looked at with penetrant"
conforms = {conforms}
revision = "B"
applies_to = "serial number 0001"
by = "Test bench of the works, invented"
date = 2026-04-02
instrument = "back-to-back rig 2"
"""
    )
    return line_of(review(carried_record(text, evidence_texts(record))))


def test_an_endurance_test_is_evidence_beside_what_the_part_is_made_to(record):
    broken = run_by_evidence(record, "false")
    assert broken.by_evidence is Evidence.CONTRADICTED
    assert "endurance test of whole gears" in broken.kind_of_evidence
    # sound gears alone do not show that the root is as hard and as smooth as that of the specimens
    assert run_by_evidence(record, "true").by_evidence is Evidence.OPEN


def test_a_tooth_whose_gear_is_not_told_shares_it_with_no_other(record):
    gears = ("", "", *record.fatigue.tests[0].table.gear[2:])
    assert life_of(table_of(record, gear=gears)).levels.data.gears[:3] == ("P01", "P02", "G1")


def test_failures_found_at_inspections_are_fitted_between_them(record):
    table = record.fatigue.tests[0].table
    seen = np.where(table.failed, 0.8 * table.cycles, np.nan)
    found = life_of(table_of(record, sound_cycles=seen))
    assert found.fit.converged
    assert found.supported[0].stress.supported_MPa == pytest.approx(
        life_of(record).supported[0].stress.supported_MPa, rel=0.05
    )


def test_the_line_of_long_life_is_that_of_root_or_flank():
    """0.85 at 1e10 load cycles, from 3e6 at the root and from 5e7 on the flank."""
    assert long_slope(Place.ROOT) == pytest.approx(LONG_SLOPE, rel=1e-5)
    assert long_slope(Place.FLANK) == pytest.approx(np.log(1e10 / 5e7) / np.log(1 / 0.85))


def test_by_the_reading_of_optimum_conditions_nothing_is_damaged_beyond_the_knee(record):
    readings = replace(record.methods.readings, life_at_1e10=LifeAt1e10.OPTIMUM)
    optimum = replace(record, methods=replace(record.methods, readings=readings))
    (own,), (known,) = life_of(optimum).supported, life_of(record).supported
    assert own.service.below_knee is BelowKnee.NO_DAMAGE
    assert own.stress.supported_MPa > known.stress.supported_MPa


def test_a_test_that_loads_two_teeth_has_seen_the_weaker_of_both(record):
    (one,), (two,) = life_of(only(record, teeth_loaded=1)).supported, life_of(record).supported
    assert one.service.teeth == 17
    assert one.stress.supported_MPa < two.stress.supported_MPa


def of_teeth(data, **changed):
    return replace(data, tooth=replace(data.tooth, **changed))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("pair", "centre distance"),
        ("notch", "leave a notch in the fillet; its depth and radius"),
        ("specimens", "exceeds the protuberance of the specimens"),
        ("span", "outside the tip circle"),
        ("diameter", "a diameter above that of the base circle"),
        ("load", "no step of the duty carries a load"),
        ("steel", "[gear.steel] missing"),
    ],
)
def test_what_cannot_be_rated_is_said(record, name, words):
    mesh, gear = record.meshes[0], record.fatigue.tests[0].gear
    idle = Bin(torque_Nm=0.0, speed_rpm=300.0, hours=50.0)
    changed = {
        "pair": lambda: replace(record, meshes=(replace(mesh, centre_distance_mm=150.0),)),
        "notch": lambda: replace(record, gear=of_teeth(record.gear, stock_max_mm=1.0)),
        "specimens": lambda: only(record, gear=of_teeth(gear, stock_max_mm=0.2)),
        "span": lambda: only(record, gear=replace(gear, span_teeth=12)),
        "diameter": lambda: only(record, gear=replace(gear, span_teeth=None, load_diameter_mm=140.0)),
        "load": lambda: replace(record, duty=Duty(bins=(idle,), below_knee=BelowKnee.SAME_SLOPE)),
        "steel": lambda: replace(record, gear=replace(record.gear, steel=None)),
    }[name]()
    line = line_of(review(changed))
    assert line.by_calculation is Calculation.NOT_ASSESSED
    assert words in line.reason


def idler_of(record):
    mesh = record.meshes[0]
    return replace(record, meshes=(mesh, replace(mesh, name="second", loaded_flank=Flank.LEFT)))


def without_ratio(record):
    """The record without its transfer of the stress ratio, which is told to be alike."""
    tests = record.fatigue.tests[0]
    others = tuple(one for one in tests.transfers if Aspect.STRESS_RATIO not in one.covers)
    rows = tuple(one for one in tests.differences if one.what is not Aspect.STRESS_RATIO)
    same = Difference(what=Aspect.STRESS_RATIO, specimen="0.05", part="0.05")
    return only(record, transfers=others, differences=(*rows, same))


def reversing_of(record):
    steps = tuple(
        Bin(torque_Nm=torque, speed_rpm=300.0, hours=50.0, reverse=back)
        for torque, back in ((840.0, False), (300.0, True))
    )
    return replace(record, duty=Duty(bins=steps, below_knee=BelowKnee.SAME_SLOPE))


@pytest.mark.parametrize("bent", [idler_of, reversing_of])
def test_a_root_bent_both_ways_is_not_supported_by_tests_one_way(record, bent):
    assert not life_of(without_ratio(record)).reason
    part = bent(without_ratio(record))
    life, line = life_of(part), line_of(review(part))
    assert life.supported == ()
    assert "bent further back than that of the specimens, R from 0.05 to −1.2" in life.reason
    assert line.by_calculation is Calculation.NOT_ASSESSED
    assert line.reason == life.reason
    row = next(one for one in life.pedigree.lines if one.what is Aspect.STRESS_RATIO)
    assert (row.specimen, row.part, row.state) == ("0.05", "−1.2", "open")
    assert life_of(bent(record)).supported


def test_a_flank_is_only_pressed(record):
    tests = replace(record.fatigue.tests[0], place=Place.FLANK)
    assert ratio_of_part(tests, calculate(idler_of(record))) == 0.0
    assert ratio_of_tests(tests) is None


def test_a_stress_ratio_that_the_rating_takes_is_that_of_the_part(record):
    tests, chain = record.fatigue.tests[0], calculate(idler_of(record))
    first = chain.meshes[0]
    known = replace(first.gear.root_safety.mean_stress, stress_ratio=-0.6)
    gear = replace(first.gear, root_safety=replace(first.gear.root_safety, mean_stress=known))
    rated = replace(chain, meshes=(replace(first, gear=gear), *chain.meshes[1:]))
    assert ratio_of_part(tests, rated) == -0.6
    assert ratio_of_part(tests, chain) == -1.2


def test_the_stress_ratio_is_that_of_the_tests_that_count(record):
    """Neither P34, which is left out, nor a test again moves it, and a test again stops nothing."""
    table = record.fatigue.tests[0].table
    ratio = table.stress_ratio.copy()
    ratio[table.specimen.index("P34")] = 0.9
    assert life_of(table_of(record, stress_ratio=ratio)).transfers.test_ratio == pytest.approx(0.05)
    again = tuple("P19" if name == "P40" else "" for name in table.specimen)
    ratio[table.specimen.index("P40")] = 0.5
    mode = tuple(
        "flank" if name == "P40" else one for name, one in zip(table.specimen, table.mode, strict=True)
    )
    found = life_of(table_of(record, stress_ratio=ratio, retest_of=again, mode=mode))
    assert found.transfers.test_ratio == pytest.approx(0.05)
    assert (found.reason, found.levels.data.count) == ("", 38)


def test_a_run_out_life_that_no_test_bears_out_is_refused_or_told(record):
    short = life_of(only(record, run_out_cycles=1e5))
    assert (
        "failed beyond the run-out life of 100\u202f000 cycles, the last at 1\u202f270\u202f000"
        in short.reason
    )
    assert line_of(review(only(record, run_out_cycles=1e5))).by_calculation is Calculation.NOT_ASSESSED
    far = life_of(only(record, run_out_cycles=1e8))
    told = {notice.key: notice.text for notice in (*far.levels.notices, *far.supported[0].stress.notices)}
    assert told["fatigue.bend_assumed"].startswith("No specimen stayed sound to 1·10⁸ cycles")
    assert "tested to 6\u202f000\u202f000 cycles" in told["supported_stress.extrapolated"]
    assert "from 1·10⁸ cycles on by the rule" in told["supported_stress.extrapolated"]


def test_an_idler_is_bent_both_ways(record):
    """Each mesh is a requirement of its own, and the strength of R = -1.2 counts at both."""
    found = life_of(idler_of(record))
    assert [one.mesh for one in found.supported] == ["wheel", "second"]
    assert found.transfers.part_ratio == -1.2  # the rating stands for full load both ways
    assert found.supported[0].stress.supported_MPa < life_of(record).supported[0].stress.supported_MPa
