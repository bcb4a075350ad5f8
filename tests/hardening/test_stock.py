"""Stock over the teeth and the case left, as distributions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.hardening.spread import Spread
from gearcheck.hardening.stock import etch_loss_mm, ground_case, ground_hardness, tooth_stock, usual_stock_mm
from gearcheck.hardening.traverse import traverse_hardness
from tests.checks import cases, holds

STOCK = "gearcheck.hardening.stock"
CASE = {
    "case_depth_mm": 1.0,
    "case_deviation_mm": 0.03,
    "stock_mm": 0.15,
    "runout_mm": 0.04,
    "centring_mm": 0.005,
    "distortion_mm": 0.03,
    "position_deviation_mm": 0.01,
    "etch_mm": (0.0025, 0.0127),
    "superfinish_mm": (0.0, 0.002),
    "required_mm": 0.8,
    "shares": [0.01, 0.5, 0.99],
}
TEETH = {
    "teeth": 25,
    "left_stock_mm": 0.15,
    "right_stock_mm": 0.14,
    "runout_mm": 0.06,
    "centring_mm": 0.01,
    "indexing_mm": 0.02,
    "pressure_angle_deg": 20.0,
    "base_helix_angle_deg": 12.0,
}


@pytest.mark.parametrize("check", cases("grinding", f"{STOCK}:etch_loss_mm"), ids=str)
def test_loss_by_etching(check):
    least, largest = etch_loss_mm()
    holds(check, least=least, largest=largest)


@pytest.mark.parametrize("check", cases("grinding", f"{STOCK}:usual_stock_mm"), ids=str)
def test_usual_stock(check):
    least, largest = usual_stock_mm()
    holds(check, least=least, largest=largest)
    safe = {"required_mm": 0.3, "distortion_mm": 0.0}
    for stock, unusual in ((least, False), (largest, False), (0.09, True), (0.21, True)):
        notices = ground_case(**{**CASE, **safe, "stock_mm": stock}).notices
        assert [notice.key for notice in notices] == ["stock.unusual"] * unusual


@pytest.mark.parametrize("check", cases("grinding", f"{STOCK}:ground_case"), ids=str)
def test_case_left(check):
    found = ground_case(**check.inputs)
    holds(
        check,
        mean=found.mean_mm,
        deviation=found.deviation_mm,
        below=found.share_below,
        quantile=found.quantile_mm.tolist(),
        **({"uncut": found.share_uncut} if "uncut" in check.expected else {}),
    )


@pytest.mark.parametrize("check", cases("grinding", f"{STOCK}:tooth_stock"), ids=str)
def test_stock_of_each_tooth(check):
    found = tooth_stock(**check.inputs)
    holds(check, left=found.left_mm, right=found.right_mm)


@pytest.mark.parametrize("check", cases("grinding", f"{STOCK}:ground_hardness"), ids=str)
def test_profile_below_the_new_surface(check):
    holds(check, hardness=ground_hardness(**check.inputs))


def test_the_teeth_of_an_eccentric_gear():
    stock = tooth_stock(**TEETH)
    helix = np.cos(np.radians(12))
    assert stock.left_mm.mean() == pytest.approx(0.15 + 0.02 * helix)
    assert stock.right_mm.mean() == pytest.approx(0.14 - 0.02 * helix)
    assert np.ptp(stock.left_mm) == pytest.approx(2 * 0.04 * helix, rel=0.01)
    # both flanks together: the tooth is thicker where the eccentricity points
    thicker = stock.left_mm + stock.right_mm - 0.29
    psi = 2 * np.pi * np.arange(25) / 25
    assert thicker == pytest.approx(2 * 0.04 * helix * np.sin(np.radians(20)) * np.cos(psi), abs=1e-15)


def test_the_teeth_meet_the_distribution_of_the_sine():
    teeth = tooth_stock(**{**TEETH, "teeth": 4001, "base_helix_angle_deg": 0.0, "indexing_mm": 0.0})
    spread = Spread(np.array(0.04), [], np.array(0.0))
    for share in (0.1, 0.3, 0.5, 0.8):
        quantile = float(spread.quantile([share])[0])
        assert (teeth.left_mm < 0.15 + quantile).mean() == pytest.approx(share, abs=2e-3)


def test_a_flank_that_is_not_cleaned_up_is_named():
    bare = tooth_stock(**{**TEETH, "right_stock_mm": 0.05})
    assert [notice.key for notice in bare.notices] == ["stock.uncut"]
    assert tooth_stock(**TEETH).notices == ()
    case = ground_case(**{**CASE, "stock_mm": 0.03})
    assert case.share_uncut > 0.1
    assert "stock.uncut" in [notice.key for notice in case.notices]


lengths = st.floats(0, 0.08)


@settings(deadline=None)
@given(sine=lengths, one=lengths, two=lengths, normal=st.floats(0, 0.03), place=st.floats(-0.15, 0.15))
def test_a_spread_is_a_distribution(sine, one, two, normal, place):
    spread = Spread(np.array(sine), [np.array(one), np.array(two)], np.array(normal))
    x = np.sort(np.append(np.linspace(-0.45, 0.45, 301), place))
    below = spread.below(x)
    assert below[[0, -1]] == pytest.approx([0, 1], abs=1e-6)
    assert (np.diff(below) > -1e-7).all()
    assert spread.below(-x) == pytest.approx(1 - below, abs=1e-9)
    share = float(spread.below(place))
    if 0.01 < share < 0.99:
        quantile = spread.quantile([share])
        assert spread.below(quantile) == pytest.approx([share], abs=1e-6)


def test_the_deviation_is_that_of_the_distribution():
    spread = Spread(np.array(0.03), [np.array(0.04), np.array(0.01)], np.array(0.02))
    x = np.linspace(-0.3, 0.3, 20001)
    density = np.gradient(spread.below(x), x)
    assert np.trapezoid(density, x) == pytest.approx(1, abs=1e-6)
    assert np.trapezoid(density * x**2, x) == pytest.approx(float(spread.deviation) ** 2, rel=1e-4)


@settings(deadline=None)
@given(
    name=st.sampled_from(["runout_mm", "distortion_mm", "case_deviation_mm", "position_deviation_mm"]),
    required=st.floats(0.6, 0.79),
)
def test_more_stock_or_scatter_leaves_less_case(name, required):
    here = ground_case(**{**CASE, "required_mm": required})
    for more in ({name: CASE[name] + 0.02}, {"stock_mm": 0.17}, {"required_mm": required + 0.02}):
        worse = ground_case(**{**CASE, "required_mm": required, **more})
        assert worse.share_below >= here.share_below - 1e-7
    assert (np.diff(here.quantile_mm) > 0).all()
    assert (np.diff(here.stock_quantile_mm) > 0).all()


def test_both_flanks_and_many_samples_in_one_call():
    many = ground_case(**{**CASE, "stock_mm": [0.15, 0.12], "case_depth_mm": [[1.0], [0.95], [1.1]]})
    assert many.share_below.shape == (3, 2)
    assert many.quantile_mm.shape == (3, 2, 3)
    assert many.stock_quantile_mm.shape == (2, 3)
    for row, column in np.ndindex(3, 2):
        changed = {"stock_mm": (0.15, 0.12)[column], "case_depth_mm": (1.0, 0.95, 1.1)[row]}
        one = ground_case(**{**CASE, **changed})
        assert many.share_below[row, column] == pytest.approx(one.share_below)
        assert many.quantile_mm[row, column] == pytest.approx(one.quantile_mm)
    assert "% of the flank has less than the required case depth" in many.notices[0].text


def test_hardness_of_the_new_surface_is_that_of_the_traverse():
    depth, hardness = [0.0, 0.1, 0.2, 0.4], [690.0, 712.0, 708.0, 650.0]
    removed = np.array([0.0, 0.05, 0.15, 0.3])
    ground = ground_hardness(depth_mm=depth, hardness_HV=hardness, removed_mm=removed)
    assert ground.shape == (4, 4)
    at_surface = traverse_hardness(depth_mm=depth, hardness_HV=hardness, at_mm=removed)
    assert ground[:, 0] == pytest.approx(at_surface)
    assert ground[0] == pytest.approx(hardness)
    shallow = ground_hardness(depth_mm=[0.1, 0.2], hardness_HV=[700, 680], removed_mm=0.05)
    assert shallow == pytest.approx([690, 680])


def test_what_makes_no_sense_is_refused():
    for name, value in (
        ("stock_mm", -0.1),
        ("etch_mm", (0.02, 0.01)),
        ("superfinish_mm", (0.002, 0.001)),
        ("shares", [0.0]),
    ):
        with pytest.raises(InputError, match=name):
            ground_case(**{**CASE, name: value})
    with pytest.raises(InputError) as refused:
        tooth_stock(**{**TEETH, "teeth": 2, "runout_mm": -1})
    assert [fault.field for fault in refused.value.faults] == ["teeth", "runout_mm"]
    with pytest.raises(InputError) as refused:
        ground_hardness(depth_mm=[0.2, 0.1], hardness_HV=[700, 700], removed_mm=-0.1)
    assert [fault.field for fault in refused.value.faults] == ["depth_mm", "removed_mm"]
