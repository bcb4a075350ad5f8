"""The parts of the load factors of one mesh, each from pair, load, shaft and blanks."""

from __future__ import annotations

from typing import Any, TypeAlias, TypedDict

import numpy as np

from gearcheck.basics.methods import Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.gear.pair import PairGeometry
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.blank import BlankFactor, blank_of
from gearcheck.stress.dynamics import DynamicFactor
from gearcheck.stress.face_load import FaceLoadFactor, face_load_factor
from gearcheck.stress.inputs import Blank, DeviationInKHalpha, Load, Readings, Shaft
from gearcheck.stress.running_in import mean_allowance, running_in_allowance
from gearcheck.stress.stiffness import MeshStiffness, mesh_stiffness
from gearcheck.stress.transverse import transverse_factors

Blanks: TypeAlias = tuple[BlankFactor | None, BlankFactor | None]
"""Of pinion and wheel; None for a solid disc."""


class Wear(TypedDict):
    """What running-in depends on."""

    pinion_limits: StrengthLimits
    wheel_limits: StrengthLimits
    pitch_line_velocity_m_s: Number


def wear_of(pinion_limits: StrengthLimits, wheel_limits: StrengthLimits, velocity: Number) -> Wear:
    """Return what running-in depends on."""
    return {
        "pinion_limits": pinion_limits,
        "wheel_limits": wheel_limits,
        "pitch_line_velocity_m_s": velocity,
    }


def blanks_of(pair: PairGeometry, pinion: Blank | None, wheel: Blank | None) -> Blanks:
    """Return the bodies behind the teeth of both gears."""
    return (
        blank_of(gear=pair.pinion, blank=pinion, name="pinion_blank"),
        blank_of(gear=pair.wheel, blank=wheel, name="wheel_blank"),
    )


def nested(
    stiffness: MeshStiffness,
    dynamics: DynamicFactor,
    face: FaceLoadFactor | None,
    blanks: Blanks,
) -> dict[str, Any]:
    """Return the fields that hold or repeat other results."""
    return {
        "stiffness": stiffness,
        "dynamics": dynamics,
        "face_load": face,
        "pinion_blank": blanks[0],
        "wheel_blank": blanks[1],
        "single_stiffness": stiffness.single_stiffness,
        "mesh_stiffness": stiffness.mesh_stiffness,
        "resonance_ratio": dynamics.resonance_ratio,
        "dynamic_factor": dynamics.dynamic_factor,
    }


def stiffness_of(
    pair: PairGeometry,
    line_load: Array,
    readings: Readings,
    blanks: Blanks,
) -> MeshStiffness:
    """Return the stiffness of a mesh with its blanks."""
    factors = [1.0 if blank is None else blank.blank_factor for blank in blanks]
    return mesh_stiffness(
        pinion_teeth=pair.pinion.teeth,
        wheel_teeth=pair.wheel.teeth,
        pinion_profile_shift=pair.pinion.profile_shift,
        wheel_profile_shift=pair.wheel.profile_shift,
        pinion_rack_dedendum=pair.pinion.rack_dedendum,
        wheel_rack_dedendum=pair.wheel.rack_dedendum,
        pressure_angle_deg=pair.pressure_angle_deg,
        helix_angle_deg=pair.helix_angle_deg,
        transverse_contact_ratio=pair.transverse_contact_ratio,
        line_load_N_mm=line_load,
        light_load_stiffness=readings.light_load_stiffness,
        gear_blank_factor=(array(factors[0]) + array(factors[1])) / 2,
        internal_wheel=pair.internal,
    )


def rotor_of(
    pair: PairGeometry,
    load: Load,
    pinion_limits: StrengthLimits,
    wheel_limits: StrengthLimits,
    blanks: Blanks,
) -> dict[str, Number]:
    """Return what the resonance of a mesh depends on."""
    shares = [1.0 if blank is None else blank.inertia_share for blank in blanks]
    tip, bottom = array(pair.pinion.tip_diameter_mm), array(pair.pinion.root_diameter_mm)
    return {
        "pinion_speed_rpm": load.speed_rpm,
        "pinion_teeth": pair.pinion.teeth,
        "gear_ratio": pair.gear_ratio,
        "pinion_base_diameter_mm": pair.pinion.base_diameter_mm,
        "pinion_mean_diameter_mm": (tip + bottom) / 2,
        "pinion_density_kg_mm3": pinion_limits.density_kg_mm3,
        "wheel_density_kg_mm3": wheel_limits.density_kg_mm3,
        "pinion_inertia_share": shares[0],
        "wheel_inertia_share": shares[1],
        "total_contact_ratio": pair.total_contact_ratio,
    }


def class_5(helix_slope_um: Number, tolerance_class: Number) -> Array:
    """Return the helix slope deviation of class 5: each class is √2 wider than the one before."""
    favourable = table("iso6336_1_face_load").value("class of the favourable pattern")
    slope: Array = array(helix_slope_um) * np.sqrt(2.0) ** (favourable - array(tolerance_class))
    return slope


def face_load_of(
    pair: PairGeometry,
    load: Load,
    shaft: Shaft | None,
    stiffness: MeshStiffness,
    dynamics: DynamicFactor,
    helix_slope_um: Number,
    helix_slope_5_um: Number,
    wear: Wear,
) -> FaceLoadFactor | None:
    """Return the face load factor by the shaft, where none is given."""
    if load.face_load_factor is not None or shaft is None:
        return None
    return face_load_factor(
        shaft=shaft,
        pinion_diameter_mm=pair.pinion.reference_diameter_mm,
        face_width_mm=pair.common_face_width_mm,
        mean_line_load_N_mm=array(dynamics.line_load_N_mm) * array(dynamics.dynamic_factor),
        face_stiffness=stiffness.face_stiffness,
        helix_slope_um=helix_slope_um,
        helix_slope_5_um=helix_slope_5_um,
        **wear,
    )


def transverse_of(
    pair: PairGeometry,
    stiffness: MeshStiffness,
    dynamics: DynamicFactor,
    face_load_factor: Array,
    deviations: tuple[Array, Array],
    readings: Readings,
    wear: Wear,
) -> dict[str, Number]:
    """Return K_Hα and K_Fα with their limits."""
    deviation = deviations[0]
    if readings.deviation_in_khalpha is DeviationInKHalpha.LARGER_OF_BOTH:
        deviation = np.maximum(*deviations)
    return transverse_factors(
        pair,
        mesh_stiffness=stiffness.mesh_stiffness,
        line_load_N_mm=array(dynamics.line_load_N_mm) * array(dynamics.dynamic_factor) * face_load_factor,
        deviation_um=deviation,
        running_in_um=mean_allowance(running_in_allowance, deviation_um=deviation, **wear),
    )


def all_notices(
    stiffness: MeshStiffness,
    dynamics: DynamicFactor,
    face: FaceLoadFactor | None,
    own: tuple[Notice, ...],
) -> tuple[Notice, ...]:
    """Return the notices of all results, in their order."""
    of_face = () if face is None else face.notices
    return stiffness.notices + dynamics.notices + of_face + own
