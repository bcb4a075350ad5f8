"""Root stress of a tooth that a pulsator bends: the form of ISO 6336-3 with the force where the jaw acts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.stress.root_form import LoadPoint, RootForm, root_form

PULSATOR = Method(
    key="iso6336_3.pulsator",
    title="Root stress in a pulsator",
    source="ISO 6336-3",
    edition="2019",
    clause="form factor and stress correction of method B, load at the diameter of the jaw",
    status=Status.FROM_MEMORY,
    implements=("spur gears; the whole force on one tooth, without load factors",),
    leaves_out=("helical gears", "a notch that grinding leaves in the fillet", "friction at the jaw"),
    departures=(
        "The force acts along the normal of the flank: F_t = F·cos(α_n) at the reference circle.",
        "No share of the force is taken by another tooth: f_ε = 1.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class PulsatorStress(Result):
    """Root stress of the tooth that a pulsator bends; `form` holds the steps of Y_F and Y_S."""

    method: ClassVar[Method] = PULSATOR
    form: RootForm
    force_N: Number = term("Force of the pulsator", "F", "N")
    pressure_angle_deg: Number = term("Pressure angle", "α_n", "°")
    normal_module_mm: Number = term("Module", "m_n", "mm")
    face_width_mm: Number = term("Face width", "b", "mm")
    load_diameter_mm: Number = term("Diameter on which the force acts", "d_F", "mm")
    form_factor: Number = term("Form factor, load at d_F", "Y_F")
    stress_correction_factor: Number = term("Stress correction factor, load at d_F", "Y_S")
    tangential_force_N: Number = term("Force at the reference circle", "F_t", "N", "F·cos(α_n)")
    stress_MPa: Number = term("Root stress", "σ_F0", "MPa", "F_t/(b·m_n)·Y_F·Y_S")


def pulsator_stress(
    *,
    force_N: Number,
    load_diameter_mm: Number,
    teeth: Number,
    normal_module_mm: Number,
    pressure_angle_deg: Number,
    profile_shift: Number,
    tip_diameter_mm: Number,
    face_width_mm: Number,
    rack_dedendum: Number,
    rack_root_radius: Number,
    residual_undercut_mm: Number = 0.0,
) -> PulsatorStress:
    """Return the root stress of a tooth that the jaw of a pulsator bends.

    σ_F0 = F cos α_n/(b m_n) Y_F Y_S, both factors with the load at d_F

    Parameters
    ----------
    force_N : float or array
        F in N, normal to the flank; the largest of a load cycle.
    load_diameter_mm : float or array
        d_F in mm: of a span over teeth the diameter on which its anvils touch, see `span`.
    teeth, normal_module_mm, pressure_angle_deg, profile_shift : float or array
        z, m_n in mm, α_n in degrees, x of the spur gear.
    tip_diameter_mm, face_width_mm : float or array
        d_a and b in mm.
    rack_dedendum, rack_root_radius : float or array
        h_fP and ρ_fP in modules.
    residual_undercut_mm : float or array
        s_pr in mm, normal to the flank; 0 without protuberance.

    Returns
    -------
    PulsatorStress
        σ_F0 in MPa, the notices of the form repeated; the language in which `root_stress` rates the part.

    Raises
    ------
    InputError
        A force that is not above 0, or a diameter outside base and tip circle.

    Notes
    -----
    Source: ISO 6336-3:2019, clauses 6 and 7, from memory.
    Valid for: spur gears cut by a rack.
    Departures: see the method.
    Checked: PULSATOR-HAND, PULSATOR-TIP.

    Examples
    --------
    >>> found = pulsator_stress(
    ...     force_N=40e3, load_diameter_mm=128, teeth=24, normal_module_mm=5, pressure_angle_deg=20,
    ...     profile_shift=0, tip_diameter_mm=130, face_width_mm=30, rack_dedendum=1.4, rack_root_radius=0.3)
    >>> round(found.form_factor, 2), round(found.stress_MPa)
    (2.57, 1031)
    """
    alpha = np.radians(array(pressure_angle_deg))
    base = array(teeth) * array(normal_module_mm) * np.cos(alpha)
    _check(array(force_N), array(load_diameter_mm), base, array(tip_diameter_mm))
    form = root_form(
        teeth=teeth,
        normal_module_mm=normal_module_mm,
        pressure_angle_deg=pressure_angle_deg,
        helix_angle_deg=0.0,
        profile_shift=profile_shift,
        tip_diameter_mm=tip_diameter_mm,
        rack_dedendum=rack_dedendum,
        rack_root_radius=rack_root_radius,
        residual_undercut_mm=residual_undercut_mm,
        virtual_contact_ratio=1.0,  # the whole force on one tooth
        overlap_ratio=0.0,
        load_point=LoadPoint.GIVEN_DIAMETER,
        load_diameter_mm=load_diameter_mm,
    )
    tangential = array(force_N) * np.cos(alpha)
    factors = array(form.form_factor) * array(form.stress_correction_factor)
    return PulsatorStress(
        form=form,
        force_N=force_N,
        pressure_angle_deg=pressure_angle_deg,
        normal_module_mm=normal_module_mm,
        face_width_mm=face_width_mm,
        load_diameter_mm=load_diameter_mm,
        form_factor=form.form_factor,
        stress_correction_factor=form.stress_correction_factor,
        tangential_force_N=tangential,
        stress_MPa=tangential / (array(face_width_mm) * array(normal_module_mm)) * factors,
        notices=form.notices,
    )


def _check(force: Array, acts: Array, base: Array, tip: Array) -> None:
    faults = Faults()
    faults.need(not np.any(~(force > 0)), "force_N", force, "a force above 0 N")
    faults.need(
        not np.any((acts <= base) | (acts > tip)),
        "load_diameter_mm",
        acts,
        f"a diameter above that of the base circle, {float(np.max(base)):.4g} mm, and up to that of the tip, "
        f"{float(np.min(tip)):.4g} mm",
    )
    faults.check()
