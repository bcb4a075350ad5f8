"""The fatigue sheet without a browser: what is told, what follows the sliders, what is made on request."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.desk import fatigue
from gearcheck.desk.fatigue import OpenFatigue, RefusedFatigue, open_fatigue
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels import fatigue_bootstrap, fatigue_plan
from gearcheck.desk.panels.fatigue_bootstrap import FatigueBootstrap
from gearcheck.desk.panels.fatigue_by_count import by_count_html, stairs
from gearcheck.desk.panels.fatigue_chart import FatigueChart
from gearcheck.desk.panels.fatigue_compared import fatigue_compared
from gearcheck.desk.panels.fatigue_endurance import FatigueEndurance, prior_words
from gearcheck.desk.panels.fatigue_gear import FatigueGear
from gearcheck.desk.panels.fatigue_life import FatigueLifePicture, chance, lost_sentences, lost_words
from gearcheck.desk.panels.fatigue_models import FatigueModels
from gearcheck.desk.panels.fatigue_plan import FatiguePlans
from gearcheck.desk.panels.fatigue_tests import NO_TESTS, FatigueTested
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.state import Sheet
from gearcheck.fatigue.compared import HARDLY
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.staircase import staircase
from gearcheck.review.gear_file import read_gear_file

HARVESTER = scenarios() / "harvester" / "gear.toml"
PARTS = (
    "head",
    "tested",
    "curve",
    "models",
    "gear",
    "life",
    "endurance",
    "longer",
    "margins",
    "guesses",
)


@pytest.fixture(scope="module")
def harvester():
    return read_gear_file(HARVESTER)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(*_):
    """Nothing is told."""


@pytest.fixture
def view(harvester):
    state = Sheet(harvester)
    state.rest = quiet
    return FatigueView(state, lambda: 0, quiet)


def test_every_part_of_the_sheet_can_be_shown(harvester):
    sheet = OpenFatigue(Opened(record=harvester, kept=None, file=HARVESTER))
    for part in PARTS:
        getattr(sheet, part)()
    assert not sheet._trouble.value
    assert "1 is open for the tests of the root" in words(sheet._outcome())
    refused = RefusedFatigue(InputError([]))
    for part in PARTS[1:]:
        getattr(refused, part)()


def test_without_tests_the_sheet_says_so_once_and_asks_nothing(harvester, monkeypatch, capsys):
    bare = replace(harvester, fatigue=None)
    monkeypatch.setattr(fatigue, "opened", lambda _: Opened(record=bare, kept=None, file=HARVESTER))
    sheet = open_fatigue()
    shown = []
    for part in PARTS:
        getattr(sheet, part)()
        shown.append((part, bool(capsys.readouterr().out)))
    assert [part for part, something in shown if something] == ["head", "tested", "margins"]
    assert not sheet._trouble.value
    assert "#life" not in sheet._line()


def test_what_was_tested_is_counted_as_it_stands_in_the_file(view):
    tests, levels = view.life.tests, view.life.levels
    said = words(FatigueTested(view, str, quiet, quiet).widget.html)
    assert f"{len(tests.table.specimen)} specimens of the tooth root" in said
    failed = int(array(levels.failures).sum())
    assert f"{failed} failed, {levels.data.count - failed} ran out" in said
    assert tests.excluded[0].reason in said
    assert "worked out from the force of the jaws: root stress in a pulsator, ISO 6336-3:2019" in said
    assert "(from memory)" in said
    bare = replace(view.state.record, fatigue=None)
    empty = FatigueView(Sheet(bare), lambda: 0, quiet)
    assert words(NO_TESTS) in words(FatigueTested(empty, str, quiet, quiet).widget.html)


def test_each_level_stands_with_the_load_behind_it(view):
    panel = FatigueTested(view, str, quiet, quiet)
    panel.widget.folds.opened.add("levels")
    panel.widget.refresh()
    table = view.life.tests.table
    highest = max(table.load) / 1e3
    assert f"{max(view.life.stress.stress_MPa):.0f} {highest:.2f} 5 5 0" in words(panel.widget.html)
    assert "force, kN" in panel.widget.html


def test_the_curve_follows_the_sliders_and_the_record_stays_as_a_ghost(view):
    panel = FatigueChart(view, fatigue_compared(view, quiet), quiet)
    before = panel._bands[0]
    assert panel._drawing().rows["ghost"].empty
    view.ask(confidence=0.99)
    now, ghost = panel._bands
    assert (array(now.low_MPa) < array(before.low_MPa)).all()
    assert array(ghost.low_MPa) == pytest.approx(array(before.low_MPa))
    assert not panel._drawing().rows["ghost"].empty
    assert "(record " in panel._said.html
    view.ask(transfer=0.9)
    assert array(panel._bands[0].gear_MPa) == pytest.approx(0.9 * array(now.gear_MPa))
    panel._act("forget")
    assert panel._bands[1] is None


def test_draws_of_which_few_count_are_told_below_the_curve(view, monkeypatch):
    few = Notice(Level.CAUTION, "likelihood_draws.few_count", "Only about 40 of 3000 draws count.")
    told = replace(view.life, draws=replace(view.life.draws, notices=(few,)))
    monkeypatch.setattr(FatigueView, "life", told)
    said = words(FatigueChart(view, fatigue_compared(view, quiet), quiet)._said.html)
    assert few.text in said


def test_the_form_that_governs_stands_with_its_reason_beside_the_others(view):
    panel = FatigueModels(view, fatigue_compared(view, quiet), quiet)
    said = words(panel._said.html)
    assert f"{view.life.tests.curve}, {view.life.tests.distribution}, governs" in said
    assert view.life.tests.because in said
    assert "straight line, Weibull" in said
    assert "hardly speak for a form" not in said
    assert f"{float(array(view.life.fit.log_likelihood)):.1f}".replace("-", "−") in said


def test_a_form_that_the_specimens_hardly_speak_for_is_told_and_no_cell_is_empty(harvester):
    state = Sheet(with_tests(harvester, curve=Curve.STRAIGHT))
    state.rest = quiet
    view = FatigueView(state, lambda: 0, quiet)
    panel = FatigueModels(view, fatigue_compared(view, quiet), quiet)
    said = words(panel._said.html)
    above = panel._compared.found.forms[0].above_best
    assert above > HARDLY
    assert f"Its AIC lies {above:.1f} above that of the two slopes in load direction, lognormal" in said
    assert "99 % stand 689 MPa by the form that governs, 99 % stand 715 MPa by the other" in said
    assert '<td class="num"></td>' not in panel._said.html
    assert "None: where the scatter grows as the stress falls" in said


def test_staircase_and_straight_line_stand_beside_the_forms(view):
    said = words(by_count_html(view.life))
    stress, failed, step = stairs(view.life.levels.data)
    found = staircase(stress_MPa=stress, failed=failed, step_MPa=step, confidence=0.9)
    assert f"the {failed.size} specimens of the 6 lowest levels" in said
    assert f"half of them stand {found.mean_MPa:.0f} MPa" in said
    assert "Dixon and Mood" in said
    assert "No straight line by ASTM E739 (from memory). Run-outs: P19" in said


def test_lives_without_run_outs_have_their_straight_line(view):
    data = view.life.levels.data
    levels = replace(view.life.levels, data=data.some(data.failed))
    said = words(by_count_html(replace(view.life, levels=levels)))
    assert re.search(
        r"As a straight line .* slope −\d+\.\d\d, standard deviation of log10 life \d\.\d{3}", said
    )
    assert "As a staircase" not in said


def test_each_difference_is_told_with_its_answer_and_open_ones_first(view):
    panel = FatigueGear(view, quiet)
    assert f"{int(array(view.life.pedigree.open))} is open" in words(panel.widget.html)
    panel.widget.folds.opened.add("pedigree")
    panel.widget.refresh()
    said = words(panel.widget.html)
    assert all(line.what in said for line in view.life.pedigree.lines)
    assert "order statistics of the teeth" in said
    assert "17 teeth, tested two at a time" in said


def test_what_few_gears_leave_open_stands_beside_the_transfers(view):
    said = words(FatigueGear(view, quiet).widget.html)
    assert "The specimens are teeth of 5 gears" in said
    assert f"{100 * view.life.few_gears.log_deviation:.1f}" in said


def test_the_life_follows_the_torque_and_its_scatter_adds_up(view):
    panel = FatigueLifePicture(view, quiet)
    before = panel.later.found
    scatter = before.scatter
    parts = [scatter.material_share, scatter.load_share, scatter.transfer_share, scatter.estimation_share]
    assert sum(parts) + scatter.together == pytest.approx(1.0)
    assert "Where its scatter comes from" in panel._below.html
    view.ask(transfer=0.8)
    after = panel.later.found
    assert after.at.mean_reliability < before.at.mean_reliability


def test_many_nines_are_told_as_one_in_so_many():
    assert lost_words(1.0 - 3e-6) == "one in 330\u202f000 is lost"
    assert lost_words(0.914) == "91.4\xa0% survive"
    assert lost_words(1.0 - 9e-7) == "fewer than one in a million is lost"
    assert lost_words(float("nan")) == "no share can be told"


def test_the_worse_of_two_shares_comes_first_and_less_than_a_millionth_is_a_claim(view):
    panel = FatigueLifePicture(view, quiet)
    found = panel.later.found
    for low, mean, order in (
        (0.99, 0.999, ("confidence", "to come")),
        (0.99, 0.9, ("to come", "confidence")),
    ):
        at = replace(found.at, low_reliability=low, mean_reliability=mean)
        said = " ".join(lost_sentences(replace(found, at=at), 39))
        assert said.index(order[0]) < said.index(order[1])
        assert "claim" not in said
    at = replace(found.at, low_reliability=1.0 - 1e-5, mean_reliability=1.0 - 1e-9)
    said = " ".join(lost_sentences(replace(found, at=at), 39))
    assert "a claim of the curve, not of the 39 specimens" in said


def test_the_endurance_test_is_told_with_what_specimens_must_show(view):
    panel = FatigueEndurance(view, quiet)
    found = panel.later.found
    assert found.test.gears == view.state.record.fatigue.endurance.gears
    said = words(panel.widget.html)
    assert f"{100 * float(array(found.test.passed)):.1f} %" in said
    # one number, wherever it is read: the record's, while nothing was moved
    assert float(array(found.test.passed)) == float(array(view.life.passing.passed))
    assert "which is too sure" in said
    assert "the application factor 1.50 of the rating counts in the duty, not here" in said
    view.ask(passing=0.5)
    assert panel.later.found.needed.wanted == 0.5


@pytest.mark.parametrize(
    ("curve", "prior"),
    [
        (Curve.RANDOM_LIMIT, "normal about 0.05 and 0.3 within a factor of e"),
        (Curve.FIXED_LIMIT, "fixed limit: flat in the limit itself."),
        (Curve.TWO_SLOPES, "two slopes: the knee within a decade of the tests."),
        (Curve.CURVED, "lines: a life that rises with stress"),
    ],
)
def test_the_prior_is_that_of_the_curve_in_use(curve, prior):
    assert prior in prior_words(curve)


def test_no_chance_is_told_as_all_or_nothing():
    assert [words(chance(share)) for share in (0.9996, 0.5, 1e-5)] == ["over 99.9 %", "50.0 %", "under 0.1 %"]


def test_the_bootstrap_is_made_on_request_and_checked_against_the_draws(view, monkeypatch):
    monkeypatch.setattr(fatigue_bootstrap, "REPLICATES", 10)
    panel, beside = FatigueBootstrap(view, quiet, lambda: 0.0), FatigueEndurance(view, quiet)
    assert view.refits is None
    panel.running.start()
    assert len(view.refits) <= 10
    assert "10 draws from 5 gears" in words(panel._said.html)
    assert "The bootstrap, without a prior, says" in words(beside.widget.html)


def test_plans_are_compared_on_request(view, monkeypatch):
    monkeypatch.setattr(fatigue_plan, "SETS", 10)
    monkeypatch.setattr(fatigue_plan, "_SHAPES", ((3, 12), (4, 20), (4, 24)))
    panel = FatiguePlans(view, quiet, lambda: 0.0)
    panel.running.start()
    found = panel._found
    assert np.all(array(found.done) == 10)
    assert "12 specimens on 3 levels" in words(panel._said.html)
    panel._hours.value = panel._hours.max
    assert "within the hours" in panel._choice.html
    close = found.narrowest(rig_hours=panel._hours.value)
    off = 100 * float(array(found.off)[found.plans.index(close)])
    assert f"{close.name} , on the whole {abs(off):.1f} % too {'high' if off > 0 else 'low'}" in words(
        panel._choice.html
    )


def with_tests(record, **changes):
    tests = replace(record.fatigue.tests[0], **changes)
    return replace(record, fatigue=replace(record.fatigue, tests=(tests,)))


def of_level(table, load):
    """The tests of one level."""
    rows = table.load == load
    names = ("specimen", "gear", "tooth", "batch", "mode", "reason", "retest_of")
    kept = {name: tuple(np.array(getattr(table, name))[rows].tolist()) for name in names}
    arrays = ("load", "stress_ratio", "cycles", "failed")
    return replace(table, **kept, **{name: getattr(table, name)[rows] for name in arrays})


def test_tests_that_show_no_curve_say_what_they_show(harvester):
    table = harvester.fatigue.tests[0].table
    sound = replace(table, failed=np.full(table.failed.size, False))
    level = {"table": of_level(table, table.load[0]), "curve": Curve.ONE_LEVEL, "excluded": ()}
    for changes, why in (({"table": sound}, "specimens ran out"), (level, "and no slope")):
        record = with_tests(harvester, **changes)
        sheet = OpenFatigue(Opened(record=record, kept=None, file=HARVESTER))
        for part in PARTS:
            getattr(sheet, part)()
        sheet._view.ask(reliability=0.999999, scatter=1.3)
        assert not sheet._trouble.value
        view = sheet._view
        for panel in (FatigueLifePicture(view, quiet)._said, FatigueEndurance(view, quiet).widget):
            assert why in words(panel.html)
        assert why in words(FatigueChart(view, sheet._compared, quiet)._said.html)


@pytest.mark.parametrize("curve", [Curve.STRAIGHT, Curve.SPREADING])
def test_every_form_can_govern(harvester, curve):
    sheet = OpenFatigue(Opened(record=with_tests(harvester, curve=curve), kept=None, file=HARVESTER))
    for part in PARTS:
        getattr(sheet, part)()
    assert not sheet._trouble.value


def test_a_load_that_is_too_high_is_drawn_over_the_life(harvester):
    state = Sheet(harvester)
    state.rest = quiet
    view = FatigueView(state, lambda: 0, quiet)
    panel = FatigueLifePicture(view, quiet)
    assert "how far the load may rise" in words(panel._said.html)
    assert "duty" in panel._lost.words
    view.ask(transfer=0.55)
    assert not panel.later.found.over_load
    assert "life wanted" in panel._lost.words
