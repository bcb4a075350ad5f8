"""Tip and root beside the flank: against geometry and diffusion alone, and what follows for the window."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.furnace import hardness_html
from gearcheck.desk.panels.tooth_places import places_html
from gearcheck.desk.panels.window import window_html
from gearcheck.figures.furnace import carbon_drawing
from gearcheck.hardening.carbon import carbon_profile
from gearcheck.hardening.cycle import CarbonCriterion
from gearcheck.review.carburised import carbon_steel, furnace_cycle
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.tooth_places import ROOT, TIP, place_radii, place_ratios
from gearcheck.review.treated import predicted
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


@pytest.fixture(scope="module")
def whole(tram):
    return review(tram)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def test_the_rod_at_the_tip_touches_tip_land_and_both_flanks(whole):
    """The lean of the flank is taken from two points of the involute itself."""
    gear = whole.chain.meshes[0].gear.geometry
    base, tip = float(gear.base_diameter_mm) / 2, float(gear.tip_diameter_mm) / 2
    helix = np.radians(float(gear.tip_helix_angle_deg))
    half = float(gear.tip_thickness_mm) / np.cos(helix) / 2

    def polar(radius):
        at = np.arccos(base / radius)
        return np.tan(at) - at

    angle = [half / tip + polar(tip) - polar(r) for r in (tip, tip - 1e-4)]
    across = [r * np.sin(a) for r, a in zip((tip, tip - 1e-4), angle, strict=True)]
    along = [r * np.cos(a) for r, a in zip((tip, tip - 1e-4), angle, strict=True)]
    lean = np.arctan((across[1] - across[0]) / (along[0] - along[1]) * np.cos(helix))
    radius = place_radii(whole.chain)[TIP]
    middle = radius  # below the tip land
    to_flank = (float(gear.tip_thickness_mm) / 2 + middle * np.tan(lean)) * np.cos(lean)
    assert to_flank == pytest.approx(radius, rel=1e-3)
    assert radius > float(gear.tip_thickness_mm) / 2


def test_the_root_is_its_fillet_or_that_of_the_rack(tram, whole):
    assert place_radii(whole.chain)[ROOT] == -whole.chain.meshes[0].gear.root.root_radius_mm
    bare = review(replace(tram, required=None, methods=None))
    assert place_radii(bare.chain)[ROOT] == pytest.approx(-0.30 * 4.5)


def test_each_place_is_the_diffusion_at_its_radius(tram, whole):
    found = {one.name: one for one in whole.predicted.places}
    assert list(found) == ["flank", TIP, ROOT]
    for place in found.values():
        alone = carbon_profile(
            cycle=furnace_cycle(tram.furnace),
            steel=carbon_steel(tram.furnace, tram.gear.steel.grade),
            criterion=CarbonCriterion.EN_10052,
            depth_mm=0.5,
            radius_mm=place.radius_mm,
        )
        assert place.treated.carbon.surface_carbon_wt == pytest.approx(alone.surface_carbon_wt)
        assert place.treated.carbon.case_depth_mm == pytest.approx(alone.case_depth_mm)
    tip, flank, root = (found[name].treated.case_depths_mm for name in (TIP, "flank", ROOT))
    assert np.all(root < flank)
    assert np.all(flank < tip)


def test_the_ratios_are_the_worse_of_the_softest_and_the_hardest_case(whole):
    flank, tip, root = (one.treated.case_depths_mm for one in whole.predicted.places)
    ratios = place_ratios(whole.predicted.places)
    assert ratios[TIP] == pytest.approx(max(tip / flank))
    assert ratios[ROOT] == pytest.approx(min(root / flank))
    assert place_ratios(()) == {}


def test_the_window_counts_tip_and_root_as_predicted(tram, whole):
    window, ratios = whole.balance.window, place_ratios(whole.predicted.places)
    assert window.tip_largest_mm == pytest.approx(whole.chain.case_limits.tip_limit_mm / ratios[TIP])
    assert window.root_least_mm == pytest.approx(0.1 * 4.5 / ratios[ROOT])
    assert "and tip and root as predicted" in words(window_html(whole))
    unknown = replace(tram.gear.steel, grade="14NiCrMo13-4")
    plain = review(replace(tram, gear=replace(tram.gear, steel=unknown)))
    assert plain.balance.window.tip_ratio == 1
    assert plain.balance.window.root_min_mm is None
    assert "as predicted" not in words(window_html(plain)).split("mm as treated")[0]


def test_a_tip_that_carbon_goes_through_is_said_and_counts_by_its_radius(tram):
    long = review(changed(tram, {"furnace_time": 13.0}))
    small = replace(tram, gear=replace(tram.gear, tooth=replace(tram.gear.tooth, tip_diameter_mm=114.6)))
    sharp = review(changed(small, {"furnace_time": 13.0}))
    assert "through" not in words(places_html(long.predicted)).split("tip")[0]
    tip = sharp.predicted.places[1]
    assert np.isnan(tip.treated.case_depths_mm).any()
    assert "through" in words(places_html(sharp.predicted))
    flank = sharp.predicted.places[0].treated.case_depths_mm
    assert place_ratios(sharp.predicted.places)[TIP] == pytest.approx(
        max(np.where(np.isnan(tip.treated.case_depths_mm), tip.radius_mm, tip.treated.case_depths_mm) / flank)
    )


def test_table_and_chart_show_the_three_places(tram, whole):
    said = words(hardness_html(whole))
    for place in whole.predicted.places:
        low, high = place.treated.case_depths_mm
        assert f"{place.treated.carbon.case_depth_mm:.2f} mm {low:.2f} mm {high:.2f} mm" in said
    drawing = carbon_drawing(whole.predicted.treated, None, whole.predicted.places[1:])
    assert set(drawing.rows["places"]["place"]) == {TIP, ROOT}
    assert list(drawing.rows["deeper"]["label"]) == [TIP]
    assert list(drawing.rows["shallower"]["label"]) == [ROOT]
    alone = predicted(tram)
    assert places_html(alone) == ""
    assert carbon_drawing(alone.treated).rows["places"].empty
    assert "Carbon over depth, tip" in [step.title for step in whole.workings]
