"""The ladder: who shows, in what order, and where each bar ends."""

import dataclasses

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.figures.ladder import TIGHTEST, TorqueScale, ladder, ladder_drawing, torque_scale
from gearcheck.requirements.types import Calculation, Evidence, Requirement, Reserve, Scale

from .drawn import written


def need(key, factor=None, *, words="", scale=Scale.TORQUE, **changes):
    meets = words == "over 20" or (factor or 1.0) >= 1.0
    item = Requirement(
        key=key,
        method="made.up",
        station="stress",
        title=f"Stress {key}",
        sentence="It holds.",
        demand=1.0,
        capacity=2.0,
        demand_words="stress",
        capacity_words="limit",
        unit="MPa",
        native="S = 2",
        cite="ISO 1",
        status="from memory",
        by_calculation=Calculation.MEETS if meets else Calculation.FAILS,
        reason="",
        scale=scale,
        reserve=Reserve(factor=factor, words=words) if scale is Scale.TORQUE else None,
        share=0.9 if scale is Scale.SHARE else None,
        kind_of_evidence="",
        by_evidence=Evidence.NOT_NEEDED_YET,
    )
    return dataclasses.replace(item, **changes)


def sorted_out(*items):
    return ladder(items, items)


def test_the_worst_comes_first_and_what_no_torque_fixes_before_all():
    hopeless = need("d", words="no torque fixes it", by_calculation=Calculation.FAILS)
    found = sorted_out(need("a", 1.4), need("b", 0.9), need("c", words="over 20"), hopeless)
    assert [rung.item.key for rung in found.rungs] == ["d", "b", "a", "c"]
    assert [rung.value for rung in found.rungs] == ["no torque fixes it", "0.90", "1.40", "over 20"]


def test_ten_show_the_rest_is_folded_and_nothing_is_lost():
    items = [need(str(n), 1.1 + n / 100) for n in range(15)]
    found = sorted_out(*items)
    assert len(found.rungs) == TIGHTEST
    assert {item.key for item in found.folded} == {"10", "11", "12", "13", "14"}


def test_trouble_shows_however_much_reserve_it_has():
    items = [need(str(n), 1.1) for n in range(TIGHTEST)]
    wrong = need("wrong", 5.0, by_evidence=Evidence.CONTRADICTED)
    waiting = need("open", 5.0, by_evidence=Evidence.OPEN)
    found = sorted_out(*items, wrong, waiting)
    assert {"wrong", "open"} <= {rung.item.key for rung in found.rungs}


def test_what_does_not_hang_on_torque_never_stands_on_its_scale():
    share = need("share", scale=Scale.SHARE, by_evidence=Evidence.CONTRADICTED)
    calm = need("calm", scale=Scale.SHARE)
    found = sorted_out(need("a", 1.2), share, calm)
    assert [rung.item.key for rung in found.rungs] == ["a"]
    assert [item.key for item in found.others] == ["share"]
    assert [item.key for item in found.folded] == ["calm"]


def test_a_requirement_that_is_not_assessed_has_no_bar():
    item = need("x", 1.2, reserve=None, by_calculation=Calculation.NOT_ASSESSED)
    found = sorted_out(item)
    assert found.rungs == ()
    assert found.others == (item,)


def test_the_record_is_a_ghost_only_where_the_draft_moved_it():
    found = ladder([need("a", 1.2), need("b", 1.3)], [need("a", 1.0), need("b", 1.3004)])
    assert [rung.ghost for rung in found.rungs] == [1.0, None]


@given(st.floats(0.05, 20), st.floats(0.05, 20))
def test_the_scale_keeps_order_and_its_ends(one, other):
    scale = TorqueScale(low=0.5)
    low, high = sorted((scale.share(one), scale.share(other)))
    assert 0 <= low <= high <= 1
    if 0.5 <= one <= 2 and 0.5 <= other <= 2 and one < other * 0.999:
        assert scale.share(one) < scale.share(other)


@pytest.mark.parametrize(("worst", "low"), [(0.95, 0.8), (0.8, 0.5), (0.3, 0.2), (0.06, 0.05)])
def test_the_scale_reaches_down_to_the_worst_reserve(worst, low):
    scale = torque_scale(sorted_out(need("a", worst), need("b", 1.5)).rungs)
    assert scale.low == low
    assert 0 < scale.share(worst) < scale.share(1.0)


def test_the_scale_holds_the_record_too():
    rungs = ladder([need("a", 1.2)], [need("a", 0.4)]).rungs
    assert torque_scale(rungs).low == 0.2


def test_the_ladder_of_a_report_says_each_value_with_its_word():
    drawing = ladder_drawing(sorted_out(need("a", 1.25), need("b", 0.9), need("c", 3.0)).rungs)
    assert {"0.90 fails", "1.25 meets", "▸ 3.00 meets", "Stress a", "torque reserve"} <= set(written(drawing))
    assert np.all(drawing.rows["bars"]["end"] <= 2.0)
