"""Editions and classes by group, from the gear file to the rating: what belongs together, what moves."""

from dataclasses import replace

import pytest

from gearcheck.accuracy.inputs import AccuracyEdition, Group
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.basics.places import scenarios
from gearcheck.review.callouts import callouts
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.limits import limits_of
from gearcheck.review.pairing import BELONGS, mixed_editions
from gearcheck.review.whole import review
from gearcheck.stress.inputs import StressEdition

OLD, NEW = AccuracyEdition.ISO_1328_1_1995, AccuracyEdition.ISO_1328_1_2013
FAN = scenarios() / "tunnel_fan" / "gear.toml"


@pytest.fixture(scope="module")
def fan():
    return read_gear_file(FAN)


def classed(record, *, mates=True, **given):
    gear = replace(record.gear, accuracy=replace(record.gear.accuracy, **given))
    if not mates:
        return replace(record, gear=gear)
    meshes = tuple(
        replace(mesh, mate=replace(mesh.mate, accuracy=replace(mesh.mate.accuracy, **given)))
        for mesh in record.meshes
    )
    return replace(record, gear=gear, meshes=meshes)


def rated_by(record, stress):
    return replace(record, methods=replace(record.methods, stress=stress, accuracy=BELONGS[stress]))


def read(tmp_path, *edits):
    text = FAN.read_text(encoding="utf-8")
    for before, after in edits:
        assert before in text
        text = text.replace(before, after, 1)
    for name in FAN.parent.iterdir():
        (tmp_path / name.name).write_bytes(name.read_bytes())
    file = tmp_path / "gear.toml"
    file.write_text(text, encoding="utf-8")
    return read_gear_file(file)


def test_the_file_gives_classes_by_group_and_the_older_edition(tmp_path):
    head = '[gear.accuracy]\nclass = 6\nedition = "ISO 1328-1:2013"\n'
    new = '[gear.accuracy]\nclass = 12\nedition = "ISO 1328-1:1995"\npitch_class = 0\nhelix_class = 5\n'
    drawn = read(tmp_path, (head, new)).gear.accuracy
    assert (drawn.edition, drawn.tolerance_class) == (OLD, 12)
    assert [drawn.class_of(group) for group in Group] == [0, 12, 5, 12]


@pytest.mark.parametrize("line", ["class = 12", "class = 6\nprofile_class = 0"])
def test_a_class_that_the_edition_does_not_have_is_refused(tmp_path, line):
    with pytest.raises(InputError, match=r"a class of ISO 1328-1:2013: a whole number from 1 to 11"):
        read(tmp_path, ("[gear.accuracy]\nclass = 6", f"[gear.accuracy]\n{line}"))


def test_a_class_agreed_for_a_group_is_what_its_requirement_is_held_against(tmp_path):
    record = read(tmp_path, ("accuracy_class = 6", "accuracy_class = 6\nprofile_class = 5"))
    found = {item.key: item for item in review(record, with_settled=False).requirements}
    assert found["accuracy.profile.left"].by_calculation == "fails"
    assert found["accuracy.profile.left"].native == "class 6 drawn (14.0 µm), class 5 agreed (10.0 µm)"
    assert found["accuracy.helix.left"].by_calculation == "meets"


def test_a_group_moves_what_rests_on_it_and_nothing_else(fan):
    plain = calculate(fan)
    pitch, profile, helix = (
        calculate(classed(fan, **{f"{group}_class": 8})) for group in ("pitch", "profile", "helix")
    )
    factors = [chain.meshes[0].factors for chain in (plain, pitch, profile, helix)]
    assert factors[1].base_pitch_deviation_um > factors[0].base_pitch_deviation_um
    assert factors[1].tolerance_class == 8
    assert factors[2].base_pitch_deviation_um == factors[0].base_pitch_deviation_um
    assert factors[2].profile_form_deviation_um > factors[0].profile_form_deviation_um
    assert factors[2].tolerance_class == factors[0].tolerance_class == 6
    assert factors[3].dynamic_factor == factors[0].dynamic_factor
    limits = limits_of(classed(fan, helix_class=8), helix)
    assert limits["accuracy.helix.left"].words == "class 8 of ISO 1328-1:2013"
    assert limits["accuracy.profile.left"].words == "class 6 of ISO 1328-1:2013"


def test_a_change_of_class_takes_all_groups_along_within_the_edition(fan):
    moved = changed(classed(fan, profile_class=4, helix_class=10), {"class": 8.0})
    drawn = moved.gear.accuracy
    assert (drawn.tolerance_class, drawn.profile_class, drawn.helix_class, drawn.pitch_class) == (
        8,
        6,
        11,
        None,
    )


def test_the_drawing_names_the_groups_that_have_their_own_class(fan):
    shown = [item for item in callouts(review(classed(fan, profile_class=5), with_settled=False))]
    text = " ".join(line for item in shown for line in item.lines)
    assert "Class 6 of ISO 1328-1:2013, profile class 5" in text


@pytest.mark.parametrize("stress", StressEdition)
@pytest.mark.parametrize("drawn", AccuracyEdition)
def test_a_mixed_pair_is_a_caution_that_shows_both(fan, stress, drawn):
    record = rated_by(classed(fan, edition=drawn), stress)
    whole = review(record, with_settled=False)
    cautions = [notice for notice in whole.notices if notice.key == "edition_pairing.mixed"]
    if BELONGS[stress] is drawn:
        assert not cautions
        return
    (caution,) = cautions
    assert caution.level is Level.CAUTION
    other = calculate(rated_by(classed(fan, edition=BELONGS[stress]), stress)).meshes[0].factors
    mine = whole.chain.meshes[0].factors
    for factors in (mine, other):
        assert f"K_V {factors.dynamic_factor:.3f}" in caution.text
        assert f"f_pb {factors.base_pitch_deviation_um:.1f}\N{NO-BREAK SPACE}µm" in caution.text
    assert mine.dynamic_factor != other.dynamic_factor
    (step,) = [step for step in whole.workings if step.title.startswith("Editions of rating")]
    assert step.result.paired_transverse_factor == other.transverse_factor_contact


def test_gears_of_two_editions_are_a_mixed_pair(fan):
    record = classed(fan, mates=False, edition=OLD)
    ((mesh, found),) = mixed_editions(record, calculate(record))
    assert mesh == record.meshes[0].name
    assert "ISO 1328-1:1995 and ISO 1328-1:2013" in found.notices[0].text


def test_the_drawing_decides_and_another_edition_in_the_methods_is_said(fan):
    whole = review(classed(fan, edition=OLD), with_settled=False)
    (caution,) = [notice for notice in whole.notices if notice.key == "edition_pairing.drawing"]
    assert "ISO 1328-1:1995" in caution.text
    assert whole.chain.drawn.method.edition == "1995"
    line = next(item for item in whole.requirements if item.key == "accuracy.runout")
    assert line.cite.startswith("ISO 1328-1:1995")
    assert whole.classes[0].method.edition == "1995"


def test_grade_0_of_the_older_edition_is_reviewed():
    lift = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
    whole = review(classed(lift, tolerance_class=0, edition=OLD), with_settled=False)
    assert whole.requirements
