"""Flaws that do not grow, and flaws that are found."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.stress.flaws import Driving, FlawPlace, detections, tolerated_flaw
from tests.checks import cases, holds


def flaw(**changes):
    given = {"amplitude_MPa": 300.0, "mean_MPa": 0.0, "hardness_HV": 600.0, "place": FlawPlace.SURFACE}
    return tolerated_flaw(**(given | changes))


@pytest.mark.parametrize("check", cases("flaws", "gearcheck.stress.flaws:tolerated_flaw"), ids=str)
def test_tolerated(check):
    given = dict(check.inputs)
    found = tolerated_flaw(place=FlawPlace(given.pop("place")), **given)
    known = {
        "hardness_size": found.hardness_size_um,
        "crack_size": found.crack_size_um,
        "governs": found.root_area_um,
    }
    holds(check, **{name: known[name] for name in check.expected})


@pytest.mark.parametrize("check", cases("flaws", "gearcheck.stress.flaws:detections"), ids=str)
def test_found(check):
    found = {item.method: item for item in detections(FlawPlace(check.inputs["place"]))}
    item = found[check.inputs["method"]]
    holds(check, length=item.length_mm, root_area=item.root_area_um)


@settings(max_examples=40, deadline=None)
@given(
    amplitude=st.floats(50, 900),
    mean=st.floats(-900, 900),
    hardness=st.floats(100, 720),
    place=st.sampled_from(FlawPlace),
    driving=st.sampled_from(Driving),
    more=st.floats(1.001, 2),
)
def test_directions(amplitude, mean, hardness, place, driving, more):
    """More stress tolerates less, compression more, and nothing is without a value."""

    def size(**changes):
        given = {"amplitude_MPa": amplitude, "mean_MPa": mean, "hardness_HV": hardness}
        return flaw(place=place, driving=driving, **(given | changes)).root_area_um

    here = size()
    assert 0 < here < np.inf
    assert size(amplitude_MPa=amplitude * more, mean_MPa=mean) <= here * (1 + 1e-9) or mean < 0
    assert size(mean_MPa=mean - 50) >= here * (1 - 1e-9)
    assert (
        flaw(amplitude_MPa=amplitude, hardness_HV=hardness * more).hardness_size_um
        > flaw(amplitude_MPa=amplitude, hardness_HV=hardness).hardness_size_um
    )


def test_the_smaller_of_both_sizes_governs_and_says_when_it_leaves_the_model():
    tight, loose = flaw(threshold_MPa_m05=2.0), flaw(threshold_MPa_m05=100.0)
    assert tight.root_area_um == tight.crack_size_um < tight.hardness_size_um
    assert loose.root_area_um == loose.hardness_size_um < loose.crack_size_um
    assert any("√area" in notice.text for notice in flaw(amplitude_MPa=100.0, threshold_MPa_m05=50).notices)


def test_a_flaw_that_never_opens_has_no_crack_size():
    found = flaw(mean_MPa=-400.0)
    assert found.crack_size_um is None
    assert found.root_area_um == found.hardness_size_um


def test_an_interior_flaw_may_be_larger_and_shear_is_worse():
    inside, outside = (
        flaw(place=place).hardness_size_um for place in (FlawPlace.INTERIOR, FlawPlace.SURFACE)
    )
    assert inside > outside > flaw(driving=Driving.SHEAR).hardness_size_um


def test_arrays_broadcast_and_bad_values_are_named():
    assert flaw(amplitude_MPa=np.ones((3, 1)) * 300, hardness_HV=[500, 600]).root_area_um.shape == (3, 2)
    with pytest.raises(InputError) as raised:
        flaw(amplitude_MPa=0.0, hardness_HV=-1.0)
    assert [fault.field for fault in raised.value.faults] == ["amplitude_MPa", "hardness_HV"]


def test_each_place_has_its_methods_the_finest_first():
    for place in FlawPlace:
        lengths = [item.length_mm for item in detections(place)]
        assert lengths == sorted(lengths)
        assert lengths
