"""The six numbers of a stress-cycle curve, and the static strength of the flank."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.materials.inputs import Treatment
from gearcheck.stress.flank_static import flank_static_safety
from gearcheck.stress.inputs import PRIMARY, LimitedLife, Member
from gearcheck.stress.life import Damage, limit_after_cycles
from gearcheck.stress.life_curve import life_curve
from tests.checks import cases, holds
from tests.stress.pairs import LIMITS, SOFT


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.life_curve:life_curve"), ids=str)
def test_curve(check):
    given = dict(check.inputs)
    curve = life_curve(damage=Damage(given.pop("damage")), readings=PRIMARY, **given)
    spread = np.log(curve.knee_cycles / curve.static_cycles)
    holds(
        check,
        N_stat=curve.static_cycles,
        N_D=curve.knee_cycles,
        long=curve.long_limit_MPa,
        k=spread / np.log(curve.static_limit_MPa / curve.knee_limit_MPa),
    )


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.flank_static:flank_static_safety"), ids=str
)
def test_static_flank(check):
    given = dict(check.inputs)
    if given.pop("soft_wheel", False):
        each = [SOFT]
        given |= {"mate_limits": LIMITS, "member": Member.WHEEL}
    else:
        limits = replace(LIMITS, flank_limit_MPa=given.pop("flank_limit_MPa"))
        treatments = given.pop("treatment", ["case-carburised"])
        each = [replace(limits, treatment=Treatment(treatment)) for treatment in treatments]
    found = [flank_static_safety(limits=one, **given) for one in each]
    shape = np.shape(check.expected["S_Hst"])
    safety, permissible = (
        np.array([getattr(one, name) for one in found]).reshape(shape)
        for name in ("safety", "permissible_stress_MPa")
    )
    holds(check, S_Hst=safety, perm=permissible)


@pytest.mark.parametrize("treatment", list(Treatment))
@pytest.mark.parametrize("reading", list(LimitedLife))
@pytest.mark.parametrize("damage", list(Damage))
def test_the_curve_is_that_of_the_limit_after_cycles(damage, reading, treatment):
    readings = replace(PRIMARY, limited_life=reading)
    curve = life_curve(
        damage=damage,
        static_limit_MPa=2500.0,
        reference_limit_MPa=1480.0,
        readings=readings,
        treatment=treatment,
    )
    corners = (
        (curve.static_cycles, curve.static_limit_MPa),
        (curve.knee_cycles, curve.knee_limit_MPa),
        (curve.long_cycles, curve.long_limit_MPa),
    )
    for cycles, limit in corners:
        there = limit_after_cycles(
            load_cycles=cycles,
            damage=damage,
            static_limit_MPa=2500.0,
            reference_limit_MPa=1480.0,
            life_at_1e10=readings.life_at_1e10,
            limited_life=reading,
            treatment=treatment,
        )
        assert limit == pytest.approx(there)


def test_a_static_limit_below_the_knee_gives_a_level_curve():
    curve = life_curve(damage=Damage.ROOT, static_limit_MPa=800, reference_limit_MPa=900, readings=PRIMARY)
    assert curve.static_limit_MPa == pytest.approx(900)


def test_a_safety_of_nothing_is_refused():
    with pytest.raises(InputError):
        flank_static_safety(stress_MPa=1000, limits=LIMITS, required_safety=0)
