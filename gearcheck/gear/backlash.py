"""Backlash of a pair from tooth thickness, centre distance and temperatures."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.faults import need
from gearcheck.gear.involute import arc_cosine, involute
from gearcheck.gear.notices import flagged
from gearcheck.gear.pair import PairGeometry

REFERENCE_C = 20.0
"""The temperature at which drawings hold (ISO 1)."""

BACKLASH = Method(
    key="iso10064_2.backlash",
    title="Backlash from tooth thickness, centre distance and temperatures",
    source="ISO/TR 10064-2",
    edition="1996",
    clause="backlash; tooth thickness of a pair on parallel axes",
    status=Status.FROM_MEMORY,
    implements=(
        "normal, transverse and radial backlash of the very tooth thickness and centre distance; uniform "
        "expansion of both gears and of the housing from 20 °C; runout as a change of the centre distance",
    ),
    leaves_out=(
        "deviations of profile, helix and pitch; parallelism of the axes; play of the bearings; bending",
        "swelling of gears that take up water or oil",
    ),
    departures=(
        "The backlash is that of the true involutes, not of a straight line through the nominal mesh.",
        "Where the gears differ in temperature their base pitches differ; the mean of both counts.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class Backlash(Result):
    """The backlash of a pair at one thickness of each tooth, one centre distance and one set of temperatures.

    Negative where the teeth would jam.
    """

    method: ClassVar[Method] = BACKLASH
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    pinion_teeth: Number = term("Number of teeth, pinion", "z_1")
    wheel_teeth: Number = term("Number of teeth, wheel", "z_2")
    pinion_profile_shift: Number = term("Profile shift coefficient, pinion", "x_1")
    wheel_profile_shift: Number = term("Profile shift coefficient, wheel", "x_2")
    centre_distance_mm: Number = term("Centre distance", "a", "mm", digits=6)
    pinion_allowance_mm: Number = term("Allowance of the normal thickness, pinion", "A_s1", "mm")
    wheel_allowance_mm: Number = term("Allowance of the normal thickness, wheel", "A_s2", "mm")
    centre_distance_allowance_mm: Number = term("Allowance of the centre distance", "A_a", "mm")
    runout_mm: Number = term("Change of the centre distance by runout", "A_r", "mm")
    pinion_temperature_C: Number = term("Temperature of the pinion", "ϑ_1", "°C")
    wheel_temperature_C: Number = term("Temperature of the wheel", "ϑ_2", "°C")
    housing_temperature_C: Number = term("Temperature of the housing", "ϑ_h", "°C")
    gear_expansion_um_m_K: Number = term("Thermal expansion of both gears", "κ", "µm/(m·K)")
    housing_expansion_um_m_K: Number = term("Thermal expansion of the housing", "κ_h", "µm/(m·K)")
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    working_distance_mm: Number = term(
        "Centre distance as it runs",
        "a_ϑ",
        "mm",
        "(a + A_a + A_r)·(1 + κ_h·(ϑ_h - 20)/1000000)",
        digits=7,
    )
    pinion_base_diameter_mm: Number = term(
        "Base diameter as it runs, pinion",
        "d_b1",
        "mm",
        "z_1·m_n·cos(α_t)/cos(β)·(1 + κ·(ϑ_1 - 20)/1000000)",
        digits=7,
    )
    wheel_base_diameter_mm: Number = term(
        "Base diameter as it runs, wheel",
        "d_b2",
        "mm",
        "z_2·m_n·cos(α_t)/cos(β)·(1 + κ·(ϑ_2 - 20)/1000000)",
        digits=7,
    )
    base_pitch_mm: Number = term(
        "Mean transverse base pitch", "p_b", "mm", "π·(d_b1/z_1 + d_b2/z_2)/2", digits=6
    )
    pinion_base_thickness_mm: Number = term(
        "Tooth thickness on the base circle, pinion",
        "s_b1",
        "mm",
        "d_b1·((π/2 + 2·x_1·tan(α_n) + A_s1/m_n)/z_1 + inv(α_t))",
        digits=6,
    )
    wheel_base_thickness_mm: Number = term(
        "Tooth thickness on the base circle, wheel",
        "s_b2",
        "mm",
        "d_b2·((π/2 + 2·x_2·tan(α_n) + A_s2/m_n)/z_2 + inv(α_t))",
        digits=6,
    )
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle", "α_w", "°", "acos((d_b1 + d_b2)/(2·a_ϑ))", digits=6
    )
    base_backlash_mm: Number = term(
        "Backlash along the transverse line of action",
        "j_bt",
        "mm",
        "p_b - s_b1 - s_b2 + (d_b1 + d_b2)·inv(α_w)",
    )
    normal_backlash_mm: Number = term("Normal backlash", "j_bn", "mm", "j_bt·cos(β_b)")
    transverse_backlash_mm: Number = term(
        "Transverse backlash on the working pitch circle", "j_wt", "mm", "j_bt/cos(α_w)"
    )
    radial_backlash_mm: Number = term("Radial backlash", "j_r", "mm", "j_wt/(2·tan(α_w))")


@dataclass(frozen=True, kw_only=True)
class InternalBacklash(Backlash):
    """The backlash of a pinion with an internal gear; a larger centre distance takes it away."""

    wheel_base_thickness_mm: Number = term(
        "Tooth thickness on the base circle, wheel",
        "s_b2",
        "mm",
        "d_b2·((π/2 + 2·x_2·tan(α_n) + A_s2/m_n)/z_2 - inv(α_t))",
        digits=6,
    )
    working_pressure_angle_deg: Number = term(
        "Working transverse pressure angle", "α_w", "°", "acos((d_b2 - d_b1)/(2·a_ϑ))", digits=6
    )
    base_backlash_mm: Number = term(
        "Backlash along the transverse line of action",
        "j_bt",
        "mm",
        "p_b - s_b1 - s_b2 + (d_b1 - d_b2)·inv(α_w)",
    )


def expansion(material: str) -> float:
    """Return the linear thermal expansion of a material in µm/(m·K).

    Parameters
    ----------
    material : str
        A row of the table of thermal expansion.

    Returns
    -------
    float
        From memory.

    Examples
    --------
    >>> expansion("steel")
    11.5
    """
    return table("thermal_expansion").value(material)


def backlash(
    *,
    pair: PairGeometry,
    pinion_allowance_mm: Number,
    wheel_allowance_mm: Number,
    centre_distance_allowance_mm: Number,
    runout_mm: Number,
    pinion_temperature_C: Number,
    wheel_temperature_C: Number,
    housing_temperature_C: Number,
    gear_expansion_um_m_K: Number,
    housing_expansion_um_m_K: Number,
) -> Backlash:
    """Return normal, transverse and radial backlash of a pair as it runs.

    j_bt = p_b - s_b1 - s_b2 + (d_b1 + d_b2)·inv α_w; j_bn = j_bt·cos β_b; j_wt = j_bt/cos α_w;
    j_r = j_wt/(2·tan α_w).

    Parameters
    ----------
    pair : PairGeometry
        The nominal pair, external or internal, any shape of samples.
    pinion_allowance_mm, wheel_allowance_mm : float or array
        A_sn, what each normal tooth thickness differs from the nominal one, in mm; negative for a thinner
        tooth.
    centre_distance_allowance_mm : float or array
        A_a, what the centre distance differs from the nominal one, in mm.
    runout_mm : float or array
        Change of the centre distance by the runout of both gears in mm, with its sign.
    pinion_temperature_C, wheel_temperature_C, housing_temperature_C : float or array
        In °C; at 20 °C the drawing holds.
    gear_expansion_um_m_K, housing_expansion_um_m_K : float or array
        Linear thermal expansion in µm/(m·K).

    Returns
    -------
    Backlash
        In mm, negative where the teeth jam; a stop where the base circles do not fit the centre distance.

    Raises
    ------
    InputError
        Allowances and temperatures that are no numbers; all at once.

    Notes
    -----
    Source: ISO/TR 10064-2:1996, from memory; uniform expansion.
    Valid for: parallel axes; gears and housing each at one temperature.
    Departures: see the method.
    Checked: BACKLASH-01, BACKLASH-02, BACKLASH-03.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(face_width_mm=32, rack_dedendum=1.4, rack_root_radius=0.35, protuberance_mm=0.0,
    ...             stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(
    ...     normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0, centre_distance_mm=120,
    ...     pinion=Tooth(teeth=20, profile_shift=0.0, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, profile_shift=0.0, tip_diameter_mm=168, **gear))
    >>> round(backlash(pair=pair, pinion_allowance_mm=-0.05, wheel_allowance_mm=-0.06,
    ...     centre_distance_allowance_mm=0.0, runout_mm=0.0, pinion_temperature_C=20, wheel_temperature_C=20,
    ...     housing_temperature_C=20, gear_expansion_um_m_K=11.5,
    ...     housing_expansion_um_m_K=10.5).transverse_backlash_mm, 3)
    0.11
    """
    given = {
        "pinion_allowance_mm": pinion_allowance_mm,
        "wheel_allowance_mm": wheel_allowance_mm,
        "centre_distance_allowance_mm": centre_distance_allowance_mm,
        "runout_mm": runout_mm,
        "pinion_temperature_C": pinion_temperature_C,
        "wheel_temperature_C": wheel_temperature_C,
        "housing_temperature_C": housing_temperature_C,
        "gear_expansion_um_m_K": gear_expansion_um_m_K,
        "housing_expansion_um_m_K": housing_expansion_um_m_K,
    }
    faults = Faults()
    for name, value in given.items():
        need(faults, name, value, lambda number: np.abs(number) < np.inf, "a number")
    faults.check()
    values: dict[str, Any] = {name: array(value) for name, value in given.items()}
    values |= {name: array(getattr(pair, name)) for name in _OF_THE_PAIR}
    values |= _circles(values)
    values |= _gap(values, pair.side)
    apart = (
        "The base circles do not fit a centre distance of {a:.3f} mm: no backlash can be worked out for it."
    )
    stopped = np.isnan(values["working_pressure_angle_deg"])
    kind = InternalBacklash if pair.internal else Backlash
    return kind(
        **values,
        notices=tuple(
            flagged(stopped, Level.STOP, "backlash.distance", apart, a=values["working_distance_mm"])
        ),
    )


_OF_THE_PAIR = (
    "normal_module_mm",
    "pressure_angle_deg",
    "helix_angle_deg",
    "pinion_teeth",
    "wheel_teeth",
    "pinion_profile_shift",
    "wheel_profile_shift",
    "centre_distance_mm",
    "transverse_pressure_angle_deg",
    "base_helix_angle_deg",
)


def _grown(values: dict[str, Any], of: str, expansion_of: str) -> Array:
    warmer = values[f"{of}_temperature_C"] - REFERENCE_C
    return np.asarray(1.0 + values[f"{expansion_of}_expansion_um_m_K"] * warmer / 1e6)


def _circles(values: dict[str, Any]) -> dict[str, Array]:
    alpha_t = np.radians(values["transverse_pressure_angle_deg"])
    base = values["normal_module_mm"] * np.cos(alpha_t) / np.cos(np.radians(values["helix_angle_deg"]))
    distance = values["centre_distance_mm"] + values["centre_distance_allowance_mm"] + values["runout_mm"]
    first, second = (
        values[f"{gear}_teeth"] * base * _grown(values, gear, "gear") for gear in ("pinion", "wheel")
    )
    pitch = np.pi * (first / values["pinion_teeth"] + second / values["wheel_teeth"]) / 2.0
    return {
        "working_distance_mm": distance * _grown(values, "housing", "housing"),
        "pinion_base_diameter_mm": first,
        "wheel_base_diameter_mm": second,
        "base_pitch_mm": pitch,
    }


def _gap(values: dict[str, Any], side: float) -> dict[str, Array]:
    inv_t = involute(np.radians(values["transverse_pressure_angle_deg"]))
    first, second = (values[f"{gear}_base_diameter_mm"] for gear in ("pinion", "wheel"))
    working = arc_cosine((first + side * second) * side / (2.0 * values["working_distance_mm"]))
    s_b1, s_b2 = _base_thickness(values, "pinion", inv_t), _base_thickness(values, "wheel", side * inv_t)
    j_bt = values["base_pitch_mm"] - s_b1 - s_b2 + (first + side * second) * involute(working)
    return {
        "pinion_base_thickness_mm": s_b1,
        "wheel_base_thickness_mm": s_b2,
        "working_pressure_angle_deg": np.degrees(working),
        "base_backlash_mm": j_bt,
        "normal_backlash_mm": j_bt * np.cos(np.radians(values["base_helix_angle_deg"])),
        "transverse_backlash_mm": j_bt / np.cos(working),
        "radial_backlash_mm": j_bt / np.cos(working) / (2.0 * np.tan(working)),
    }


def _base_thickness(values: dict[str, Any], gear: str, inv_t: Array) -> Array:
    shift = 2.0 * values[f"{gear}_profile_shift"] * np.tan(np.radians(values["pressure_angle_deg"]))
    allowance = values[f"{gear}_allowance_mm"] / values["normal_module_mm"]
    half = (np.pi / 2.0 + shift + allowance) / values[f"{gear}_teeth"] + inv_t
    return np.asarray(values[f"{gear}_base_diameter_mm"] * half)
