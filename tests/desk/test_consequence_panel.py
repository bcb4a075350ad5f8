"""The panels of the consequences: what the tables say, and that what came from a file is escaped."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.desk.panels.consequence import (
    NO_CLASS,
    budget_html,
    consequence_html,
    effort_source_html,
    measured_html,
)
from gearcheck.review.budget import tolerance_budget
from gearcheck.review.consequence import consequences
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.measured_flanks import measured_corrections, measured_errors
from gearcheck.review.reserves import Turns
from gearcheck.review.whole import review


@pytest.fixture(scope="module")
def record():
    return read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")


def test_the_budget_keeps_contract_and_calculation_apart(record):
    html = budget_html(tolerance_budget(record))
    assert html.count("<tr>") == 6
    assert '<th scope="row">Pitch</th><td class="num">6</td><td class="num">6</td>' in html
    assert "The class agreed is the contract" in html
    assert "the ratings do not use it" in html


def test_what_fails_at_every_class_is_said_once():
    html = budget_html(tolerance_budget(read_gear_file(scenarios() / "ship_lift" / "gear.toml")))
    assert html.count("fails at every class, so no class mends it") == 1


def test_every_class_has_a_row_and_the_drawn_one_its_mark(record):
    found = consequences(record)
    html = consequence_html(found)
    assert html.count('<th scope="row">') == found.classes.size
    assert html.count("<b>drawn") == 1
    assert "common practice" in html
    assert html.index("Ground with care") < html.index("Honed after hardening: 6 to 8")
    assert "One class coarser" in html and "One class finer" in html
    assert "fails</td>" in html  # the coarsest classes


def test_a_reserve_that_ends_in_no_value_is_said(record):
    found = consequences(record)
    lost = np.full(found.classes.size, np.nan)
    margins = tuple(replace(one, turns=Turns(factor=lost, ends=lost)) for one in found.margins)
    assert "over 20" in consequence_html(replace(found, margins=margins))
    ended = tuple(replace(one, turns=Turns(factor=lost, ends=np.full_like(lost, 1.3))) for one in margins)
    assert "no value beyond\u00a01.30" in consequence_html(replace(found, margins=ended))


def test_without_a_class_or_a_measurement_it_says_so(record):
    assert budget_html(()) == NO_CLASS
    assert consequence_html(None) == NO_CLASS
    assert "No pitch was measured" in measured_html((), ())


def test_measured_flanks_are_told_and_escaped(record):
    whole = review(record, with_settled=False)
    errors = [replace(item, part="<b>7</b>") for item in measured_errors(whole)]
    html = measured_html(errors, measured_corrections(whole))
    assert "&lt;b&gt;7&lt;/b&gt;" in html
    assert "<b>7</b>" not in html
    assert html.count("<p>") == 4


def test_the_source_of_the_effort_says_what_it_is_not():
    assert "it is no price" in effort_source_html()
    assert "common practice" in effort_source_html()
