"""Routes: what comes with the program, how a gear file changes it, and the order of operations."""

import pytest

from gearcheck.basics.tables import table
from gearcheck.inspection.coverage import GapKind, missing_operations, order_gaps
from gearcheck.inspection.route import PROPERTIES, Operation, OperationEdit, Route, RouteName, route
from gearcheck.inspection.rules import rule_of
from tests.checks import cases, holds

NAMED = [RouteName.INDUSTRIAL, RouteName.AEROSPACE]


def of(*keys, hours=None, **heat):
    """A route of one's own with operations in this order; temperatures and hours by key."""
    times = hours or {}
    steps = [
        Operation(
            key=key,
            number=10 * place,
            title=key.capitalize(),
            temperature_C=heat.get(key),
            hours=times.get(key),
        )
        for place, key in enumerate(keys, start=1)
    ]
    return Route(name=RouteName.OWN, title="", note="", operations=tuple(steps))


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.inspection.route:route"), ids=str)
def test_cited_operations(check):
    found = route(RouteName(check.inputs["route"])).find(check.inputs["key"])
    holds(check, temperature_C=found.temperature_C, hours=found.hours)


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.inspection.rules:rule_of"), ids=str)
def test_cited_limits_of_rules(check):
    limit = rule_of(check.inputs["key"]).limit
    holds(check, **{name: getattr(limit, name) for name in check.expected})


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.inspection.coverage:order_gaps"), ids=str)
def test_cited_orders(check):
    given = check.inputs
    heat = [
        dict(zip(("temper", "bake"), both, strict=True))
        for both in zip(given.get("temper_C", []), given.get("bake_C", []), strict=True)
    ] or [{}] * len(given["orders"])
    times = [
        dict(zip(("temper", "bake"), both, strict=True))
        for both in zip(given.get("temper_h", []), given.get("bake_h", []), strict=True)
    ] or [{}] * len(given["orders"])
    found = [
        order_gaps(of(*keys, hours=long, **hot))
        for keys, hot, long in zip(given["orders"], heat, times, strict=True)
    ]
    holds(check, about=[", ".join(gap.about for gap in gaps) for gaps in found])


@pytest.mark.parametrize("name", NAMED)
def test_a_route_is_in_order_and_speaks_of_known_properties(name):
    found = route(name).operations
    assert [item.number for item in found] == sorted({item.number for item in found})
    assert {one for item in found for one in (*item.changes, *item.spoils)} <= set(PROPERTIES)
    assert all(item.document for item in found)
    hurting = {"mask", "carburise", "harden", "cold", "strip", "grind", "etch", "particle", "peen", "coupon"}
    assert all(item.caution for item in found if item.key in hurting)


def test_the_industrial_route_has_nothing_in_the_wrong_order():
    assert order_gaps(route(RouteName.INDUSTRIAL)) == ()


def test_the_bake_of_the_aerospace_documents_tempers_more_than_their_temper():
    (found,) = order_gaps(route(RouteName.AEROSPACE))
    assert (found.kind, found.about) == (GapKind.TEMPERATURE, "bake")
    assert found.text == (
        "135 Bake after the etch, begun within 8 h (191 °C, 4 h) tempers more than 90 Temper (177 °C, 4 h), "
        # 464.15 K · (20 + log10(4 + 0.96)) is 9606, both holds: 331 above 9274, at 40 and 80 HV for 1000
        "P = 9562 against 9274, and may cost 13 to 27 HV: such a bake tempers the case again and softens it."
    )
    lower = OperationEdit(key="bake", reason="agreed", temperature_C=177.0)
    assert order_gaps(route(RouteName.AEROSPACE, (lower,))) == ()


