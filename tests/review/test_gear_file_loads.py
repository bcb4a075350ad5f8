"""The sections of a gear file on duty, shaft, body, notch and mates: read right, and refused with words."""

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.review.carried import carried_record
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review
from gearcheck.stress.inputs import LeadModification, ShaftLayout


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def faults(record, change, files=None):
    with pytest.raises(InputError) as raised:
        read(record, change, files)
    return [(fault.field.partition(",")[0], fault.needed, fault.why) for fault in raised.value.faults]


def read(record, change, files=None):
    text = change(record.source_text)
    assert text != record.source_text or files
    return carried_record(text, evidence_texts(record) | (files or {}))


def test_the_duty_is_read_from_its_file(tram):
    assert len(tram.duty.bins) == 12
    assert tram.duty.bins[0].torque_Nm == 2500
    assert [step.reverse for step in tram.duty.bins] == [False] * 6 + [True] * 6
    assert tram.duty.below_knee is BelowKnee.LONG_LIFE
    assert tram.duty.peak_torque_Nm == 2700
    shaft = tram.meshes[0].shaft
    assert (shaft.layout, shaft.lead_modification) == (ShaftLayout.TOWARDS_TORQUE, LeadModification.CROWNING)
    assert tram.meshes[0].face_load_factor is None
    assert tram.meshes[0].mate.blank.rim_thickness_mm == 12


def test_bins_in_the_gear_file_say_the_same_as_a_file(tram):
    bins = "".join(
        f'[[duty.bin]]\ntorque = "{step.torque_Nm} N·m"\nspeed = "{step.speed_rpm} rpm"\n'
        f'time = "{step.hours} h"\nreverse = {str(step.reverse).lower()}\n'
        for step in tram.duty.bins
    )
    record = read(tram, lambda text: text.replace('file = "duty.csv"\n', bins))
    assert record.duty.bins == tram.duty.bins
    assert record.duty.source_text == ""


def test_the_text_of_the_duty_goes_with_the_record(tram):
    again = carried_record(tram.source_text, evidence_texts(tram))
    assert again.digest == tram.digest
    other = evidence_texts(tram)["duty.csv"].replace("2500,420,90", "2600,420,90")
    assert read(tram, str, {"duty.csv": other}).digest != tram.digest


def test_a_draft_of_torque_and_speed_moves_the_duty_with_it(tram):
    text = rewritten(tram, {"torque": 1375.0, "speed": 1980.0})
    moved = carried_record(text, evidence_texts(tram))
    assert moved.meshes[0].torque_Nm == pytest.approx(1375)
    assert (moved.duty.torque_factor, moved.duty.speed_factor) == pytest.approx((1.1, 1.1))
    assert moved.duty.bins == tram.duty.bins


@pytest.mark.parametrize(
    ("old", "new", "field", "needed"),
    [
        ('file = "duty.csv"\n', "", "duty.file", "exactly one of file"),
        (
            "[mesh.shaft]",
            "face_load_factor = 1.2\n[mesh.shaft]",
            "mesh[1].face_load_factor",
            "exactly one of face",
        ),
        ("mesh_load_factor = 1.0\n", "", "mesh[1].mesh_load_factor", "3 to 7 mates"),
        ('span = "240 mm"', 'span = "0 mm"', "mesh[1].shaft.span", "from 1 to 20000 mm"),
        ('below_knee = "line', 'below_knee = "a line', "duty.below_knee", '"no damage"'),
        ("damage_sum = 1.0", "damage_sum = 2.0", "required.damage_sum", "from 0.01 to 1"),
    ],
)
def test_what_is_wrong_is_named(tram, old, new, field, needed):
    ((where, asked, _),) = faults(tram, lambda text: text.replace(old, new, 1))
    assert where == field
    assert needed in asked


@pytest.mark.parametrize(
    ("row", "field", "needed", "why"),
    [
        ("2500,420,90", "duty.csv", "four values", ""),
        ("2500,420,9,0,forward", "duty.csv", "four values", "decimal comma"),
        ("-1,420,90,forward", "duty.csv", "from 0 to 1e+08", ""),
        ("2500,0,90,forward", "duty.csv", "from 0.001", ""),
        ("2500,420,1e-9,forward", "duty.csv", "from 1e-06 to 1e+08, or 0", ""),
        ("2500,420,90,sideways", "duty.csv", "forward or reverse", ""),
    ],
)
def test_rows_that_cannot_be_read_are_named(tram, row, field, needed, why):
    text = f"torque_Nm,speed_rpm,time_h,direction\n{row}\n"
    ((where, asked, because),) = faults(tram, str, {"duty.csv": text})
    assert where == field
    assert needed in asked
    assert why in because


