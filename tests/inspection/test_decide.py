"""The decision rule: cited cases, and what must hold for every value, limit and uncertainty."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.inspection.decide import Decision, DecisionRule, Limit, decision
from tests.checks import cases, holds

VALUES = st.floats(-1e4, 1e4).map(lambda value: round(value, 4))
SPREADS = st.floats(0, 100).map(lambda value: round(value, 4))
RULES = st.sampled_from(DecisionRule)
RANK = {Decision.DOES_NOT: 0, Decision.WITHIN: 1, Decision.CONFORMS: 2}


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.inspection.decide:decision"), ids=str)
def test_cited_decisions(check):
    given_ = check.inputs
    limit = Limit(least=given_.get("least"), most=given_.get("most"))
    rule = DecisionRule(given_["rule"])
    found = [str(decision(value, limit, given_["uncertainty"], rule)) for value in given_["value"]]
    holds(check, decisions=found)


@given(VALUES, VALUES, SPREADS, RULES)
def test_a_least_and_a_largest_limit_are_mirrors(value, limit, spread, rule):
    one = decision(value, Limit(least=limit), spread, rule)
    assert one is decision(-value, Limit(most=-limit), spread, rule)


@given(VALUES, VALUES, VALUES, SPREADS, RULES)
def test_more_room_is_never_worse(limit, first, second, spread, rule):
    low, high = sorted((first, second))
    worse, better = (decision(value, Limit(least=limit), spread, rule) for value in (low, high))
    assert RANK[worse] <= RANK[better]


@given(VALUES, VALUES, SPREADS, SPREADS, RULES)
def test_more_uncertainty_only_takes_certainty_away(value, limit, first, second, rule):
    small, large = sorted((first, second))
    sure, unsure = (decision(value, Limit(least=limit), spread, rule) for spread in (small, large))
    assert unsure in (sure, Decision.WITHIN)


@given(VALUES, VALUES, SPREADS)
def test_the_newer_rule_is_never_stricter(value, limit, spread):
    whole = decision(value, Limit(least=limit), spread, DecisionRule.WHOLE)
    probable = decision(value, Limit(least=limit), spread, DecisionRule.PROBABLE)
    assert whole in (probable, Decision.WITHIN)


@given(VALUES, VALUES, VALUES, SPREADS, RULES)
def test_of_two_limits_the_worse_kept_counts(value, first, second, spread, rule):
    least, most = sorted((first, second))
    alone = [decision(value, limit, spread, rule) for limit in (Limit(least=least), Limit(most=most))]
    both = decision(value, Limit(least=least, most=most), spread, rule)
    assert RANK[both] == min(RANK[one] for one in alone)


@given(VALUES, SPREADS, RULES)
def test_the_limit_itself_conforms_only_without_uncertainty(limit, spread, rule):
    found = decision(limit, Limit(most=limit), spread, rule)
    assert found is (Decision.WITHIN if spread > 1e-5 * max(1, abs(limit)) else found)
    assert decision(limit, Limit(most=limit), None, rule) is Decision.CONFORMS


def test_binary_rounding_does_not_count():
    assert decision(1.90 - 0.30, Limit(least=1.60), None, DecisionRule.WHOLE) is Decision.CONFORMS
    assert decision(1.5666, Limit(least=1.6), 0.0334, DecisionRule.WHOLE) is Decision.WITHIN


@given(st.integers(-2000, 2000), st.integers(1, 500), st.sampled_from([1, -1]), RULES)
def test_each_edge_is_exact(limit, spread, side, rule):
    """On the inner edge it conforms, on the outer one it does not fail yet; a ten-thousandth decides."""
    limit, spread = Decimal(limit) / 100, Decimal(spread) / 25
    guard = {DecisionRule.WHOLE: Decimal("1"), DecisionRule.PROBABLE: Decimal("0.825")}[rule] * spread
    step = Decimal("0.0001")
    found = {
        place: decision(
            float(limit + side * clear),
            Limit(least=float(limit)) if side == 1 else Limit(most=float(limit)),
            float(spread),
            rule,
        )
        for place, clear in {
            "inner": guard, "below inner": guard - step, "outer": -guard, "beyond": -guard - step,
        }.items()
    }  # fmt: skip
    assert found == {
        "inner": Decision.CONFORMS,
        "below inner": Decision.WITHIN,
        "outer": Decision.WITHIN,
        "beyond": Decision.DOES_NOT,
    }


@given(VALUES, SPREADS, SPREADS, SPREADS, RULES)
def test_two_limits_are_symmetric_about_their_middle(middle, half, away, spread, rule):
    limit = Limit(least=middle - half, most=middle + half)
    one, other = (decision(middle + side * away, limit, spread, rule) for side in (1, -1))
    assert one is other
