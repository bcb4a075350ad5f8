"""Hardenability bands and compositions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.basics.tables import table
from gearcheck.materials.composition import steel_composition
from gearcheck.materials.hardenability import jominy_band, jominy_bands
from gearcheck.materials.steels import steel_names
from tests.checks import cases, holds

BANDS = table("jominy").names


@pytest.mark.parametrize("check", cases("quenched", "gearcheck.materials.hardenability:jominy_band"), ids=str)
def test_the_printed_bands(check):
    found = jominy_band(**check.inputs)
    holds(check, least_HRC=found.least_HRC, greatest_HRC=found.greatest_HRC)


@given(band=st.sampled_from(BANDS), distances=st.lists(st.floats(0, 60), min_size=2, max_size=6).map(sorted))
def test_a_band_falls_and_stands_upright(band, distances):
    found = jominy_band(band=band, distance_mm=distances)
    assert (np.diff(found.greatest_HRC) <= 0).all()
    known = found.least_HRC[~np.isnan(found.least_HRC)]
    assert (np.diff(known) <= 0).all()
    assert (found.greatest_HRC[: known.size] > known).all()
    assert bool(found.stops) == (known.size < len(distances))


def test_a_band_that_ends_says_how_far_it_reaches():
    found = jominy_band(band="sae 8620h", distance_mm=[9, 11])
    assert found.band == "SAE 8620 H"
    assert found.least_HRC[0] == 21
    assert found.stops[0].text == (
        "SAE 8620 H gives no least hardness at 11 mm from the quenched end, only as far as 9 mm."
    )


def test_the_steels_of_bands_and_compositions_are_steels():
    steels = {row["steel"] for row in table("jominy").rows} | set(table("steel_compositions").names)
    assert steels <= set(steel_names())
    assert {name for steel in steels for name in jominy_bands(grade=steel)} == set(BANDS)
    assert jominy_bands(grade="16MnCr5") == ()


def test_an_unknown_name_is_refused_with_the_nearest():
    with pytest.raises(InputError, match=r"band: .*SAE 9310 H"):
        jominy_band(band="SAE 9311 H", distance_mm=5)
    with pytest.raises(InputError, match=r"grade: .*18CrNiMo7-6"):
        steel_composition(grade="18CrNiMo7-7")
    with pytest.raises(InputError, match="distance_mm"):
        jominy_band(band="SAE 9310 H", distance_mm=[1, -1])
