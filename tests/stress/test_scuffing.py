"""Lubricant, flash and integral temperature, and the specific film, along the path of contact."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy.integrate import quad

from gearcheck.basics.errors import InputError
from gearcheck.contact.sharing import path_pressure
from gearcheck.gear.path import contact_path
from gearcheck.materials.inputs import Lubricant, LubricantKind, OilSupply
from gearcheck.materials.lubricant import lubricant_at
from gearcheck.stress.micropitting import _film, micropitting
from gearcheck.stress.rubbing import (
    flash,
    helical_load_factor,
    load_loss_factor,
    mean_friction,
    thermoelastic_factor,
)
from gearcheck.stress.scuffing_flash import flash_temperature, scuffing_temperature
from gearcheck.stress.scuffing_integral import integral_temperature
from tests.checks import cases, holds
from tests.stress.pairs import helical, pair, spur

SPUR, HELICAL = spur(), helical()

OIL = Lubricant(
    viscosity_40C_mm2_s=220,
    viscosity_100C_mm2_s=19.4,
    density_15C_kg_m3=890,
    oil_temperature_C=70,
    fzg_stage=12,
    kind=LubricantKind.MINERAL,
    supply=OilSupply.DIP,
)


def rated(pair=SPUR, *, force=8000.0, speed=1480.0, oil=OIL, roughness=3.0, points=41, permissible=0.3):
    path = contact_path(pair=pair, points=points)
    along = path_pressure(path=path, pair=pair, tangential_force_N=force, load_factor=1.4, tolerance_class=6)
    velocity = np.pi * np.asarray(pair.pinion.reference_diameter_mm) * np.asarray(speed) / 60000
    shared = {"pair": pair, "path": path, "along": along, "speed_rpm": speed, "lubricant": oil}
    rough = {"pinion_roughness_um": roughness, "wheel_roughness_um": roughness}
    hot = flash_temperature(**shared, **rough, pitch_line_velocity_m_s=velocity, required_safety=1.5)
    mean = integral_temperature(**shared, flash=hot)
    film = micropitting(**shared, **rough, pitch_line_velocity_m_s=velocity, permissible_film=permissible)
    return SimpleNamespace(flash=hot, integral=mean, film=film)


def of_the_constant(inputs):
    """1.11 is what is left of the flash temperature of unit heat on a unit width."""
    whole = flash(
        friction=1.0,
        line_load_N_mm=1e-3,
        half_width_mm=500 * inputs["half_width"],
        speed_1_m_s=inputs["speed"],
        speed_2_m_s=0.0,
    )
    return {"constant": whole * 13795}


def of_a_point(inputs):
    angle = np.radians(inputs["working_angle_deg"])
    teeth, a = np.array(inputs["teeth"]), inputs["centre_distance_mm"]
    pitch_1, pitch_2 = a * teeth / teeth.sum() * np.sin(angle)
    rho_1 = pitch_1 * (1 + inputs["gamma"])
    rho_2 = pitch_1 + pitch_2 - rho_1
    load = inputs["tangential_load_N_mm"] / np.cos(angle)
    modulus, radius = 206000 / (1 - 0.09) / 2, rho_1 * rho_2 / (rho_1 + rho_2)
    width = np.sqrt(4 * load * radius / (np.pi * modulus))
    omega = inputs["speed_rpm"] * np.pi / 30
    speeds = omega * rho_1 / 1000, omega * teeth[0] / teeth[1] * rho_2 / 1000
    hot = flash(
        friction=inputs["friction"],
        line_load_N_mm=load,
        half_width_mm=width,
        speed_1_m_s=speeds[0],
        speed_2_m_s=speeds[1],
    )
    pressure = 2 * load / (np.pi * width)
    return {"flash": hot, "half_width": width, "pressure": pressure, "v_1": speeds[0], "v_2": speeds[1]}


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.rubbing:flash"), ids=str)
def test_flash(check):
    holds(check, **(of_a_point if "teeth" in check.inputs else of_the_constant)(check.inputs))


def test_a_moving_heat_source_gives_the_constant_of_the_flash_temperature():
    """Semi-ellipse of heat over -1 to 1, temperature behind each strip with the root of the way gone."""

    def temperature(x):
        value, _ = quad(lambda s: np.sqrt(1 - (x - s * s) ** 2) * 2, 0, np.sqrt(x + 1), limit=200)
        return value

    largest = max(temperature(x) for x in np.linspace(0.3, 0.7, 81))
    # unit heat on the width 2: flux 2/π at its peak, temperature flux/(√π B √v)
    constant = largest * (2 / np.pi) / np.sqrt(np.pi) * np.sqrt(2)
    assert constant == pytest.approx(1.1116, abs=2e-4)
    assert of_the_constant({"half_width": 1.0, "speed": 1.0})["constant"] == pytest.approx(constant, rel=2e-3)


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.rubbing:thermoelastic_factor"), ids=str)
def test_thermoelastic(check):
    holds(check, X_M=thermoelastic_factor(**check.inputs))


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.materials.lubricant:lubricant_at"), ids=str)
def test_viscosity(check):
    given = check.inputs
    oil = replace(
        OIL, viscosity_40C_mm2_s=given["viscosity_40C"], viscosity_100C_mm2_s=given["viscosity_100C"]
    )
    state = lubricant_at(lubricant=oil, temperature_C=given["temperature_C"])
    known = {
        "nu": state.kinematic_viscosity_mm2_s,
        "alpha_1e8": state.pressure_coefficient_m2_N * 1e8,
    }
    holds(check, **{name: known[name] for name in check.expected})


@pytest.mark.parametrize(
    "check", cases("scuffing", "gearcheck.stress.scuffing_flash:scuffing_temperature"), ids=str
)
def test_scuffing_temperature(check):
    oil = replace(OIL, fzg_stage=check.inputs["fzg_stage"], kind=LubricantKind(check.inputs["kind"]))
    holds(check, theta_S=scuffing_temperature(lubricant=oil))


@pytest.mark.parametrize(
    "check", cases("scuffing", "gearcheck.stress.scuffing_integral:integral_temperature"), ids=str
)
def test_scuffing_integral(check):
    given = check.inputs
    if "pair" in given:
        found = rated(points=4001).integral
        holds(
            check,
            friction=found.friction,
            integral=found.integral_temperature_C,
            S_int=found.safety,
        )
        return
    oil = replace(OIL, fzg_stage=given["fzg_stage"], viscosity_40C_mm2_s=given["viscosity_40C"])
    oil = replace(oil, viscosity_100C_mm2_s=11.2)
    holds(check, theta_intS=rated(oil=oil).integral.scuffing_integral_C)


@pytest.mark.parametrize(
    "check", cases("scuffing", "gearcheck.stress.scuffing_flash:flash_temperature"), ids=str
)
def test_flash_along_the_path(check):
    found = rated(points=4001).flash
    holds(
        check,
        friction=found.friction,
        mean_flash=found.mean_flash_K,
        highest=found.highest_contact_C,
        S_B=found.safety,
    )


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.rubbing:helical_load_factor"), ids=str)
def test_helical_load(check):
    holds(check, K_B=helical_load_factor(**check.inputs))


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.rubbing:load_loss_factor"), ids=str)
def test_loss(check):
    holds(check, H_v=load_loss_factor(path=contact_path(pair=SPUR)))


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.rubbing:mean_friction"), ids=str)
def test_friction(check):
    given = dict(check.inputs)
    along = SimpleNamespace(
        transverse_pressure_angle_deg=0.0,
        tangential_force_N=given.pop("line_load_N_mm"),
        load_factor=1.0,
        face_width_mm=1.0,
    )
    holds(check, mu=mean_friction(along=along, base_oil="mineral oil", **given))


@pytest.mark.parametrize("check", cases("scuffing", "gearcheck.stress.micropitting:micropitting"), ids=str)
def test_film(check):
    given = check.inputs
    if "pair" in given:
        found = rated(points=4001).film
        holds(check, bulk=found.bulk_temperature_C, least_film=found.least_film)
        return
    along = SimpleNamespace(
        reduced_radius_mm=given["radius_mm"],
        contact_modulus_MPa=given["modulus_MPa"] / 2,
        pressure_MPa=given["pressure_MPa"],
    )
    state = SimpleNamespace(
        pressure_coefficient_m2_N=given["alpha_m2_N"], dynamic_viscosity_mPas=given["viscosity_mPas"]
    )
    (film,) = _film(along, np.array([given["speed_m_s"]]), state, state)["film_um"]
    holds(check, film=film)


@pytest.mark.parametrize("pair", [SPUR, HELICAL], ids=["spur", "helical"])
def test_nothing_is_without_a_value_and_rolling_alone_heats_nothing(pair):
    found = rated(pair, points=2001)
    hot, film = found.flash, found.film
    assert np.isfinite(hot.flash_temperature_K).all()
    assert np.isfinite(film.specific_film).all()
    pitch = np.argmin(np.abs(hot.pinion_speed_m_s - hot.wheel_speed_m_s))
    assert hot.flash_temperature_K[pitch] < 0.01 * hot.flash_temperature_K.max()
    assert hot.highest_contact_C == pytest.approx(hot.contact_temperature_C.max())
    assert film.least_film == pytest.approx(film.specific_film.min())


def test_directions():
    """More load and rougher flanks heat, thicker and better oil helps; each against the same mesh."""
    here = rated()
    assert rated(force=12000.0).flash.safety < here.flash.safety
    assert rated(force=12000.0).integral.safety < here.integral.safety
    assert rated(force=12000.0).film.safety < here.film.safety
    assert rated(roughness=6.0).flash.safety < here.flash.safety
    assert rated(roughness=6.0).film.safety < here.film.safety
    thick = replace(OIL, viscosity_40C_mm2_s=460, viscosity_100C_mm2_s=30.5)
    assert rated(oil=thick).film.safety > here.film.safety
    assert rated(oil=replace(OIL, fzg_stage=10)).flash.safety < here.flash.safety
    assert rated(oil=replace(OIL, oil_temperature_C=90)).film.safety < here.film.safety
    assert rated(speed=3000.0).film.safety > here.film.safety
    cooled = rated(oil=replace(OIL, supply=OilSupply.SUBMERGED))
    assert cooled.flash.bulk_temperature_C < here.flash.bulk_temperature_C


def test_samples_stand_before_the_points():
    many = rated(force=np.array([4000.0, 8000.0]))
    assert many.flash.flash_temperature_K.shape == (2, 43)
    assert many.film.least_film[1] == pytest.approx(rated().film.least_film)
    assert many.integral.safety[1] == pytest.approx(rated().integral.safety)


def test_no_film_known_leaves_the_specific_film_without_a_safety():
    found = rated(permissible=None).film
    assert found.safety is None
    assert found.least_film > 0


def test_what_the_oil_lacks_is_named():
    with pytest.raises(InputError) as raised:
        lubricant_at(lubricant=Lubricant(viscosity_40C_mm2_s=220), temperature_C=70)
    fields = [fault.field for fault in raised.value.faults]
    assert fields == ["viscosity_100C_mm2_s", "density_15C_kg_m3", "kind"]
    with pytest.raises(InputError) as raised:
        lubricant_at(lubricant=replace(OIL, viscosity_100C_mm2_s=300), temperature_C=70)
    assert "less than the viscosity at 40 °C" in raised.value.faults[0].needed


def test_outside_the_test_of_the_oil_is_a_caution():
    notices = rated(oil=replace(OIL, fzg_stage=15)).flash.notices
    assert any("FZG load stage" in notice.text for notice in notices)


def test_without_load_nothing_heats():
    found = rated(force=np.array([0.0, 8000.0]))
    assert not found.flash.flash_temperature_K[0].any()
    assert found.flash.highest_contact_C[0] == 70
    assert np.isinf(found.flash.safety[0])
    assert found.integral.integral_temperature_C[0] == 70
    assert found.integral.safety[1] == pytest.approx(rated().integral.safety)


def test_several_mates_heat_the_teeth():
    """Each further mesh adds half of what the first gives to the bulk temperature."""
    path = contact_path(pair=SPUR)
    along = path_pressure(path=path, pair=SPUR, tangential_force_N=8000, load_factor=1.4, tolerance_class=6)
    mesh = {"pair": SPUR, "path": path, "along": along, "speed_rpm": 1480, "lubricant": OIL}
    rough = {"pinion_roughness_um": 3, "wheel_roughness_um": 3, "pitch_line_velocity_m_s": 6.2}
    hot = flash_temperature(**mesh, **rough, required_safety=1.5, mates=[1, 3])
    assert hot.bulk_temperature_C[1] - 70 == pytest.approx(2 * (hot.bulk_temperature_C[0] - 70))
    integral = integral_temperature(**mesh, flash=hot)
    assert integral.bulk_temperature_C[1] - 70 == pytest.approx(2 * (integral.bulk_temperature_C[0] - 70))


@pytest.mark.parametrize("stage", [6, 8, 10, 12])
def test_the_gears_of_the_test_reach_about_the_temperatures_of_the_text(stage):
    """Test gears A of ISO 14635-1 as remembered, 8.3 m/s, oil of 100 mm²/s at 90 °C, Ra 0.35 µm."""
    gears = pair(
        teeth=(16, 24), normal_module_mm=4.5, centre_distance_mm=91.5, shifts=(0.8532, -0.5),
        tips=(88.77, 112.5), widths=(20, 20), protuberance_mm=0, stock_min_mm=0, stock_max_mm=0,
        rack_dedendum=1.25, rack_root_radius=0.25,
    )  # fmt: skip
    path, force = contact_path(pair=gears), 2000 * 3.726 * stage**2 / 72
    along = path_pressure(path=path, pair=gears, tangential_force_N=force, load_factor=1, tolerance_class=6)
    oil = replace(
        OIL, viscosity_40C_mm2_s=100, viscosity_100C_mm2_s=11.1, oil_temperature_C=90, fzg_stage=stage
    )
    mesh = {"pair": gears, "path": path, "along": along, "speed_rpm": 2170, "lubricant": oil}
    rough = {"pinion_roughness_um": 2.1, "wheel_roughness_um": 2.1, "pitch_line_velocity_m_s": 8.3}
    hot = flash_temperature(**mesh, **rough, required_safety=1)
    mean = integral_temperature(**mesh, flash=hot)
    assert hot.highest_contact_C == pytest.approx(hot.scuffing_temperature_C, rel=0.16)
    assert mean.mean_flash_K == pytest.approx(mean.test_flash_K, rel=0.12)
