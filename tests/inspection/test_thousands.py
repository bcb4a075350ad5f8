"""The properties of plans and routes over thousands of examples; the table of trials gets a row for each."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.inspection import test_any_route as any_route
from tests.inspection import test_plan as plan
from tests.inspection.drawn import LIMITED, NEED_SETS, kept, numbered, shuffled
from tests.record.results import write_row

COMMAND = "python -m pytest -n 0 -m slow tests/inspection"
MANY = 3000
ROUTES = shuffled().map(numbered)
TRIALS = (
    (plan.test_every_need_is_covered_or_reported, (ROUTES, NEED_SETS, LIMITED, plan.STRIKES)),
    (plan.test_every_characteristic_sits_in_its_window_or_is_reported, (ROUTES, NEED_SETS)),
    (any_route.test_what_is_in_the_wrong_order_is_reported_and_nothing_else, (shuffled(),)),
    (
        any_route.test_a_route_in_the_right_order_has_no_fault_of_order_whatever_is_left_out_or_put_in,
        (kept(),),
    ),
    (
        any_route.test_no_edit_and_no_strike_hides_a_need,
        (shuffled(), NEED_SETS, LIMITED, any_route.EDITS, any_route.STRIKES),
    ),
)


@pytest.mark.slow
@pytest.mark.parametrize(("test", "drawn"), TRIALS, ids=lambda value: getattr(value, "__name__", ""))
def test_it_holds_for_thousands(test, drawn):
    inner = test.hypothesis.inner_test
    tried = 0

    def counted(values):
        nonlocal tried
        tried += 1
        inner(*values)

    settings(max_examples=MANY, deadline=None, database=None)(given(st.tuples(*drawn))(counted))()
    words = test.__name__.removeprefix("test_").replace("_", " ")
    write_row(f"routes and requirements: {words}", tried, "holds for each", COMMAND)