def test_a_bin_that_hardly_lasts_is_refused_and_an_idle_one_is_not(tram):
    def bins(time):
        entry = '[[duty.bin]]\ntorque = "900 N·m"\nspeed = "400 rpm"\ntime = "{}"\n'
        return lambda text: text.replace('file = "duty.csv"\n', entry.format("9 h") + entry.format(time))

    ((where, needed, _),) = faults(tram, bins("0.000001 s"))
    assert where == "duty.bin[2].time"
    assert "or 0" in needed
    assert len(read(tram, bins("0 h")).duty.loaded) == 1


def test_a_duty_without_time_is_refused(tram):
    text = "torque_Nm,speed_rpm,time_h,direction\n100,100,0,forward\n"
    ((_, needed, _),) = faults(tram, str, {"duty.csv": text})
    assert "above 0 h" in needed


def test_three_mates_share_by_the_table_and_each_loads_the_gear(tram):
    text = tram.source_text.replace("mesh_load_factor = 1.0\n", "mates = 3\n").replace(
        "teeth = 84\n", "teeth = 84\ncontacts = 2\nidler = true\n"
    )
    mesh, alone = (review(record).chain.meshes[0] for record in (read(tram, lambda _: text), tram))
    assert mesh.factors.mesh_load_factor == 1.1
    assert mesh.factors.torque_Nm == pytest.approx(tram.meshes[0].torque_Nm / 3)
    assert mesh.gear.cycles.load_cycles == pytest.approx(3 * alone.gear.cycles.load_cycles)
    assert mesh.mate.cycles.load_cycles == pytest.approx(2 * alone.mate.cycles.load_cycles)
    assert mesh.mate.bending == "both ways in each revolution"


def test_a_mate_may_be_hardened_otherwise_with_a_steel_that_is_meant_for_it(tram):
    mate = tram.source_text.index("[mesh.mate.steel]")
    old = 'grade = "18CrNiMo7-6"\nquality = "MQ"\nsurface_hardness = "60 HRC"\ncore_hardness = "34 HRC"\n'

    def soft(grade, treatment):
        new = (
            f'grade = "{grade}"\ntreatment = "{treatment}"\nquality = "MQ"\n'
            'surface_hardness = "310 HV"\ncore_hardness = "310 HV"\n'
        )
        return lambda text: text[:mate] + text[mate:].replace(old, new, 1)

    record = read(tram, soft("42CrMo4", "through-hardened"))
    there, here = (review(item).chain.meshes[0].mate for item in (record, tram))
    assert there.limits.flank_limit_MPa < 0.6 * here.limits.flank_limit_MPa
    ((where, needed, why),) = faults(tram, soft("18CrNiMo7-6", "through-hardened"))
    assert where == "mesh[1].mate.steel.grade"
    assert "34CrNiMo6" in needed
    assert "through-hardened" in why


def test_a_planet_between_sun_and_ring_is_rated_against_both():
    """The fan pinion as a planet: an external mate on one flank, a ring on the other."""
    text = (scenarios() / "tunnel_fan" / "gear.toml").read_text(encoding="utf-8")
    at, end = text.index("[[mesh]]"), text.index("[lubricant]")
    ring = text[at:end]
    for old, new in (
        ('name = "wheel"', 'name = "ring"'),
        ('centre_distance = "243 mm"', 'centre_distance = "189.133 mm"'),
        ('loaded_flank = "left"', 'loaded_flank = "right"'),
        ("teeth = 71\n", "teeth = 97\ninternal = true\ncontacts = 3\n"),
        ("profile_shift = 0.18", "profile_shift = -0.36"),
        ('tip_diameter = "374.5 mm"', 'tip_diameter = "493.83 mm"'),
    ):
        assert old in ring
        ring = ring.replace(old, new)
    evidence = evidence_texts(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))
    whole = review(carried_record(text[:end] + ring + text[end:], evidence))
    sun, outer = whole.chain.meshes
    assert sun.gear.bending == outer.gear.bending == "both ways in each revolution"
    answers = {item.key: str(item.by_calculation) for item in whole.requirements}
    rated = [f"stress.{mode}.ring.{role}" for mode in ("flank", "root") for role in ("gear", "mate")]
    assert all(answers[key] in ("meets", "fails") for key in rated)
    # concave against convex presses less than two convex flanks of the same load
    assert outer.flank.nominal_stress_MPa < sun.flank.nominal_stress_MPa
