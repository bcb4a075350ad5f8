"""The heat-treatment sheet without a browser: furnace, hardness, grind, and what is missing."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.heat_treat import OpenHeatTreat, RefusedHeatTreat
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels.furnace import (
    ProcessPart,
    carbon,
    foretold_html,
    furnace_html,
    grind_html,
    hardness,
    hardness_html,
)
from gearcheck.desk.panels.metal import metal_html
from gearcheck.desk.state import Sheet
from gearcheck.review.changes import changed
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.whole import review

TRAM = scenarios() / "tram_bogie" / "gear.toml"


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(TRAM)


@pytest.fixture(scope="module")
def whole(tram):
    return review(tram)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def test_every_part_of_the_sheet_can_be_shown_with_furnace_and_without(tram):
    for record in (tram, replace(tram, furnace=None, grinding=None)):
        sheet = OpenHeatTreat(Opened(record=record, kept=None, file=TRAM))
        for part in (sheet.head, sheet.furnace, sheet.hardness, sheet.grind, sheet.window, sheet.laboratory):
            part()
        sheet.guesses()


def test_the_words_give_the_numbers_of_the_prediction(whole):
    treated = whole.predicted.treated
    said = words(furnace_html(whole))
    assert "3 steps, 6.7 h in all" in said
    assert f"{treated.carbon.surface_carbon_wt:.2f} % of carbon" in said
    said = words(hardness_html(whole))
    assert f"{treated.softest_HV[0]:.0f} to {treated.hardest_HV[0]:.0f} HV" in said
    assert f"550 HV {treated.depths[0].case_depth_mm[0]:.2f} mm" in said
    assert "which fits the window of 0.30 mm" in said
    said = words(grind_html(whole))
    assert f"{whole.predicted.ground.heat.surface_temperature_C:.0f} °C" in said
    assert "nothing softens" in said


def test_a_furnace_that_holds_too_little_does_not_fit(tram):
    wide = replace(tram, furnace=replace(tram.furnace, depth_scatter_mm=0.2))
    assert "does not fit the window" in words(hardness_html(review(wide)))


def test_what_is_missing_is_said(tram):
    bare = review(replace(tram, furnace=None, grinding=None))
    assert "[gear.furnace]" in words(furnace_html(bare))
    assert "No hardness follows" in words(hardness_html(bare))
    assert "[gear.grinding]" in words(grind_html(bare))
    alone = review(replace(tram, furnace=None))
    assert "nobody knows the temper" in words(grind_html(alone))


@pytest.mark.parametrize(
    ("energy", "said", "not_said"),
    [
        (60.0, "tempers the case again", "rehardens:"),
        (90.0, "rehardens: new, brittle martensite, whose hardness counts for nothing", "nothing softens"),
        (1000.0, "down to more than", "9632"),
        (5.0, "No temperature follows for this pass", "no value"),
    ],
)
def test_what_the_heat_of_the_grind_does_is_said(tram, energy, said, not_said):
    hot = review(replace(tram, grinding=replace(tram.grinding, specific_energy_J_mm3=energy)))
    told = words(grind_html(hot))
    assert said in told
    assert not_said not in told


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"temper_temperature_C": 260.0}, "the softest case nowhere reaches 550 HV"),
        ({"section_mm": 500.0}, "of the softest case no hardness follows"),
        ({"hours": 300.0}, "the hardest case is still harder than 550 HV at 3.12 mm"),
    ],
)
def test_a_depth_without_a_value_never_stays_inside_the_window(tram, given, said):
    given = dict(given)
    first, *others = tram.furnace.steps
    first = replace(first, hours=given.pop("hours", first.hours))
    furnace = replace(tram.furnace, steps=(first, *others), **given)
    told = words(hardness_html(review(replace(tram, furnace=furnace))))
    assert said in told
    assert "the prediction stays inside" not in told


def test_without_a_hardness_the_grind_says_so(tram):
    rich = replace(tram.furnace.steps[0], hours=100.0, carbon_potential_wt=2.5)
    shown = review(replace(tram, furnace=replace(tram.furnace, steps=(rich,))))
    assert "the furnace would bring 2.39 % of carbon" in words(furnace_html(shown))
    assert "No hardness is predicted that it could soften" in words(grind_html(shown))
    warm = review(changed(tram, {"temper": 120.0}))
    assert "rehardens:" not in words(grind_html(warm))
    assert "HV at the surface" in words(grind_html(warm))


def test_a_case_that_does_not_reach_550_is_not_inside_the_window(tram):
    hot = words(hardness_html(review(changed(tram, {"temper": 260.0}))))
    assert (
        "The prediction does not stay inside the window drawn, for the softest case nowhere reaches 550 HV"
        in hot
    )
    assert "550 HV not reached" in hot
    short = words(hardness_html(review(changed(tram, {"furnace_time": 2.7}))))
    assert "lies outside the window drawn" in short


def test_a_skin_that_hardens_anew_is_said_with_its_depth(tram):
    deep = review(changed(tram, {"depth_of_cut": 0.04}))
    said, soft = words(grind_html(deep)), deep.predicted.ground.softening
    assert f"A skin of {soft.rehardened_depth_mm:.3f} mm rehardens" in said
    lost = np.max(soft.before_HV - soft.hardness_HV)
    assert f"takes up to {lost:.0f} HV." in said
    assert "HV at the surface" not in said


def test_words_are_greyed_until_the_prediction_has_followed(tram):
    state = Sheet(tram)
    state.draft, state.shown = {"furnace_time": 13.4}, replace(state.shown, settled=())
    part = ProcessPart(state, furnace_html, (carbon,), lambda who, lines: None)
    assert '</h2><div class="gc-settling">' in part._words(None)
    state.shown = state.ghost
    assert "gc-settling" not in part._words(None)


def test_the_record_stays_behind_a_draft(tram, whole):
    moved = review(changed(tram, {"furnace_time": 13.4}))
    for draw in (carbon, hardness):
        assert len(draw(moved, moved.predicted, whole.predicted).rows["record"]) > 0
        assert len(draw(moved, moved.predicted, None).rows["record"]) == 0


def test_without_a_record_it_says_why():
    sheet = RefusedHeatTreat(InputError([]))
    for part in (sheet.head, sheet.furnace, sheet.hardness, sheet.grind, sheet.window, sheet.guesses):
        part()


def test_the_head_says_whether_the_furnace_makes_the_case(tram, whole):
    said = words(foretold_html(whole))
    assert "0.67 to 1.01 mm at 550 HV, lies partly outside the window drawn" in said
    assert "0.95 to 1.25 mm is drawn as treated" in said
    assert foretold_html(review(replace(tram, furnace=None, mask=None))) == ""


def rows_of(html):
    """Each row of the last table, its cells in words, by the name of the characteristic."""
    body = html[html.rindex("<tbody>") :]
    rows = [[words(cell) for cell in re.split(r"</t[hd]>", row)[:-1]] for row in body.split("</tr>")[:-1]]
    return {row[0].split("  ")[0]: row[1:] for row in rows}


def test_the_laboratory_table_holds_limit_document_prediction_and_what_was_found(whole):
    tram = rows_of(metal_html(whole))
    austenite = next(cells for name, cells in tram.items() if name.startswith("Retained austenite"))
    treated = whole.predicted.treated
    least, most = treated.austenite.least_percent.flat[0], treated.austenite.greatest_percent.flat[0]
    assert austenite == [
        "at most 25 % ISO 6336-5 MQ from memory",
        f"{least:.0f} to {most:.0f} % partly outside",
        "not needed yet",
    ]
    tip = next(cells for name, cells in tram.items() if name.startswith("Case depth at the tip"))
    assert "outside" not in tip[1]

    lift = review(read_gear_file(scenarios() / "ship_lift" / "gear.toml"))
    found = rows_of(metal_html(lift))
    oxidation = next(cells for name, cells in found.items() if name.startswith("Oxidation"))
    assert oxidation == ["at most 38 µm ISO 6336-5 MQ from memory", "stale 16 ± 2 µm"]
    carbides = next(cells for name, cells in found.items() if name.startswith("Carbides"))
    assert carbides[1] == "shown conforms"
    core = next(cells for name, cells in found.items() if name.startswith("Core hardness"))
    assert core == ["at least 336 HV drawing", "shown 363 ± 8 HV"]


def test_the_laboratory_table_names_the_material_quality_where_another_document_accepts():
    said = words(metal_html(review(read_gear_file(scenarios() / "harvester" / "gear.toml"))))
    assert "at most 10 % AMS 2759/7 class 1; ISO 6336-5 MQ: at most 25 %" in said


def test_without_an_inspection_section_the_laboratory_table_says_so(tram):
    assert "no section [inspection]" in words(metal_html(review(replace(tram, inspection=None))))
