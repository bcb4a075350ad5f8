"""How long the loaded contact takes in a review; budgets in results.md."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

from gearcheck.basics.places import scenarios
from gearcheck.review.chain import calculate
from gearcheck.review.contact import mesh_contacts
from gearcheck.review.contact_of import contact_of
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import ContactPressure
from gearcheck.review.moves import with_torque
from gearcheck.review.whole import review
from tests.bench.test_times import within

TRAM = read_gear_file(scenarios() / "tram_bogie" / "gear.toml")


def test_the_contact_of_a_mesh_and_its_three_reserves(benchmark):
    """Once the bed is there, as while a slider moves what is drawn off the flanks."""
    within(benchmark, 1000)
    chain = calculate(TRAM)
    contact_of(TRAM, chain, 0)
    torque = count(1)

    def moved():
        return mesh_contacts(with_torque(TRAM, 1.0 + 1e-6 * next(torque)), chain)  # the same is remembered

    (found,) = benchmark(moved)
    assert found.error_reserve.factor > 1


def test_a_live_pass_where_the_loaded_contact_governs_the_pressure(benchmark):
    """Once the table is there; a figure of a standard governs the case depth."""
    within(benchmark, 100)
    methods = replace(TRAM.methods, contact_pressure=ContactPressure.LOADED_CONTACT)
    record = replace(TRAM, methods=methods)
    assert review(record, with_settled=False).chain.meshes[0].pressed is not None
    benchmark(review, record, with_settled=False)
