import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.materials.inputs import Quality, Steel, Treatment
from gearcheck.materials.society import class_society_limits
from gearcheck.materials.strength import strength_limits
from tests.checks import cases, holds


def steel(treatment, grade="42CrMo4", hardness_HV=300):
    return Steel(
        grade=grade,
        quality=Quality.MQ,
        surface_hardness_HV=hardness_HV,
        core_hardness_HV=320,
        treatment=Treatment(treatment),
    )


@pytest.mark.parametrize(
    "check", cases("strength", "gearcheck.materials.society:class_society_limits"), ids=str
)
def test_limits_of_the_rules(check):
    rows = zip(*(check.inputs[name] for name in ("treatment", "grade", "hardness_HV")), strict=True)
    found = [
        class_society_limits(steel=steel(*row), tensile_strength_MPa=check.inputs["tensile_strength_MPa"])
        for row in rows
    ]
    holds(
        check,
        sigma_Flim=np.array([one.root_limit_MPa for one in found], dtype=float),
        sigma_Hlim=np.array([one.flank_limit_MPa for one in found], dtype=float),
    )


@pytest.mark.parametrize(
    ("treatment", "grade", "missing"),
    [
        ("nitrocarburised", "42CrMo4", ["σ_Flim", "σ_Hlim"]),
        ("gas-nitrided", "42CrMo4", ["σ_Hlim"]),
        ("through-hardened", "42CrMo4", ["σ_Flim", "σ_Hlim"]),
    ],
)
def test_what_the_rules_do_not_have_is_said(treatment, grade, missing):
    found = class_society_limits(steel=steel(treatment, grade))
    (notice,) = found.notices
    assert notice.level is Level.STOP
    assert all(name in notice.text for name in missing)
    assert (found.root_limit_MPa is None) == ("σ_Flim" in missing)
    assert found.flank_limit_MPa is None


def test_carbon_steel_has_no_limit_of_bending():
    found = class_society_limits(steel=steel("through-hardened", "C45E", 200), tensile_strength_MPa=650)
    assert found.root_limit_MPa is None
    assert found.flank_limit_MPa == pytest.approx(0.46 * 650 + 255)


def test_the_rules_lie_below_the_standard():
    case = steel("case-carburised", "18CrNiMo7-6", 690)
    assert class_society_limits(steel=case).root_limit_MPa < strength_limits(steel=case).root_limit_MPa


def test_samples_and_unknown_grades():
    found = class_society_limits(
        steel=steel("through-hardened"), tensile_strength_MPa=np.array([700.0, 900.0])
    )
    assert found.root_limit_MPa.tolist() == [255, 275]
    with pytest.raises(InputError):
        class_society_limits(steel=steel("through-hardened", "42CrMo5"))
