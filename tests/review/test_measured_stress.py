"""A measured residual stress: how it is read, what it moves, and what takes it away."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.window import exposure_html
from gearcheck.figures.exposures import exposures_drawing
from gearcheck.hardening.criteria import Criterion
from gearcheck.hardening.fatigue_exposure import criteria_exposure
from gearcheck.hardening.residual import measured_residual_stress
from gearcheck.inspection.route import RouteName
from gearcheck.record.affected import why_stale
from gearcheck.requirements.types import Evidence, Stage
from gearcheck.review.carried import carried_record, with_stale
from gearcheck.review.changes import changed
from gearcheck.review.file_digest import digest, with_keys
from gearcheck.review.file_stress import stress_file
from gearcheck.review.file_table import TableFile
from gearcheck.review.gear_file import read_gear_file, read_gear_text
from gearcheck.review.inputs import StressPlace, StressState
from gearcheck.review.leaves import leaves
from gearcheck.review.pressure import pressure_along
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.whole import review
from tests.review.gear_texts import swapped

TRAM = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")
(MEASURED,) = TRAM.residual_stress
HEAD = "depth_mm,stress_MPa"


@pytest.fixture(scope="module")
def whole():
    return review(TRAM)


def tram_with(*items, **values):
    return with_keys(replace(TRAM, residual_stress=items, **values))


def rows_of(text):
    return stress_file(TableFile(name="stress.csv", sha256="", text=text))


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def held(whole):
    return {one.profile: one for one in whole.balance.held}


DRAWN = "as drawn, shallowest"
LEFT = "as drawn, with the residual stress measured, left flank"


def test_a_file_is_read_between_commas_or_semicolons():
    for text in (f"{HEAD}\n0,-420\n0.05,-310.5\n", "depth_mm;stress_MPa\n0;-420\n0.05;-310.5\n"):
        found = rows_of(text)
        assert found.depth_mm.tolist() == [0.0, 0.05]
        assert found.stress_MPa.tolist() == [-420.0, -310.5]


@pytest.mark.parametrize(
    ("text", "field", "given", "needed"),
    [
        (f"{HEAD}\n0,-420\n", "stress.csv", "1 row", "at least two depths"),
        (f"{HEAD}\n", "stress.csv", "0 rows", "at least two depths"),
        (f"{HEAD}\n0,-420\n0.1,-300\n0.1,-290\n", "line 4, depth_mm", "0.1", "grow from row to row"),
        (f"{HEAD}\n0.1,-420\n0.05,-300\n", "line 3, depth_mm", "0.05", "grow from row to row"),
        (f"{HEAD}\n0,-420000\n0.1,-300\n", "line 2, stress_MPa", "-420000", "in kPa or Pa?"),
        (f"{HEAD}\n0,-3001\n0.1,-300\n", "line 2, stress_MPa", "-3001", "at most 3000 either way"),
        (f"{HEAD}\n0,-0.42\n0.1,-0.3\n", "stress_MPa", "at most 0.42", "in GPa?"),
        (f"{HEAD}\n0,-420\n50,-300\n", "line 3, depth_mm", "50", "a depth in µm?"),
        (f"{HEAD}\n0,-420\n-0.1,-300\n", "line 3, depth_mm", "-0.1", "a depth from 0 to 10 mm"),
        (f"{HEAD}\n0,1,-420\n0.1,-300\n", "line 2", "3 values", "a decimal comma? write a decimal point"),
        ("depth_mm;stress_MPa\n0;-420\n0,1;-300\n", "line 3, depth_mm", "0,1", "a decimal comma?"),
        (f"{HEAD}\n0,-420\n0.05,\n0.1,-300\n", "line 3, stress_MPa", "", "is a gap: leave the row out"),
        (f"{HEAD}\n0,-420\n0.05\n0.1,-300\n", "line 3", "1 value", "two values"),
        (f"{HEAD}\n0,-420\n0.05,much\n0.1,-300\n", "line 3, stress_MPa", "much", "compression negative"),
        ("depth_um,stress_MPa\n0,-420\n", "line 1", "depth_um,stress_MPa", "the columns depth_mm"),
    ],
)
def test_what_is_wrong_with_a_file_is_said(text, field, given, needed):
    with pytest.raises(InputError) as caught:
        rows_of(text)
    (fault,) = caught.value.faults
    assert field in fault.field
    assert given in fault.given
    assert needed in str(fault)


@pytest.mark.parametrize(
    ("old", "new", "place", "said"),
    [
        ('state = "finished"', 'state = "shot"', "residual_stress[1].state", '"peened"'),
        ('place = "pitch line"\nflank = "left"\nstate', 'place = "pitch line"\nstate', "flank", "one flank"),
        (
            'place = "pitch line"\nflank = "left"\nstate',
            'place = "root"\nflank = "left"\nstate',
            "flank",
            "no flank",
        ),
        ('technique = "X-ray diffraction"\n', "", "residual_stress[1].technique", "text in quotes"),
        ('uncertainty = "30 MPa"', 'uncertainty = "30 mm"', "residual_stress[1].uncertainty", "MPa"),
        ('applies_to = "serial number S1"', 'applies_to = "a gear"', "applies_to", "serial number"),
        ('file = "residual_stress.csv"', 'file = "other.csv"', "residual_stress[1].file", "other.csv"),
    ],
)
def test_an_entry_that_is_wrong_names_its_key(old, new, place, said):
    start, evidence = TRAM.source_text.split("[[evidence.residual_stress]]")
    text = f"{start}[[evidence.residual_stress]]{swapped(evidence, old, new)}"
    with pytest.raises(InputError) as caught:
        read_gear_text(text, folder=scenarios() / "tram_bogie")
    (fault,) = caught.value.faults
    assert place in fault.field
    assert said in str(fault)


def test_it_survives_a_draft_and_is_no_input_of_its_own(whole):
    texts = evidence_texts(TRAM)
    assert texts["residual_stress.csv"].startswith(HEAD)
    back = carried_record(rewritten(TRAM, {"torque": 1200.0}), texts)
    assert back.residual_stress[0].head.key == MEASURED.head.key
    assert back.residual_stress[0].stress_MPa.tolist() == MEASURED.stress_MPa.tolist()
    assert leaves(tram_with()) == leaves(TRAM)
    assert digest(tram_with()) != digest(TRAM)
    moved = tram_with(replace(MEASURED, stress_MPa=MEASURED.stress_MPa + 1.0))
    assert moved.residual_stress[0].head.key != MEASURED.head.key


def test_the_exposure_is_that_of_the_stress_measured_directly(whole):
    found, (mesh,) = held(whole)[LEFT].exposure, whole.chain.meshes
    along = pressure_along(mesh)
    inside = found.depth_mm <= MEASURED.depth_mm[-1]
    depth, hardness = found.depth_mm[inside], found.hardness_HV[inside]
    alone = measured_residual_stress(
        depth_mm=depth, measured_depth_mm=MEASURED.depth_mm, measured_MPa=MEASURED.stress_MPa
    )
    direct = criteria_exposure(
        half_width_mm=along.half_width_mm,
        pressure_MPa=along.pressure_MPa,
        friction=0.05,
        depth_mm=depth,
        hardness_HV=hardness,
        residual_stress_MPa=alone.residual_stress_MPa,
        inclusion_root_area_um=30.0,
        safety=1.2,
    )
    np.testing.assert_allclose(np.ravel(found.dang_van)[inside], np.ravel(direct.dang_van), rtol=1e-12)
    assert set(MEASURED.depth_mm) <= set(found.depth_mm)
    assert np.isnan(np.ravel(found.dang_van)[~inside]).all()
    assert not np.isnan(np.ravel(found.yielding)).any()


def test_dang_van_alone_moves_and_nothing_is_replaced(whole):
    without = held(review(tram_with()))
    assert LEFT not in without
    now = held(whole)
    for criterion in Criterion:
        assert now[DRAWN].largest(criterion) == without[DRAWN].largest(criterion)
        measured, drawn = now[LEFT].largest(criterion)[0], now[DRAWN].largest(criterion)[0]
        if criterion is Criterion.DANG_VAN:
            assert measured > drawn + 0.01  # less compression than the model where it counts
        else:
            assert measured == pytest.approx(drawn, rel=1e-3)
    calculated = [
        [(one.key, one.by_calculation, one.demand, one.capacity) for one in item.requirements]
        for item in (whole, review(tram_with()))
    ]
    assert calculated[0] == calculated[1]


def test_a_measurement_that_ends_early_says_that_it_may_be_larger_below():
    short = replace(MEASURED, depth_mm=MEASURED.depth_mm[:5], stress_MPa=MEASURED.stress_MPa[:5])
    whole = review(tram_with(short))
    found = held(whole)[LEFT]
    assert found.largest(Criterion.DANG_VAN)[1] == 0.1
    assert "to 0.10 mm, at most 0.05 mm apart" in found.limits.replace("\xa0", " ")
    assert found.limits.endswith("it still rises there: deeper it may be larger")
    (notice,) = (one for one in found.exposure.notices if one.key == "residual_stress.measured_to")
    assert notice.level is Level.CAUTION
    assert notice in whole.notices
    drawing = exposures_drawing(found.exposure, 1.5)
    line = drawing.rows["lines"]
    assert line[line.label == "Dang Van"].depth.max() == 0.1
    assert line[line.label == "yielding"].depth.max() > 1.0
    assert np.isfinite(line.exposure).all()
    assert "Dang Van at most" in drawing.words
    assert "still rises" not in held(review(TRAM))[LEFT].limits


def test_the_sheet_says_what_is_measured_and_what_is_not_credited(whole):
    said = words(exposure_html(whole))
    assert LEFT in said
    assert "X-ray diffraction, ±30 MPa (k = 2), at 10 depths to 0.50 mm, at most 0.1 mm apart" in said
    assert "nothing is taken below" in said
    assert "of a model, from the hardness of the case, except where a row says that it was measured" in said
    assert "replaces nothing" in said
    assert "in no row" not in said
    peened = replace(MEASURED, state=StressState.PEENED, is_corrected=None)
    root = replace(MEASURED, place=StressPlace.ROOT, flank=None, state=StressState.PEENED)
    treated = replace(MEASURED, state=StressState.AS_TREATED)
    said = words(exposure_html(review(tram_with(peened, root, treated))))
    assert f"{LEFT}, peened" in said
    assert "is not said" in said
    assert "shown, not credited" in said
    assert "is not credited, here or in any rating; where it was measured it is shown" in said
    assert (
        "in no row, for the rows are of the finished flank: root, peened; left flank at the pitch line"
        in said
    )


def test_two_of_one_flank_are_told_apart():
    other = replace(MEASURED, head=replace(MEASURED.head, applies_to="serial number S2"))
    found = held(review(tram_with(MEASURED, other)))
    assert {f"{LEFT}, serial number S1", f"{LEFT}, serial number S2"} <= set(found)


def answers(record, key):
    found = review(record, with_settled=False).inspected
    return found.answers.get(key), found.findings.get(key, ()), found.loose


def test_compression_at_the_surface_is_shown_and_tension_contradicts():
    record = tram_with(MEASURED)
    answer, (finding,), loose = answers(record, "residual_stress.left")
    assert answer is Evidence.SHOWN
    assert loose == ()
    assert "compression asked at the surface" in finding.text
    for first, said in ((60.0, Evidence.CONTRADICTED), (-10.0, Evidence.OPEN)):
        stress = np.array([first, *MEASURED.stress_MPa[1:]])
        burnt = tram_with(replace(MEASURED, stress_MPa=stress))
        assert answers(burnt, "residual_stress.left")[0] is said
    assert answers(tram_with(), "residual_stress.left")[0] is None


def test_a_measurement_asks_nothing_more_of_a_release_and_contradicts_the_grind_where_it_is_in_tension():
    release = replace(TRAM.part, stage=Stage.RELEASE)
    tension = replace(MEASURED, stress_MPa=np.abs(MEASURED.stress_MPa))

    def burn(*items):
        whole = review(tram_with(*items, part=release), with_settled=False)
        return next(one for one in whole.requirements if one.key == "quality.surface_temper").by_evidence

    assert burn() is Evidence.OPEN
    assert burn(MEASURED) is Evidence.OPEN
    assert burn(tension) is Evidence.CONTRADICTED


def test_a_peened_root_is_evidence_of_the_peening_where_the_route_peens():
    root = replace(MEASURED, place=StressPlace.ROOT, flank=None, state=StressState.PEENED)
    peens = replace(TRAM.inspection, route=RouteName.AEROSPACE)
    answer, (finding,), _ = answers(tram_with(root, inspection=peens), "residual_stress.root")
    assert answer is Evidence.SHOWN
    assert finding.text.startswith("Residual stress, root, peened:")
    answer, _, loose = answers(tram_with(root), "residual_stress.root")
    assert answer is None
    assert loose == ("residual_stress.csv: the plan has no characteristic residual_stress.root",)
    treated = replace(root, state=StressState.AS_TREATED)
    assert "root, as treated" in answers(tram_with(treated), "residual_stress.root")[2][0]


def test_what_the_part_is_made_to_takes_it_away():
    moved = changed(TRAM, {"profile_shift": 0.35})
    assert "profile shift" in why_stale(TRAM, moved, "residual_stress")
    assert why_stale(TRAM, changed(TRAM, {"torque": 1100.0}), "residual_stress") == ""
    steps = replace(TRAM.inspection, route=RouteName.AEROSPACE)
    assert "route" in why_stale(TRAM, replace(TRAM, inspection=steps), "residual_stress")
    old = with_stale(TRAM, {MEASURED.head.key: "the wheel was changed"})
    assert "stale: the wheel was changed" in held(review(old))[LEFT].limits
