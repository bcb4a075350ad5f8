"""Acceptance documents: each with its own limits, never mixed."""

import numpy as np
import pytest

from gearcheck.basics.tables import table
from gearcheck.inspection.acceptance import ITEMS, Acceptance, allowed, by_case_depth, document_name
from gearcheck.inspection.decide import Decision, DecisionRule, Limit, decision
from gearcheck.materials.inputs import Quality
from tests.checks import cases, holds


@pytest.mark.parametrize("check", cases("inspection", "gearcheck.inspection.acceptance:allowed"), ids=str)
def test_cited_limits(check):
    given = check.inputs
    depths = given.get("case_depth_mm")
    if "documents" in given:
        found = [allowed(given["item"], name, depths) for name in given["documents"]]
        said = {"most": [float(one.value) for one in found], "words": [one.words for one in found]}
        holds(check, **{name: said[name] for name in check.expected})
    else:
        holds(check, most=list(allowed(given["item"], given["document"], depths).value))


def test_22_percent_pass_one_document_and_fail_another():
    found = {
        name: decision(
            22.0, Limit(most=allowed("retained_austenite", name).value), None, DecisionRule.PROBABLE
        )
        for name in ("ISO 6336-5 MQ", "AMS 2759/7 class 2")
    }
    assert list(found.values()) == [Decision.CONFORMS, Decision.DOES_NOT]


@pytest.mark.parametrize("acceptance", Acceptance)
@pytest.mark.parametrize("quality", Quality)
def test_every_document_of_the_table_can_be_chosen(acceptance, quality):
    name = document_name(acceptance, quality)
    documents = {row["document"] for row in table("acceptance").rows}
    assert name in documents or name == "AGMA 923 grade 1"


def test_rows_say_one_thing_of_one_item():
    rows = table("acceptance").rows
    assert {row["item"] for row in rows} == set(ITEMS)
    assert len({(row["item"], row["document"]) for row in rows}) == len(rows)
    for row in rows:
        assert sum(key in row for key in ("most", "allows", "depth_to_mm")) == 1
        if "depth_to_mm" in row:
            assert len(row["depth_to_mm"]) == len(row["most_by_depth"])
            assert list(row["most_by_depth"]) == sorted(row["most_by_depth"])


def test_a_better_quality_never_allows_more():
    for item in ITEMS:
        for name in ("ISO 6336-5 {}", "AGMA 923 grade {}"):
            grades = ("ML", "MQ", "ME") if "ISO" in name else ("1", "2", "3")
            found = [allowed(item, name.format(grade), 1.2) for grade in grades]
            values = [float(one.value) for one in found if one is not None]
            assert values == sorted(values, reverse=True), (item, name)


def test_oxidation_follows_the_case_depth_also_for_samples():
    assert by_case_depth("oxidation", "ISO 6336-5 MQ")
    assert not by_case_depth("cracks", "ISO 6336-5 MQ")
    assert allowed("oxidation", "ISO 6336-5 MQ") is None
    depths = np.array([[0.75, 0.76], [1.5, 9.0]])
    assert allowed("oxidation", "ISO 6336-5 MQ", depths).value.tolist() == [[17, 25], [25, 60]]
