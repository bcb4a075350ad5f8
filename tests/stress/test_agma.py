"""The rating by ANSI/AGMA 2101 and the geometry factors of AGMA 908 against cited values."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.numbers import array
from gearcheck.stress.agma_bending import agma_bending
from gearcheck.stress.agma_factors import (
    accuracy_number,
    bending_cycle_factor,
    dynamic_constants,
    dynamic_factor,
    pitting_cycle_factor,
    reliability_factor,
    rim_factor,
    textbook_size_factor,
)
from gearcheck.stress.agma_inputs import AgmaHardening, AgmaService, Enclosure, ReliabilityFit
from gearcheck.stress.agma_limits import alike_hardness_ratio_factor
from gearcheck.stress.agma_load import load_distribution
from gearcheck.stress.agma_member import agma_member_rating
from gearcheck.stress.agma_pitting import agma_pitting
from gearcheck.stress.inputs import PRIMARY, Member, PittingPoint
from tests.checks import cases, holds
from tests.sheets.agma_pair import CYCLES, LOAD, PAIRS
from tests.stress import pairs
from tests.stress.agma import FT_MIN, INCH, POUND, PSI, rated, soft, standard_pair, steel


def of(module, name):
    calculation = f"gearcheck.stress.{module}:{name}"
    return pytest.mark.parametrize("check", cases("agma", calculation), ids=str)


@of("agma_factors", "dynamic_factor")
def test_dynamic_factor(check):
    velocity = check.inputs["velocity_ft_min"] * FT_MIN
    found = dynamic_factor(accuracy_number=check.inputs["accuracy_number"], pitch_line_velocity_m_s=velocity)
    holds(check, K_v=found)


@of("agma_factors", "dynamic_constants")
def test_dynamic_constants(check):
    B, C = dynamic_constants(**check.inputs)
    holds(check, B=B, C=C)


@of("agma_factors", "accuracy_number")
def test_accuracy_number(check):
    holds(check, A_v=accuracy_number(**check.inputs))


@of("agma_factors", "textbook_size_factor")
def test_size_factor_of_textbooks(check):
    found = textbook_size_factor(
        face_width_mm=check.inputs["face_width_in"] * INCH,
        module_mm=INCH / check.inputs["diametral_pitch"],
        lewis_factor=check.inputs["lewis_factor"],
    )
    holds(check, K_s=found)


@of("agma_factors", "bending_cycle_factor")
def test_bending_cycle_factor(check):
    given = {**check.inputs, "service": AgmaService(check.inputs["service"])}
    given["hardening"] = AgmaHardening(given["hardening"])
    holds(check, Y_N=bending_cycle_factor(**given, hardness_HB=None))


@of("agma_factors", "pitting_cycle_factor")
def test_pitting_cycle_factor(check):
    given = {**check.inputs, "service": AgmaService(check.inputs["service"])}
    holds(check, Z_N=pitting_cycle_factor(**given))


@of("agma_factors", "reliability_factor")
def test_reliability_factor(check):
    fit = ReliabilityFit(check.inputs["fit"])
    holds(check, Y_Z=reliability_factor(reliability=check.inputs["reliability"], fit=fit))


@of("agma_factors", "rim_factor")
def test_rim_factor(check):
    holds(check, K_B=rim_factor(**check.inputs))


@of("agma_limits", "alike_hardness_ratio_factor")
def test_hardness_ratio_factor(check):
    holds(check, Z_W=alike_hardness_ratio_factor(**check.inputs))


def distribution(inputs, enclosure):
    return load_distribution(
        face_width_mm=inputs["face_width_in"] * INCH,
        working_pitch_diameter_mm=inputs["diameter_in"] * INCH,
        enclosure=Enclosure(enclosure),
        offset_ratio=0.0,
        modified_lead=False,
        adjusted=False,
    )


@of("agma_load", "load_distribution")
def test_load_distribution(check):
    inputs = check.inputs
    commercial = distribution(inputs, Enclosure.COMMERCIAL)
    found = {"K_Hpf": commercial.proportion_factor, "K_H": commercial.load_distribution_factor}
    if "enclosures" in inputs:
        alignment = [distribution(inputs, one).alignment_factor for one in inputs["enclosures"]]
    else:
        alignment = distribution(inputs, inputs["enclosure"]).alignment_factor
    holds(check, **found, K_Hma=alignment)


@of("agma_pitting", "agma_pitting")
def test_pitting_geometry(check):
    readings = replace(PRIMARY, pitting_point=PittingPoint(check.inputs["reading"]))
    holds(
        check, Z_I=agma_pitting(pair=standard_pair(check.inputs["teeth"]), readings=readings).geometry_factor
    )


@of("agma_bending", "agma_bending")
def test_bending_geometry(check):
    pair = standard_pair(check.inputs["teeth"])
    pinion, wheel = (
        agma_bending(pair=pair, member=member, pitting=agma_pitting(pair=pair), tooth_thinning=0.024)
        for member in Member
    )
    holds(check, J_pinion=pinion.geometry_factor, J_wheel=wheel.geometry_factor)


def of_the_book(inputs, one):
    width, diameter = inputs["face_width_in"] * INCH, inputs["diameter_in"] * INCH
    cycles = inputs["load_cycles"] / (1.0, inputs["gear_ratio"])[one]
    ratio = inputs["hardness_HB"][0] / inputs["hardness_HB"][1]
    harder = alike_hardness_ratio_factor(hardness_ratio=ratio, gear_ratio=inputs["gear_ratio"])
    return agma_member_rating(
        gear=soft(inputs["hardness_HB"][one], load_cycles=cycles, size_factor=inputs["K_s"][one]),
        pitting_geometry_factor=inputs["I"],
        bending_geometry_factor=inputs["J"][one],
        whole_depth_mm=5.0,
        hardness_ratio_factor=harder if one else 1.0,
        service=AgmaService.GENERAL,
        tangential_force_N=inputs["load_lbf"] * POUND,
        working_pitch_diameter_mm=diameter,
        face_width_mm=width,
        transverse_module_mm=INCH / inputs["diametral_pitch"],
        overload_factor=1.0,
        dynamic_factor=inputs["K_v"],
        load_distribution_factor=inputs["K_m"],
        surface_condition_factor=1.0,
        elastic_coefficient=inputs["C_p"] * np.sqrt(PSI),
        temperature_factor=1.0,
        reliability_factor=inputs["K_R"],
    )


@of("agma_member", "agma_member_rating")
def test_stresses_and_limits_of_the_book(check):
    both = [of_the_book(check.inputs, one) for one in (0, 1)]
    if "S_F_pinion" in check.expected:
        holds(check, S_F_pinion=both[0].bending_safety)
        return
    holds(
        check,
        sigma_b_psi=[gear.bending_stress_MPa / PSI for gear in both],
        sigma_c_psi=[gear.contact_stress_MPa / PSI for gear in both],
        S_t_psi=[gear.bending_number_MPa / PSI for gear in both],
        S_c_psi=[gear.contact_number_MPa / PSI for gear in both],
        Y_N=[gear.bending_cycle_factor for gear in both],
        Z_N=[gear.pitting_cycle_factor for gear in both],
        S_H=[gear.contact_safety for gear in both],
    )


@pytest.mark.parametrize(
    "check",
    [item for item in cases("agma", "gearcheck.stress.agma_rating:agma_rating") if "power_hp" in item.inputs],
    ids=str,
)
def test_load_of_a_helical_pair(check):
    inputs = check.inputs
    module = INCH / inputs["diametral_pitch"]
    pair = standard_pair(
        inputs["teeth"],
        helix_angle_deg=inputs["helix_angle_deg"],
        normal_module_mm=module,
        face_width_mm=inputs["face_width_in"] * INCH,
    )
    watts = inputs["power_hp"] * 550 * 0.3048 * POUND
    torque = watts / (inputs["speed_rpm"] * np.pi / 30)
    found = rated(pair, torque_Nm=torque, speed_rpm=inputs["speed_rpm"])
    holds(
        check,
        P_d=INCH / pair.transverse_module_mm,
        D_P_in=found.working_pitch_diameter_mm / INCH,
        D_G_in=pair.wheel.reference_diameter_mm / INCH,
        C_in=pair.centre_distance_mm / INCH,
        v_ft_min=found.pitch_line_velocity_m_s / FT_MIN,
        W_t_lbf=found.tangential_force_N / POUND,
        phi_t_deg=pair.transverse_pressure_angle_deg,
        p_x_in=inputs["face_width_in"] / pair.overlap_ratio,
    )


@pytest.mark.parametrize(
    "check",
    [item for item in cases("agma", "gearcheck.stress.agma_rating:agma_rating") if "pair" in item.inputs],
    ids=str,
)
def test_whole_rating_by_hand(check):
    pinion, wheel = (steel(load_cycles=cycles) for cycles in CYCLES)
    found = rated(pairs.pair(**PAIRS[check.inputs["pair"]]), **LOAD, pinion=pinion, wheel=wheel)
    both = (found.pinion, found.wheel)
    holds(
        check,
        Z_I=found.pitting.geometry_factor,
        K_v=found.dynamic_factor,
        sigma_H=found.pinion.contact_stress_MPa,
        Y_J=[gear.bending_geometry_factor for gear in both],
        sigma_F=[gear.bending_stress_MPa for gear in both],
        S_H=[gear.contact_safety for gear in both],
        S_F=[gear.bending_safety for gear in both],
    )


def test_numbers_are_arrays_of_their_samples():
    assert array(rated(pairs.helical(), torque_Nm=np.array([100.0, 400.0])).pinion.bending_safety).shape == (
        2,
    )
