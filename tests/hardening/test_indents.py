"""Spacing of the indents of a traverse: what is asked, and where it is said."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.hardening.indents import indent_spacing
from tests.checks import cases, holds

FLAT = {"depth_mm": [0.1, 0.2, 0.3, 0.4], "hardness_HV": [700, 690, 680, 670]}


@pytest.mark.parametrize("check", cases("hardening", "gearcheck.hardening.indents:indent_spacing"), ids=str)
def test_spacing_of_indents(check):
    found = indent_spacing(**check.inputs)
    holds(check, **{name: getattr(found, name) for name in check.expected})


@pytest.mark.parametrize(
    ("force", "sideways", "said"),
    [
        (0.3, 0.0, []),
        (0.5, 0.0, []),
        (1.0, 0.0, ["edge", "near"]),
        (1.0, 0.1, ["edge"]),
        (1.0, 0.5, ["edge"]),
    ],
)
def test_what_is_said_follows_the_size_of_the_indent(force, sideways, said):
    found = indent_spacing(**FLAT, test_force_kgf=force, sideways_mm=sideways)
    assert [one.key.rpartition(".")[2] for one in found.notices] == said


@pytest.mark.parametrize(("force", "said"), [(0.05, True), (0.1, False), (0.9, False), (5.0, True)])
def test_a_force_beyond_the_range_is_said(force, said):
    found = indent_spacing(depth_mm=[1.0, 2.0], hardness_HV=[400, 400], test_force_kgf=force)
    assert any(one.text.startswith("F ") or "kgf" in one.text for one in found.notices) == said


def test_the_caution_has_its_numbers():
    edge, near = indent_spacing(**FLAT, test_force_kgf=1.0).notices
    assert edge.level is near.level is Level.CAUTION
    assert (
        "0.100 mm below the surface, 1.9 of its diagonals of 0.051 mm: 2.5 are asked, 0.129 mm" in edge.text
    )
    assert near.text.startswith("Two indents stand 1.9 diagonals apart, 2.5 are asked")


def test_a_zigzag_is_held_in_its_rows_too():
    """However far the rows stand apart, in each of them two steps of depth have to hold the indents."""
    tight = indent_spacing(
        depth_mm=[0.2, 0.25, 0.3], hardness_HV=[700, 700, 700], test_force_kgf=1.0, sideways_mm=1.0
    )
    assert tight.tightest_in_diagonals == pytest.approx(0.1 / tight.diagonal_mm[0])
    assert [one.key for one in tight.notices] == ["iso18203.indents.near"]


@pytest.mark.parametrize(("last", "said"), [(440, 1), (460, 2)])
def test_wide_steps_count_within_the_case_alone(last, said):
    found = indent_spacing(
        depth_mm=[0.1, 0.2, 0.4, 0.9], hardness_HV=[700, 650, last, 400], test_force_kgf=0.3
    )
    assert found.largest_step_mm == pytest.approx({1: 0.2, 2: 0.5}[said])
    (notice,) = found.notices
    assert (notice.level, f"up to {found.largest_step_mm:.2f} mm" in notice.text) == (Level.NOTE, True)


def test_the_spacing_turns_where_two_and_a_half_diagonals_do():
    d = np.sqrt(1.8544 * 0.5 / 700)
    for share, said in ((1.001, 0), (0.999, 1)):
        step = 2.5 * d * share
        found = indent_spacing(depth_mm=[0.3, 0.3 + step], hardness_HV=[700, 700], test_force_kgf=0.5)
        assert len(found.notices) == said


@pytest.mark.parametrize(
    ("changes", "needed"),
    [
        ({"test_force_kgf": 0}, "a force above 0 kgf"),
        ({"test_force_kgf": 1, "sideways_mm": -0.1}, "an offset of 0 mm or more"),
        ({"test_force_kgf": 1, "hardness_HV": [700, 0, 1, 1]}, "hardnesses above 0 HV"),
        ({"test_force_kgf": 1, "hardness_HV": [700, 600]}, "4 hardnesses"),
    ],
)
def test_what_is_no_traverse_is_refused(changes, needed):
    with pytest.raises(InputError, match=needed):
        indent_spacing(**{**FLAT, **changes})
