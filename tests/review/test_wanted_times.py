"""Boost and diffuse times of a record: what they bring when they are run, and what is said where none do."""

import re
from dataclasses import replace

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.furnace_times import mask_html, times_html
from gearcheck.desk.panels.needs import tried
from gearcheck.desk.state import Sheet
from gearcheck.hardening.inputs import StepKind
from gearcheck.record.affected import why_stale
from gearcheck.review.carried import carried_record
from gearcheck.review.changes import CHANGES, changed
from gearcheck.review.draft import draft_words
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.rewrite import evidence_texts, rewritten
from gearcheck.review.treated import predicted
from gearcheck.review.wanted_times import ONE_STEP, wanted_times
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def tram():
    return read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def with_furnace(record, **values):
    return replace(record, furnace=replace(record.furnace, **values))


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def test_the_times_bring_what_is_wanted_when_the_furnace_runs_them(tram):
    found = wanted_times(tram)
    assert (found.boost_h, found.diffuse_h) == (3.5, 2.5)
    assert found.times.wanted_depth_mm == pytest.approx((0.95 + 1.25) / 2)
    run = changed(tram, {"boost_time": found.times.boost_hours, "diffuse_time": found.times.diffuse_hours})
    carbon = predicted(run).treated.carbon
    assert carbon.case_depth_mm == pytest.approx(1.10, abs=0.005)
    assert carbon.surface_carbon_wt == pytest.approx(0.74, abs=0.002)
    again = wanted_times(run)
    assert again.times.boost_hours == pytest.approx(found.times.boost_hours)
    assert "so long they are here" in words(times_html(review(run)))


def test_a_step_without_carbon_before_the_boost_is_none_of_both(tram):
    sealed = {"kind": StepKind.SEALED, "carbon_potential_wt": None, "transfer_m_s": None}
    heat = replace(tram.furnace.steps[0], **sealed, hours=2.0)
    found = wanted_times(with_furnace(tram, steps=(heat, *tram.furnace.steps)))
    assert found.times.boost_hours == pytest.approx(wanted_times(tram).times.boost_hours)
    alone = with_furnace(tram, steps=(heat, tram.furnace.steps[0]))
    assert wanted_times(alone).reason == ONE_STEP
    (boost,) = (one for one in CHANGES if one.key == "boost_time")
    assert boost.read(alone) is None
    assert boost.read(with_furnace(tram, steps=(heat, *tram.furnace.steps))) == 3.5


def test_the_stop_says_itself_why_no_times_do_it(tram):
    poor = with_furnace(tram, surface_carbon_wt=0.6)
    assert "the diffuse step is too rich" in words(times_html(review(poor)))
    rich = with_furnace(tram, surface_carbon_wt=1.1)
    assert "the boost is too weak" in words(times_html(review(rich)))


def test_nothing_is_said_where_nothing_is_wanted(tram):
    plain = with_furnace(tram, surface_carbon_wt=None)
    assert wanted_times(plain) is None
    assert times_html(review(plain)) == ""
    assert wanted_times(replace(tram, furnace=None)) is None
    assert mask_html(review(replace(tram, mask=None))) == ""


def test_the_words_name_both_pairs_of_times_the_depth_and_the_mask(tram):
    whole = review(tram)
    times = whole.predicted.wanted.times
    said = words(times_html(whole))
    assert f"{times.boost_hours:.1f} h of boost and {times.diffuse_hours:.1f} h of diffuse" in said
    assert "bring 1.10 mm at 0.35 % of carbon and 0.74 % at the surface" in said
    assert "here they are 3.5 h and 2.5 h" in said
    assert "the drawing means the depth at 550 HV" in said
    assert "Boost and diffuse times" in [step.title for step in whole.workings]
    (need,) = (item for item in whole.requirements if item.key == "case.mask.distance")
    assert f"has to lie {need.demand:.2f} mm away. 1.50 mm is drawn." in words(mask_html(whole))
    near = replace(tram, mask=replace(tram.mask, distance_mm=0.9))
    assert "which is too near" in words(mask_html(review(near)))


@pytest.mark.slow
def test_the_button_drafts_both_times_and_what_goes_too_far_has_none(tram):
    act = re.search('data-act="try:([^"]+)"', times_html(review(tram))).group(1)
    state = Sheet(tram)
    state.move("temper", 190.0)
    state.move_all(dict(tried(one) for one in act.replace("&amp;", "&").split("&")))
    assert set(state.draft) == {"temper", "boost_time", "diffuse_time"}
    assert state.shown.predicted.treated.carbon.case_depth_mm == pytest.approx(1.10, abs=0.01)
    far = with_furnace(tram, surface_carbon_wt=0.73)
    assert "A what-if does not go so far" in words(times_html(review(far)))


def test_each_time_moves_its_step_alone_and_goes_into_the_gear_file(tram):
    text = rewritten(tram, {"boost_time": 4.25, "diffuse_time": 1.5})
    again = carried_record(text, evidence_texts(tram))
    assert [float(step.hours) for step in again.furnace.steps] == [4.25, 1.5, 0.7]
    assert again.furnace.surface_carbon_wt == 0.74
    assert "time" in why_stale(tram, again, "traverse")
    # what is wanted makes no other part
    assert why_stale(tram, with_furnace(tram, surface_carbon_wt=0.8), "traverse") == ""
    with pytest.raises(InputError, match="surface_carbon"):
        carried_record(tram.source_text.replace('"0.74 %"', '"0.05 %"'), evidence_texts(tram))


def test_a_draft_says_the_times_that_are_reckoned_with(tram):
    """The time of all steps is moved first, then that of two: 1.87 + 0.65 + 0.7·5.63/6.7 h are run."""
    said = draft_words({"furnace_time": 5.63, "boost_time": 1.87, "diffuse_time": 0.65}, tram)
    assert "time in the furnace 6.70 to 3.11 h" in said
    assert "time of the boost 3.50 to 1.87 h" in said
    assert draft_words({"furnace_time": 5.63}, tram) == "time in the furnace 6.70 to 5.63 h"
