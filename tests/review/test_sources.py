from dataclasses import replace

import pytest

from gearcheck.basics.methods import Status
from gearcheck.basics.places import scenarios
from gearcheck.basics.results import Result
from gearcheck.basics.tables import table_keys
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.results import Working
from gearcheck.review.sources import ledger, resting_on, row_statuses, weakest
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def fan():
    return review(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))


def subclasses(base):
    for child in base.__subclasses__():
        yield child
        yield from subclasses(child)


def test_every_table_stands_in_the_ledger_once():
    keys = [item.key for entry in ledger() for item in entry.tables]
    assert sorted(keys) == list(table_keys())


def test_every_method_of_a_result_stands_in_the_ledger_once():
    methods = [method for entry in ledger() for method in entry.methods]
    keys = [method.key for method in methods]
    assert len(keys) == len(set(keys))
    results = [item for item in subclasses(Result) if item.__module__.startswith("gearcheck.")]
    assert len(results) > 15
    assert not {item.method.key for item in results} - set(keys)


def test_an_entry_counts_what_rests_on_it():
    for entry in ledger():
        rows = sum(sum(row_statuses(item).values()) for item in entry.tables)
        assert sum(entry.statuses.values()) == len(entry.methods) + rows
        assert entry.weakest in entry.statuses
        assert entry.methods or entry.tables


def test_a_review_rests_on_what_its_workings_use(fan):
    entries = resting_on(fan)
    methods = {method.key for entry in entries for method in entry.methods}
    tables = {item.key for entry in entries for item in entry.tables}
    assert {step.result.method.key for step in fan.workings} <= methods
    assert {
        "iso6336_life",
        "iso6336_5_case_carburised",
        "case_depth_figures",
        "yield_from_hardness",
    } <= tables
    # the hardness of the drawing was converted before the review began
    assert "hardness_hrc_hv" not in tables


def test_a_review_without_ratings_rests_on_less(fan):
    geometry = tuple(step for step in fan.workings if step.station == "geometry")
    assert geometry
    only = replace(fan, workings=geometry, pitch=())
    assert not {item.key for entry in resting_on(only) for item in entry.tables} & {
        "iso6336_life",
        "case_depth_figures",
    }


def test_carried_results_bring_their_methods(fan):
    factors = fan.chain.meshes[0].factors
    carried = {factors.stiffness.method.key, factors.dynamics.method.key}
    alone = replace(fan, workings=(Working(station="stress", title="", result=factors),), pitch=())
    assert carried <= {method.key for entry in resting_on(alone) for method in entry.methods}


def test_the_weakest_status_is_the_one_that_counts():
    assert weakest([Status.PUBLISHED]) is Status.PUBLISHED
    assert weakest([Status.PUBLISHED, Status.COMMON_PRACTICE, Status.FROM_MEMORY]) is Status.COMMON_PRACTICE
