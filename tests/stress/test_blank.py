"""The body behind the teeth, the deflection of the mesh, planets that share, running-in by treatment."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.stress.blank import blank_of, gear_blank_factor
from gearcheck.stress.deflection import effective_tip_relief, mesh_deflection
from gearcheck.stress.inputs import Blank
from gearcheck.stress.planets import planet_load_factor
from gearcheck.stress.running_in import mean_allowance, misalignment_allowance, running_in_allowance
from tests.checks import cases, holds
from tests.stress.pairs import LIMITS, factors_of, helical

PAIR = helical()
SOFT = {"treatment": "through-hardened", "flank_limit_MPa": 640}


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.blank:gear_blank_factor"), ids=str)
def test_blank_factor(check):
    holds(check, C_R=gear_blank_factor(**check.inputs))


@pytest.mark.parametrize(
    "check", cases("stress", "gearcheck.stress.deflection:effective_tip_relief"), ids=str
)
def test_tip_relief(check):
    holds(check, C_eff=effective_tip_relief(**check.inputs))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.deflection:mesh_deflection"), ids=str)
def test_deflection(check):
    holds(check, delta=mesh_deflection(**check.inputs))


@pytest.mark.parametrize("check", cases("stress", "gearcheck.stress.planets:planet_load_factor"), ids=str)
def test_planets(check):
    holds(check, K_gamma=planet_load_factor(**check.inputs).mesh_load_factor)


def test_planets_that_the_table_does_not_have():
    for planets in (2, 8):
        found = planet_load_factor(planets=planets)
        assert found.mesh_load_factor is None
        assert f"{planets} planets" in found.stops[0].text
        assert "3 to 7" in found.stops[0].text
    with pytest.raises(InputError, match="planets"):
        planet_load_factor(planets=3.5)
    assert planet_load_factor(planets=None).mesh_load_factor is None


def test_a_solid_disc_changes_nothing():
    assert blank_of(gear=PAIR.wheel, blank=None) is None
    assert blank_of(gear=PAIR.wheel, blank=Blank()) is None
    plain = factors_of(PAIR)
    bored = factors_of(PAIR, wheel_blank=Blank(bore_mm=1e-6))
    assert bored.dynamic_factor == pytest.approx(plain.dynamic_factor, rel=1e-12)
    assert bored.mesh_stiffness == plain.mesh_stiffness


def test_a_bore_takes_mass_and_a_web_takes_stiffness():
    plain = factors_of(PAIR)
    bored = factors_of(PAIR, wheel_blank=Blank(bore_mm=100.0))
    q = 100.0 / ((PAIR.wheel.tip_diameter_mm + PAIR.wheel.root_diameter_mm) / 2)
    assert bored.dynamics.wheel_inertia_share == pytest.approx(1 - q**4)
    assert bored.resonance_ratio < plain.resonance_ratio
    assert bored.mesh_stiffness == plain.mesh_stiffness
    webbed = factors_of(PAIR, wheel_blank=Blank(rim_thickness_mm=12.0, web_thickness_mm=8.0))
    one = gear_blank_factor(web_ratio=8 / 32, rim_ratio=12 / 4)
    assert webbed.stiffness.gear_blank_factor == pytest.approx((1 + one) / 2)
    assert webbed.mesh_stiffness < plain.mesh_stiffness
    assert webbed.wheel_blank.inner_diameter_mm == pytest.approx(PAIR.wheel.root_diameter_mm - 24)


def test_an_internal_gear_has_the_mass_of_its_ring():
    ring = SimpleNamespace(
        internal=True,
        tip_diameter_mm=200.0,
        root_diameter_mm=218.0,
        face_width_mm=30.0,
        normal_module_mm=4.0,
    )
    found = blank_of(gear=ring, blank=Blank(rim_thickness_mm=20.0))
    assert found.inner_diameter_mm == 258.0
    assert found.inertia_share == pytest.approx((258 / 209) ** 4 - 1)
    with pytest.raises(InputError, match="the rim of an internal gear"):
        blank_of(gear=ring, blank=Blank(bore_mm=20.0))


@pytest.mark.parametrize(
    ("blank", "field"),
    [
        (Blank(bore_mm=170.0), "wheel_blank.bore_mm"),
        (Blank(bore_mm=-1.0), "wheel_blank.bore_mm"),
        (Blank(rim_thickness_mm=0.0), "wheel_blank.rim_thickness_mm"),
        (Blank(rim_thickness_mm=200.0), "wheel_blank.rim_thickness_mm"),
        (Blank(web_thickness_mm=8.0), "wheel_blank.rim_thickness_mm"),
    ],
)
def test_bad_blanks_are_refused(blank, field):
    with pytest.raises(InputError) as raised:
        factors_of(PAIR, wheel_blank=blank)
    assert [fault.field for fault in raised.value.faults] == [field]


def test_through_hardened_runs_in_more_and_is_capped_by_speed():
    speeds = [4.0, 7.0, 12.0]
    pitch = running_in_allowance(deviation_um=200, pitch_line_velocity_m_s=speeds, **SOFT)
    assert pitch.tolist() == [50.0, 20.0, 10.0]
    helix = misalignment_allowance(deviation_um=200, pitch_line_velocity_m_s=speeds, **SOFT)
    assert helix.tolist() == [100.0, 40.0, 20.0]
    weak = {**SOFT, "flank_limit_MPa": 120}
    assert running_in_allowance(deviation_um=10, pitch_line_velocity_m_s=1, **weak) == 10
    nitrided = running_in_allowance(deviation_um=[10, 80], treatment="gas-nitrided")
    assert nitrided.tolist() == [0.75, 3.0]


def test_two_treatments_meet_in_the_middle():
    soft = SimpleNamespace(**SOFT)
    mean = mean_allowance(
        running_in_allowance,
        deviation_um=20,
        pinion_limits=LIMITS,
        wheel_limits=soft,
        pitch_line_velocity_m_s=3,
    )
    assert mean == pytest.approx((1.5 + 5.0) / 2)


def test_stiffness_falls_steadily_with_web_and_rim():
    web = gear_blank_factor(web_ratio=np.linspace(0, 2, 500), rim_ratio=3)
    assert np.all(np.diff(web) >= 0)
    assert np.max(np.diff(web)) < 0.01
    rim = gear_blank_factor(web_ratio=0.3, rim_ratio=np.linspace(0.2, 20, 500))
    assert np.all(np.diff(rim) >= 0)
    assert rim[-1] < 1
    assert np.all(np.isfinite(web)) and np.all(np.isfinite(rim))


def test_a_blank_that_stopped_gives_no_number():
    gear = replace(PAIR.wheel, tip_diameter_mm=np.nan)
    assert blank_of(gear=gear, blank=Blank(bore_mm=50.0)).inertia_share is None
