"""Load factors as given for a rig: the stress that follows is that of the rating with the same factors."""

import pytest

import gearcheck
from gearcheck.basics.errors import InputError
from gearcheck.stress.inputs import Member
from gearcheck.stress.rig_factors import rig_factors
from tests.checks import cases, holds
from tests.stress import pairs


@pytest.mark.parametrize("pair", [pairs.spur(), pairs.helical()], ids=["spur", "helical"])
@pytest.mark.parametrize("check", cases("pulsator", "gearcheck.stress.rig_factors:rig_factors"), ids=str)
def test_the_stress_is_that_of_the_rating(check, pair):
    if "teeth" in check.inputs:
        given = check.inputs
        found = rig_factors(
            pair=pairs.spur(), torque_Nm=given["torque_Nm"], application_factor=1, dynamic_factor=1,
            face_factor=given["face_factor"], transverse_factor=given["transverse_factor"],
        )  # fmt: skip
        product = found.face_factor_bending * found.transverse_factor_bending
        holds(check, F_t=found.tangential_force_N, K=product)
        return
    rated = pairs.factors_of(pair)
    both = {"pair": pair, "torque_Nm": rated.torque_Nm, "application_factor": rated.application_factor,
            "dynamic_factor": rated.dynamic_factor, "tip_relief_um": rated.tip_relief_um}  # fmt: skip
    bending = rig_factors(
        **both,
        face_factor=rated.face_factor_bending,
        transverse_factor=rated.transverse_factor_bending,
    )
    pressing = rig_factors(
        **both, face_factor=rated.face_load_factor, transverse_factor=rated.transverse_factor_contact
    )
    limits = {"pinion_limits": pairs.LIMITS, "wheel_limits": pairs.LIMITS}
    for member in Member:
        roots = [
            gearcheck.root_stress(pair=pair, member=member, factors=factors).stress_MPa
            for factors in (bending, rated)
        ]
        flanks = [
            gearcheck.flank_stress(pair=pair, factors=factors, **limits).stress_MPa(member)
            for factors in (pressing, rated)
        ]
        holds(check, over_rating=roots[0] / roots[1])
        holds(check, over_rating=flanks[0] / flanks[1])


def test_what_is_not_above_0_is_refused():
    with pytest.raises(InputError) as raised:
        rig_factors(
            pair=pairs.spur(), torque_Nm=-1, application_factor=0, dynamic_factor=1, face_factor=1,
            transverse_factor=1,
        )  # fmt: skip
    assert [fault.field for fault in raised.value.faults] == ["torque_Nm", "application_factor"]
