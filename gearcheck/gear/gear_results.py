"""What is known of one gear in its mesh, external or internal: the results and their methods."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.trochoid import Fillet, fillet_of

GEAR = Method(
    key="iso21771.gear",
    title="Geometry of an external cylindrical gear in its mesh",
    source="ISO 21771",
    edition="2007",
    clause="cylindrical involute gears; virtual number of teeth as in ISO 6336-3",
    status=Status.FROM_MEMORY,
    implements=(
        "reference, base, working pitch, tip and root diameter; tip thickness; start of active "
        "profile; root form diameter of a plain rack; undercut limits; curvature and "
        "specific sliding at the ends of contact",
    ),
    leaves_out=("tip chamfer and tip rounding; tooth thickness allowances",),
    departures=(
        "The root form diameter of an undercut gear is the crossing of the involute with the fillet that the "
        "rack's root round leaves, found by iteration.",
    ),
)

INTERNAL = Method(
    key="iso21771.internal_gear",
    title="Geometry of an internal gear and its pinion",
    source="ISO 21771",
    edition="2007",
    clause="cylindrical involute gears, negative number of teeth for an internal gear",
    status=Status.FROM_MEMORY,
    implements=(
        "reference, base, working pitch, tip and root diameter; tip thickness; start of active profile; "
        "curvature and specific sliding at the ends of contact",
    ),
    leaves_out=(
        "root form diameter of the internal gear: its pinion cutter is not an input",
        "interference of the internal gear with its cutter",
        "tip chamfer and tip rounding; tooth thickness allowances",
    ),
    departures=(
        "Teeth, diameters and centre distance are positive numbers here, where ISO 21771 has negative ones "
        "for an internal gear; the profile shift keeps its sign.",
    ),
)


@dataclass(frozen=True, slots=True)
class Mesh:
    """What both gears of a pair share.

    Parameters
    ----------
    normal_module : array
        m_n in mm.
    pressure_angle_deg, helix_angle_deg : array
        α_n and β in degrees, as given.
    pressure_angle, helix_angle : array
        The same in radians.
    centre_distance : array
        a in mm.
    transverse_angle, base_helix, working_angle : array
        α_t, β_b and α_wt in radians.
    side : float
        Sign of the centre distance in ISO 21771: 1, and -1 with an internal gear.
    """

    normal_module: Array
    pressure_angle_deg: Array
    helix_angle_deg: Array
    pressure_angle: Array
    helix_angle: Array
    centre_distance: Array
    transverse_angle: Array
    base_helix: Array
    working_angle: Array
    side: float = 1.0


@dataclass(frozen=True, kw_only=True)
class GearGeometry(Result):
    """One gear of a pair; what a stop leaves without sense is None."""

    method: ClassVar[Method] = GEAR
    internal: ClassVar[bool] = False
    teeth: Number = term("Number of teeth", "z")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    pressure_angle_deg: Number = term("Normal pressure angle", "α_n", "°")
    helix_angle_deg: Number = term("Helix angle at the reference circle", "β", "°")
    face_width_mm: Number = term("Face width", "b", "mm")
    profile_shift: Number = term("Profile shift coefficient", "x")
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm", digits=6)
    rack_dedendum: Number = term("Dedendum of the basic rack, in modules", "h_fP")
    rack_root_radius: Number = term("Root radius of the basic rack, in modules", "ρ_fP")
    protuberance_mm: Number = term("Protuberance of the hob", "pr", "mm")
    stock_min_mm: Number = term("Smallest grinding stock", "q_min", "mm")
    stock_max_mm: Number = term("Largest grinding stock", "q_max", "mm")
    centre_distance_mm: Number = term("Centre distance", "a", "mm", digits=6)
    working_pressure_angle_deg: Number = term("Working transverse pressure angle", "α_wt", "°", digits=6)
    mate_teeth: Number = term("Number of teeth of the mate", "z_mate")
    mate_tip_diameter_mm: Number = term("Tip diameter of the mate", "d_a_mate", "mm", digits=6)
    mate_base_diameter_mm: Number = term("Base diameter of the mate", "d_b_mate", "mm", digits=6)
    transverse_pressure_angle_deg: Number = term(
        "Transverse pressure angle", "α_t", "°", "atan(tan(α_n)/cos(β))", digits=6
    )
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", "asin(sin(β)·cos(α_n))", digits=6)
    reference_diameter_mm: Number = term("Reference diameter", "d", "mm", "z·m_n/cos(β)", digits=6)
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", "d·cos(α_t)", digits=6)
    working_pitch_diameter_mm: Number = term("Working pitch diameter", "d_w", "mm", "d_b/cos(α_wt)", digits=6)
    root_diameter_mm: Number = term("Root diameter", "d_f", "mm", "d - 2·m_n·(h_fP - x)", digits=6)
    virtual_teeth: Number = term("Virtual number of teeth", "z_n", "", "z/(cos(β_b)²·cos(β))")
    tooth_thickness_mm: Number = term(
        "Normal tooth thickness at the reference circle", "s_n", "mm", "m_n·(π/2 + 2·x·tan(α_n))"
    )
    tip_pressure_angle_deg: Number = term(
        "Transverse pressure angle at the tip", "α_at", "°", "acos(d_b/d_a)", digits=6
    )
    tip_helix_angle_deg: Number = term("Helix angle at the tip", "β_a", "°", "atan(d_a/d·tan(β))", digits=6)
    tip_thickness_mm: Number = term(
        "Normal tooth thickness at the tip",
        "s_an",
        "mm",
        "d_a·cos(β_a)·(s_n/(d·cos(β)) + inv(α_t) - inv(α_at))",
    )
    rack_form_height_mm: Number = term(
        "Height of the rack's straight flank below the reference circle",
        "h_Ff",
        "mm",
        "m_n·(h_fP - ρ_fP·(1 - sin(α_n)) - x)",
    )
    root_form_diameter_mm: Number = term(
        "Root form diameter, plain rack",
        "d_Ff",
        "mm",
        words="√((d·sin α_t - 2·h_Ff/sin α_t)² + d_b²); with undercut the crossing of fillet and involute",
        digits=6,
    )
    undercut_shift: Number = term(
        "Least profile shift without undercut",
        "x_min",
        "",
        "h_fP - ρ_fP·(1 - sin(α_n)) - z·sin(α_t)²/(2·cos(β))",
    )
    undercut_teeth: Number = term(
        "Least number of teeth without undercut at no shift",
        "z_min",
        "",
        "2·cos(β)·(h_fP - ρ_fP·(1 - sin(α_n)))/sin(α_t)²",
    )
    root_clearance_mm: Number = term(
        "Clearance between root and the mate's tip", "c", "mm", "a - (d_f + d_a_mate)/2"
    )
    start_radius_mm: Number = term(
        "Transverse radius of curvature at the start of active profile",
        "ρ_Nf",
        "mm",
        "max(a·sin(α_wt) - √(d_a_mate² - d_b_mate²)/2, 0)",
    )
    start_of_active_profile_mm: Number = term(
        "Start of active profile", "d_Nf", "mm", "√(4·ρ_Nf² + d_b²)", digits=6
    )
    tip_radius_mm: Number = term("Transverse radius of curvature at the tip", "ρ_a", "mm", "√(d_a² - d_b²)/2")
    start_sliding: Number = term(
        "Specific sliding at the start of active profile",
        "ζ_f",
        "",
        "1 - z/z_mate·(a·sin(α_wt) - ρ_Nf)/ρ_Nf",
    )
    tip_sliding: Number = term(
        "Specific sliding at the tip", "ζ_a", "", "1 - z/z_mate·(a·sin(α_wt) - ρ_a)/ρ_a"
    )

    def fillet(self, clearance_mm: Number) -> Fillet:
        """Return its fillet for a protuberance that exceeds the stock by `clearance_mm`."""
        return fillet_of(
            teeth=array(self.teeth),
            normal_module=array(self.normal_module_mm),
            pressure_angle=np.radians(array(self.pressure_angle_deg)),
            helix_angle=np.radians(array(self.helix_angle_deg)),
            profile_shift=array(self.profile_shift),
            rack_dedendum=array(self.rack_dedendum),
            rack_root_radius=array(self.rack_root_radius),
            clearance=array(clearance_mm),
        )


@dataclass(frozen=True, kw_only=True)
class InternalPinion(GearGeometry):
    """The pinion of an internal gear."""

    method: ClassVar[Method] = INTERNAL
    root_clearance_mm: Number = term(
        "Clearance between root and the mate's tip", "c", "mm", "(d_a_mate - d_f)/2 - a"
    )
    start_radius_mm: Number = term(
        "Transverse radius of curvature at the start of active profile",
        "ρ_Nf",
        "mm",
        "max(√(d_a_mate² - d_b_mate²)/2 - a·sin(α_wt), 0)",
    )
    start_sliding: Number = term(
        "Specific sliding at the start of active profile",
        "ζ_f",
        "",
        "1 - z/z_mate·(ρ_Nf + a·sin(α_wt))/ρ_Nf",
    )
    tip_sliding: Number = term(
        "Specific sliding at the tip", "ζ_a", "", "1 - z/z_mate·(ρ_a + a·sin(α_wt))/ρ_a"
    )


_CUTTER = "left out: follows from the pinion cutter"


@dataclass(frozen=True, kw_only=True)
class InternalGear(GearGeometry):
    """An internal gear; positive numbers, the profile shift with the sign of ISO 21771."""

    method: ClassVar[Method] = INTERNAL
    internal: ClassVar[bool] = True
    root_diameter_mm: Number = term("Root diameter", "d_f", "mm", "d + 2·m_n·(h_fP - x)", digits=6)
    tip_thickness_mm: Number = term(
        "Normal tooth thickness at the tip",
        "s_an",
        "mm",
        "d_a·cos(β_a)·(s_n/(d·cos(β)) - inv(α_t) + inv(α_at))",
    )
    rack_form_height_mm: Number = term(
        "Height of the rack's straight flank below the reference circle", "h_Ff", "mm", words=_CUTTER
    )
    root_form_diameter_mm: Number = term("Root form diameter", "d_Ff", "mm", words=_CUTTER, digits=6)
    undercut_shift: Number = term("Least profile shift without undercut", "x_min", words=_CUTTER)
    undercut_teeth: Number = term("Least number of teeth without undercut", "z_min", words=_CUTTER)
    root_clearance_mm: Number = term(
        "Clearance between root and the mate's tip", "c", "mm", "(d_f - d_a_mate)/2 - a"
    )
    start_radius_mm: Number = term(
        "Transverse radius of curvature at the start of active profile",
        "ρ_Nf",
        "mm",
        "a·sin(α_wt) + √(d_a_mate² - d_b_mate²)/2",
    )
    start_sliding: Number = term(
        "Specific sliding at the start of active profile",
        "ζ_f",
        "",
        "1 - z/z_mate·(ρ_Nf - a·sin(α_wt))/ρ_Nf",
    )
    tip_sliding: Number = term(
        "Specific sliding at the tip", "ζ_a", "", "1 - z/z_mate·(ρ_a - a·sin(α_wt))/ρ_a"
    )
