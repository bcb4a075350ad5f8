"""Loaded tooth contact over one mesh cycle: load, pressure, pattern, load sharing and transmission error."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.meshing.contact_field import ContactField, contact_field, far_off, field_values
from gearcheck.meshing.error_values import corner_caution, error_values, mesh_orders_um
from gearcheck.meshing.form import (
    FlankForm,
    Misalignment,
    need_tooth_left,
    opened_um,
    standing_out_um,
)
from gearcheck.meshing.mesh_bed import MeshBed
from gearcheck.meshing.unilateral import Pressed, pressed

LOADED = Method(
    key="loaded_contact",
    title="Loaded tooth contact and static transmission error",
    source="elastic contact without tension",
    edition="",
    clause="Hertz, slice by slice, on teeth of their real outline",
    status=Status.COMMON_PRACTICE,
    valid=(Range("torque_Nm", "T_1", 0, np.inf, "N·m", Level.STOP),),
    implements=(
        "bending, shear and foundation of both gears, coupled along the face and from tooth to tooth",
        "Hertz approach of each slice by its own load",
        "tip corners that touch before the start and beyond the end of the path of contact",
        "drawn modifications of both flanks, misalignment of the axes in two planes",
    ),
    leaves_out=(
        "friction, speed, oil film, temperature; bending and torsion of the shafts, other than misalignment",
        "the higher pressure at a sharp tip corner or at the end of the face: such contact is flagged",
    ),
    departures=(
        "At a tip corner the force acts along the line of action, and its gap is that of turning the gear "
        "whose flank it is on.",
        "Each slice is a line contact of its own; they are coupled below the contact, not in it.",
        "What is drawn off is compared on the line of action. Steep flanks meet beside it and a little "
        "sooner: at module 4 by 2 % of a tip relief of 30 µm over a third of the flank, 7 % where as much "
        "root relief meets it.",
        "On 21 slices beside 81, at 60 mm of face with crowning and end relief: error within 3 %, pressure "
        "and K_Hβ within 4 %, the end of the pattern within 0.1 mm. At tip corners and ends without relief "
        "the pressure grows with the slices.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class LoadedContact(Result):
    """One mesh cycle under load. Samples come first; positions, slices or orders stand on the last axis.

    The transmission error is positive where the driven gear runs ahead; its mean under load is the wind-up.
    """

    method: ClassVar[Method] = LOADED
    torque_Nm: Number = term("Torque of the pinion", "T_1", "N·m")
    pinion_base_diameter_mm: Number = term("Base diameter, pinion", "d_b1", "mm", digits=6)
    wheel_base_diameter_mm: Number = term("Base diameter, wheel", "d_b2", "mm", digits=6)
    base_helix_angle_deg: Number = term("Base helix angle", "β_b", "°", digits=6)
    base_pitch_mm: Number = term("Transverse base pitch", "p_et", "mm")
    face_width_mm: Number = term("Common face width", "b", "mm")
    normal_force_N: Number = term("Force normal to the flanks", "F_bn", "N", "2000·T_1/(d_b1·cos(β_b))")
    position_mm: Number = term(
        "Rolled along the line of action", "s", "mm", words="even steps of one base pitch"
    )
    error_um: Number = term(
        "Transmission error on the transverse line of action",
        "TE",
        "µm",
        words="less the approach of both gears",
    )
    mean_um: Number = term("Its mean", "TE_m", "µm", words="mean over the cycle")
    peak_to_peak_um: Number = term("Its peak to peak", "TE_pp", "µm", words="largest less smallest TE")
    pinion_arcsec: Number = term("Peak to peak at the pinion", "φ_pp1", "″", "3600·180/π·TE_pp/(500·d_b1)")
    wheel_arcsec: Number = term("Peak to peak at the wheel", "φ_pp2", "″", "3600·180/π·TE_pp/(500·d_b2)")
    orders_um: Number = term("Amplitudes of the mesh orders", "TE_k", "µm", words="harmonics 1 to 5 of TE")
    largest_pressure_MPa: Number = term(
        "Largest contact pressure", "p_0max", "MPa", words="largest √(w·E_c/(π·ρ_n)) over cycle and flank"
    )
    pressure_place_mm: Number = term("Its distance from the start A", "g_p", "mm", words="along the path")
    pressure_face_mm: Number = term(
        "Its distance from the reference face", "z_p", "mm", words="middle of its slice"
    )
    face_load_N_mm: Number = term(
        "Load along the face, mean over the cycle", "w_z", "N/mm", words="by slice, per length of the face"
    )
    face_load_factor: Number = term(
        "Equivalent face load factor", "K_Hβ", "", words="largest w_z over its mean"
    )
    largest_share: Number = term("Largest share of one tooth pair", "X_max", "", words="of F_bn")
    pinion_root_share: Number = term(
        "Largest root moment, pinion", "m_1", "", words="share of the whole load at the tip"
    )
    wheel_root_share: Number = term(
        "Largest root moment, wheel", "m_2", "", words="share of the whole load at the tip"
    )
    corner_share: Number = term(
        "Largest share on tip corners", "X_k", "", words="load off the path of contact over F_bn"
    )
    face_end_share: Number = term(
        "Load at the ends of the face",
        "X_e",
        "",
        words="w_z of the end slice that carries more, over the largest w_z",
    )
    pattern_from_mm: Number = term(
        "Contact pattern along the face, from", "z_1", "mm", words="where the flanks part"
    )
    pattern_to_mm: Number = term(
        "Contact pattern along the face, to", "z_2", "mm", words="where the flanks part"
    )
    pattern_margin_mm: Number = term(
        "From the pattern to the nearer end of the face", "Δz", "mm", "min(z_1, b - z_2)"
    )
    field: ContactField


def loaded_contact(
    *,
    bed: MeshBed,
    torque_Nm: Number,
    pinion: FlankForm,
    wheel: FlankForm,
    misalignment: Misalignment | None = None,
) -> LoadedContact:
    """Return the loaded contact of a mesh over one mesh cycle.

    C·F + h(F) + e - δ ≥ 0, F ≥ 0 at each contact, ΣF = F_bn; TE = -δ/cos β_b

    Parameters
    ----------
    bed : MeshBed
        Of both gears.
    torque_Nm : float or array
        T_1, torque of the pinion in N·m, shape (...); 0 gives the unloaded error, without pressure.
    pinion, wheel : FlankForm
        Of the loaded flanks, numbers of shape (...).
    misalignment : Misalignment, optional
        Of the axes, numbers of shape (...).

    Returns
    -------
    LoadedContact
        With the contact at each position; a stop notice and no value where the torque is negative.

    Raises
    ------
    InputError
        A relief without its start, outside the flank, or larger than the tooth; samples that do not go
        together.

    Notes
    -----
    Source: elastic contact without tension, solved exactly; Hertz for each slice.
    Valid for: T_1 of 0 or more.
    Departures: slices are coupled below the contact, not in it; corner contact acts along the line of action.
    Checked: LTC-RIGID, LTC-BALANCE, LTC-HERTZ.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.meshing.compliance import gear_compliance
    >>> from gearcheck.meshing.inputs import Body
    >>> from gearcheck.meshing.mesh_bed import mesh_bed
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> gives = gear_compliance(gear=pair.pinion, pair=pair, body=Body(), face_width_mm=32)
    >>> bed = mesh_bed(pair=pair, pinion=gives, wheel=gives, positions=16, slices=5)
    >>> flank = FlankForm(from_roll_mm=pair.pinion.start_radius_mm, to_roll_mm=pair.pinion.tip_radius_mm)
    >>> found = loaded_contact(bed=bed, torque_Nm=300, pinion=flank, wheel=flank)
    >>> print(f"{found.peak_to_peak_um:.1f} µm, {found.largest_pressure_MPa:.0f} MPa")
    3.8 µm, 766 MPa
    """
    lean, torque = misalignment or Misalignment(), array(torque_Nm)
    _check(bed, torque, pinion, wheel, lean)
    torque, separation = together(torque, separation_mm(bed, pinion, wheel, lean))
    force = normal_force_N(bed, torque)
    found = under_load(bed, separation, force)
    return _told(bed, torque, force, separation, found)


def normal_force_N(bed: MeshBed, torque_Nm: Array) -> Array:  # noqa: N802 - carries its unit
    """Return the force normal to the flanks.

    2000·T_1/(d_b1·cos β_b)

    Parameters
    ----------
    bed : MeshBed
        For the pair.
    torque_Nm : ndarray
        T_1, of the pinion, N·m.

    Returns
    -------
    ndarray
        F_bn in N, of the shape of the torque.
    """
    return array(2000.0 * torque_Nm / (float(bed.pair.pinion_base_diameter_mm) * bed.lean))


def separation_mm(bed: MeshBed, pinion: FlankForm, wheel: FlankForm, lean: Misalignment) -> Array:
    """Return the separation of the undeflected flanks at each contact, normal to the flank.

    Parameters
    ----------
    bed : MeshBed
        Its contacts.
    pinion, wheel : FlankForm
        What is drawn off both flanks.
    lean : Misalignment
        Of the axes.

    Returns
    -------
    ndarray
        mm, shape (..., positions, contacts).
    """
    shape, width = bed.place_mm.shape, bed.width_mm
    face = bed.face_of.ravel()
    first, second = (one.ravel() for one in bed.rolls_mm)
    off = opened_um(lean, face, width, float(bed.pair.working_pressure_angle_deg))
    off = off - standing_out_um(pinion, first, face, width) - standing_out_um(wheel, second, face, width)
    open_mm = (off / 1000.0 + bed.corner_mm.ravel()) * bed.lean
    return array(open_mm.reshape((*open_mm.shape[:-1], *shape)))


def under_load(bed: MeshBed, separation: Array, force_N: Array, start: Array | None = None) -> Pressed:
    """Solve every position of every sample; without force rigid flanks touch.

    Parameters
    ----------
    bed : MeshBed
        With its positions.
    separation : ndarray
        mm, shape (samples, positions, contacts).
    force_N : ndarray
        Shape (samples); below 0 there is no solution.
    start : ndarray, optional
        Forces to start from, shape (..., positions, contacts).

    Returns
    -------
    Pressed
        force of shape (samples, positions, contacts), approach of shape (samples, positions): NaN where
        nothing was solved, or force or separation are not known.
    """
    positions, contacts = separation.shape[-2:]
    samples = separation.shape[:-2]
    force = np.broadcast_to(force_N[..., None], (*samples, positions)).ravel()
    known = np.flatnonzero((force > 0) & np.isfinite(force) & np.isfinite(separation).all(axis=-1).ravel())
    place = np.broadcast_to(np.arange(positions), (*samples, positions)).ravel()
    rigid = separation.min(axis=-1, where=bed.bed.usable, initial=np.inf).ravel()
    forces, approach = np.zeros((force.size, contacts)), np.where(force == 0.0, rigid, np.nan)
    solved, rounds = np.ones(force.size, dtype=np.bool_), 0
    if known.size:
        rows = separation.reshape(-1, contacts)[known]
        begun = (
            None if start is None else np.broadcast_to(start, separation.shape).reshape(-1, contacts)[known]
        )
        found = pressed(bed.bed, rows, force[known], place[known], begun)
        forces[known], solved[known] = found.force_N, found.solved
        approach[known] = np.where(found.solved, found.approach_mm, np.nan)
        rounds = found.rounds
    return Pressed(
        force_N=forces.reshape(separation.shape),
        approach_mm=approach.reshape((*samples, positions)),
        solved=solved.reshape((*samples, positions)),
        rounds=rounds,
    )


def together(torque: Array, separation: Array) -> tuple[Array, Array]:
    """Return torque and separation with the same samples.

    Parameters
    ----------
    torque : ndarray
        Shape (...).
    separation : ndarray
        Shape (..., positions, contacts).

    Returns
    -------
    torque, separation : ndarray
        Shapes (samples) and (samples, positions, contacts).
    """
    samples = np.broadcast_shapes(torque.shape, separation.shape[:-2])
    return (
        np.broadcast_to(torque, samples),
        np.broadcast_to(separation, (*samples, *separation.shape[-2:])),
    )


def _check(bed: MeshBed, torque: Array, pinion: FlankForm, wheel: FlankForm, lean: Misalignment) -> None:
    faults = Faults()
    for name, form, gear in (("pinion", pinion, bed.pair.pinion), ("wheel", wheel, bed.pair.wheel)):
        need_tooth_left(faults, name, form, float(gear.tip_thickness_mm))
    numbers = (getattr(one, item.name) for one in (pinion, wheel, lean) for item in fields(one))
    shapes = {np.shape(number) for number in numbers if not isinstance(number, str)} | {torque.shape}
    try:
        np.broadcast_shapes(*shapes)
    except ValueError:
        needed = "torque, flank forms and misalignment with samples that go together"
        faults.add("samples", ", ".join(map(str, sorted(shapes))), needed)
    faults.check()


def _told(bed: MeshBed, torque: Array, force: Array, separation: Array, found: Pressed) -> LoadedContact:
    # no force, not none: where nothing was found, or the load is none that can be
    forces = np.where(np.isnan(found.approach_mm)[..., None], np.nan, found.force_N)
    field = contact_field(bed, forces, separation, found.approach_mm)
    error = -1000.0 * found.approach_mm / bed.lean
    loaded = field_values(field, force)
    return LoadedContact(
        torque_Nm=torque,
        base_helix_angle_deg=bed.pair.base_helix_angle_deg,
        base_pitch_mm=bed.pair.base_pitch_mm,
        face_width_mm=bed.width_mm,
        normal_force_N=force,
        position_mm=bed.position_mm,
        **error_values(bed, error),
        orders_um=mesh_orders_um(error),
        **loaded,
        field=field,
        notices=_said(bed, torque, found, field, loaded),
    )


def _said(
    bed: MeshBed, torque: Array, found: Pressed, field: ContactField, loaded: dict[str, Array]
) -> tuple[Notice, ...]:
    said = [*LOADED.outside(torque_Nm=torque)]
    if (torque == 0).any():
        text = (
            "Without torque the transmission error is that of rigid flanks, and there is no contact pressure."
        )
        said.append(Notice(Level.NOTE, f"{LOADED.key}.unloaded", text))
    if not found.solved.all():
        text = f"The contact was not solved at {int((~found.solved).sum())} of {found.solved.size} positions."
        said.append(Notice(Level.STOP, f"{LOADED.key}.unsolved", text))
    said += corner_caution(LOADED.key, loaded["corner_share"])
    if far_off(bed, field.force_N):
        text = (
            "Tip corners carry load as far off the path of contact as is looked at: "
            "what lies beyond would carry too, and the teeth give way less than this."
        )
        said.append(Notice(Level.CAUTION, f"{LOADED.key}.beyond", text))
    lone = (np.nan_to_num(loaded["face_load_N_mm"]) > 0.0).sum(axis=-1) == 1
    if lone.any() and bed.face_mm.size > 1:
        text = (
            "All load stands on one edge of the face: the pressure there is that of an edge, not of a line."
        )
        said.append(Notice(Level.CAUTION, f"{LOADED.key}.edge", text))
    return tuple(said)