def test_a_time_that_is_not_given_leaves_the_temperatures_and_is_said():
    for known in ({}, {"temper": 2.0}, {"bake": 100.0}):
        assert order_gaps(of("temper", "bake", hours=known, temper=180.0, bake=180.0)) == ()
        (found,) = order_gaps(of("temper", "bake", hours=known, temper=180.0, bake=181.0))
        assert "hotter than 10 Temper at 180 °C, compared by temperature alone" in found.text


def test_heat_beyond_any_low_temper_is_a_finding_without_a_number():
    both = {"temper": 2.0, "anneal": 2.0}
    (found,) = order_gaps(of("temper", "anneal", hours=both, temper=180.0, anneal=650.0))
    assert "softens the case by more than is known" in found.text


@pytest.mark.parametrize("row", table("order_rules").rows, ids=lambda row: row["name"])
def test_each_rule_of_order_bites_and_lets_the_right_order_pass(row):
    first, later = row["first"], row["later"]
    if row.get("kind") == "cooler":
        assert order_gaps(of(first, later, **{first: 170.0, later: 170.0})) == ()
        (found,) = order_gaps(of(first, later, **{first: 170.0, later: 171.0}))
        assert found.kind is GapKind.TEMPERATURE
        assert order_gaps(of(first, later, **{later: 900.0})) == ()  # not known is not wrong
        return
    assert order_gaps(of(first, later)) == ()
    found = order_gaps(of(later, first))
    assert (GapKind.ORDER, first) in [(one.kind, one.about) for one in found]
    assert any(row["why"] in one.text for one in found)
    assert all(one.source for one in found)


@pytest.mark.parametrize("row", table("route_needs").rows, ids=lambda row: row["name"])
def test_what_another_operation_needs_is_missed(row):
    (found,) = [one for one in missing_operations(of(row["first"])) if f"'{row['needs']}'" in one.text]
    assert (found.kind, found.about) == (GapKind.MISSING, row["first"])
    assert row["why"] in found.text
    assert all(row["why"] not in one.text for one in missing_operations(of(row["first"], row["needs"])))


@pytest.mark.parametrize("name", NAMED)
def test_no_operation_is_left_out_or_renamed_to_hide_a_fault(name):
    assert missing_operations(route(name)) == ()
    for key in ("temper", "harden", "carburise", "bake"):
        left_out = route(name, (OperationEdit(key=key, reason="no time", leave_out=True),))
        assert missing_operations(left_out), key
    edits = (
        OperationEdit(key="bake", reason="ours", leave_out=True),
        OperationEdit(key="relieve", reason="ours", number=136, title="Relieve", temperature_C=230.0),
    )
    (found,) = order_gaps(route(name, edits))
    assert (found.kind, found.about) == (GapKind.TEMPERATURE, "relieve")


def test_an_edit_changes_what_it_names_and_nothing_else():
    before = route(RouteName.INDUSTRIAL)
    edits = (
        OperationEdit(key="etch", reason="agreed", number=155, title="Etch last"),
        OperationEdit(key="barkhausen", reason="no probe", leave_out=True),
        OperationEdit(key="wash", reason="oil", number=115, title="Wash", changes=("surface",)),
    )
    after = route(RouteName.INDUSTRIAL, edits)
    keys = [item.key for item in after.operations]
    assert keys[-2:] == ["etch", "final"]
    assert keys[keys.index("grind") + 1] == "wash"
    assert "barkhausen" not in keys
    assert [edit.key for edit in after.left_out] == ["barkhausen"]
    for item in before.operations:
        if item.key not in ("etch", "barkhausen"):
            assert after.find(item.key) == item
    assert after.find("etch").document == before.find("etch").document
    assert after.find("etch").reason == "agreed"


def test_a_route_of_ones_own_has_only_what_is_written():
    edits = tuple(
        OperationEdit(key=key, reason="ours", number=number, title=key)
        for key, number in (("b", 20), ("a", 10))
    )
    assert [str(item) for item in route(RouteName.OWN, edits).operations] == ["10 a", "20 b"]
    assert route(RouteName.OWN).operations == ()
