"""The front of modifications: nothing beaten, drawn flanks in it or beaten, the rule of thumb of relief."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.meshing.advisor import relief_front, thinned, unbeaten
from gearcheck.meshing.candidates import KEYS, OUTCOMES, ReliefLimits
from gearcheck.meshing.form import Misalignment
from gearcheck.meshing.loaded import loaded_contact
from tests.checks import cases, holds
from tests.meshing.meshes import bed_of, ends_of, forms_of

CHECKS = cases("meshing_turns", "gearcheck.meshing.advisor:relief_front")
LEAN = np.array([-12.0, 0.0, 12.0])


def limits_of(bed):
    """Up to twice the deflection at 400 N·m, starts in the outer half of the flank."""
    spans = {}
    for member in ("pinion", "wheel"):
        low, high = ends_of(bed, member)
        spans[f"{member}_tip_relief_um"] = (0.0, 38.0)
        spans[f"{member}_tip_relief_start_mm"] = (low + 0.45 * (high - low), low + 0.95 * (high - low))
    return ReliefLimits(**spans, pinion_helix_crowning_um=(0.0, 19.0))


def mesh(kind="spur", relief=0.0):
    bed = bed_of(kind, 16, 5)
    forms = forms_of(bed, relief)
    return {"bed": bed, **forms, "limits": limits_of(bed)}


def fronts(kind="spur", seed=1, relief=0.0, **more):
    more = {"torques_Nm": [200.0, 400.0], "misalignments": Misalignment(out_of_plane_um=LEAN), **more}
    return list(relief_front(**mesh(kind, relief), generator=np.random.default_rng(seed), **more))


def test_relief_takes_most_of_the_error_away_and_is_near_the_deflection():
    (check,) = CHECKS
    torque = check.inputs["torque_Nm"]
    given = {"torques_Nm": torque, "misalignments": None, "seed": check.inputs["seed"]}
    found = fronts(**given)[-1]
    drawn = loaded_contact(torque_Nm=torque, **{key: mesh()[key] for key in ("bed", "pinion", "wheel")})
    assert found.drawn_peak_to_peak_um == pytest.approx(drawn.peak_to_peak_um, rel=1e-9)
    larger = max(found.pinion_tip_relief_um[0], found.wheel_tip_relief_um[0])
    holds(
        check,
        error_left=found.peak_to_peak_um[0] / drawn.peak_to_peak_um,
        relief_over_deflection=larger / -drawn.mean_um,
    )


@pytest.mark.parametrize("kind", ["spur", "helical", "internal"])
def test_no_point_beats_another_and_the_drawn_flank_is_there_or_beaten(kind):
    every = fronts(kind, rounds=2)
    for found in every:
        aims = np.stack([found.peak_to_peak_um, found.largest_pressure_MPa], axis=-1)
        assert (np.diff(aims[:, 0]) > 0).all()
        assert (np.diff(aims[:, 1]) < 0).all()
        drawn = np.array([found.drawn_peak_to_peak_um, found.drawn_pressure_MPa])
        assert (aims <= drawn).all(axis=-1).any()
        assert found.every_peak_to_peak_um.size == found.done <= found.of
    assert [found.done for found in every[:4]] == [17, 33, 49, 65]
    # later fronts are never behind earlier ones
    for earlier, later in pairwise(every):
        assert later.peak_to_peak_um[0] <= earlier.peak_to_peak_um[0]
        assert later.largest_pressure_MPa[-1] <= earlier.largest_pressure_MPa[-1]


def test_what_stands_beside_a_point_is_what_comes_of_it():
    found, given = fronts(rounds=1)[-1], mesh()
    for one in (0, found.peak_to_peak_um.size - 1):
        tried = {key: float(getattr(found, key)[one]) for key in KEYS}
        forms = {
            member: replace(
                given[member],
                **{key.partition("_")[2]: of for key, of in tried.items() if key.startswith(member)},
            )
            for member in ("pinion", "wheel")
        }
        worst = loaded_contact(
            bed=given["bed"],
            torque_Nm=np.array([[200.0], [400.0]]),
            **forms,
            misalignment=Misalignment(out_of_plane_um=LEAN),
        )
        assert found.peak_to_peak_um[one] == pytest.approx(worst.peak_to_peak_um.max(), rel=1e-6)
        for name in OUTCOMES[1:]:
            assert getattr(found, name)[one] == pytest.approx(getattr(worst, name)[1].max(), rel=1e-6)


def test_a_point_with_load_on_tip_corners_is_left_out_where_none_is_allowed():
    free, kept = fronts(rounds=1)[-1], fronts(rounds=1, most_on_corners=0.0)[-1]
    assert free.corner_share.max() > 0.0
    assert not free.every_left_out.any()
    assert kept.corner_share.max() == 0.0
    assert 0 < kept.every_left_out.sum() < kept.done
    # it costs something: no point of the narrower front beats all of the wider one
    assert kept.largest_pressure_MPa.min() >= free.largest_pressure_MPa.min()


def test_where_every_point_loads_tip_corners_none_is_left_out_and_that_is_told():
    given = {**mesh(), "limits": ReliefLimits(pinion_helix_crowning_um=(0.0, 1.0))}
    first = next(
        relief_front(
            **given, torques_Nm=400.0, most_on_corners=0.0, generator=np.random.default_rng(1), rounds=0
        )
    )
    assert first.peak_to_peak_um.size >= 1
    assert first.corner_share.min() > 0.0
    assert not first.every_left_out.any()
    assert any("tip corners" in one.text for one in first.notices)


def test_the_same_seed_is_the_same_front():
    first, again, other = (fronts(seed=seed, rounds=1)[-1] for seed in (3, 3, 4))
    np.testing.assert_array_equal(first.every_peak_to_peak_um, again.every_peak_to_peak_um)
    assert first.every_peak_to_peak_um[1] != other.every_peak_to_peak_um[1]


def test_what_is_tried_stays_within_its_limits_and_the_rest_as_drawn():
    given = mesh(relief=10.0)
    limits = ReliefLimits(
        pinion_tip_relief_um=(5.0, 20.0), wheel_helix_crowning_um=(2.0, 8.0), wheel_tip_relief_um=(3.0, 3.0)
    )
    given = {**given, "limits": limits, "torques_Nm": 400.0}
    found = list(relief_front(**given, generator=np.random.default_rng(1), rounds=1))[-1]
    tried = found.every_peak_to_peak_um.size > 1
    assert tried
    inside = found.wheel_tip_relief_um == 3.0
    assert ((found.pinion_tip_relief_um >= 5.0) & (found.pinion_tip_relief_um <= 20.0)).all()
    assert ((found.wheel_helix_crowning_um >= 2.0) & (found.wheel_helix_crowning_um <= 8.0))[inside].all()
    assert (found.pinion_tip_relief_start_mm == given["pinion"].tip_relief_start_mm).all()
    assert (found.pinion_helix_crowning_um == 0.0).all()


def test_a_tip_without_drawn_start_needs_limits_of_it():
    given = mesh()
    bare = replace(given["pinion"], tip_relief_start_mm=None)
    limits = ReliefLimits(pinion_tip_relief_um=(0.0, 20.0))
    with pytest.raises(InputError, match="pinion_tip_relief_start_mm"):
        next(
            relief_front(
                **{**given, "pinion": bare, "limits": limits},
                torques_Nm=400.0,
                generator=np.random.default_rng(1),
            )
        )


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"torques_Nm": [0.0, 100.0]}, "torques_Nm"),
        ({"limits": ReliefLimits()}, "limits"),
        ({"limits": ReliefLimits(pinion_helix_crowning_um=(-2.0, 8.0))}, "limits.pinion_helix_crowning_um"),
        ({"limits": ReliefLimits(wheel_tip_relief_start_mm=(0.0, 500.0))}, "wheel_tip_relief_start_mm"),
        ({"limits": ReliefLimits(pinion_tip_relief_um=(0.0, 9000.0))}, "pinion"),
        ({"rounds": -1}, "rounds"),
        ({"most_on_corners": -0.1}, "most_on_corners"),
    ],
)
def test_what_cannot_be_tried_is_refused(change, name):
    with pytest.raises(InputError) as refused:
        next(relief_front(**{**mesh(), "torques_Nm": 400.0, **change}, generator=np.random.default_rng(1)))
    assert name in str(refused.value)


@given(st.lists(st.tuples(st.integers(1, 6), st.integers(1, 6)), min_size=1, max_size=12))
@settings(deadline=None, max_examples=60)
def test_what_is_left_is_what_nothing_beats(points):
    aims = np.array(points, dtype=float)
    left = set(map(tuple, aims[unbeaten(aims)].tolist()))

    def beats(one, other):
        return one != other and one[0] <= other[0] and one[1] <= other[1]

    wanted = {tuple(map(float, one)) for one in points if not any(beats(other, one) for other in points)}
    assert left == wanted
    assert len(unbeaten(aims)) == len(wanted)
    told = thinned(aims, unbeaten(aims))
    assert aims[told[0], 0] == aims[:, 0].min()
    assert aims[told[-1], 1] == aims[:, 1].min()


def test_what_was_not_solved_is_never_on_the_front():
    aims = np.array([[np.inf, np.inf], [2.0, 2.0], [1.0, np.inf]])
    assert unbeaten(aims).tolist() == [1]
