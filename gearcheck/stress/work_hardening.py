"""How a hard, smooth pinion work-hardens the flanks of a through-hardened wheel, ISO 6336-2."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.hardness import HB_from_HV
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import Member
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="iso6336_2.work_hardening",
    title="Work hardening of a through-hardened wheel",
    source="ISO 6336-2",
    edition="2019",
    clause="clause 13, method B",
    status=Status.FROM_MEMORY,
    valid=(Range("wheel_hardness_HB", "HB", 130, 470, "HB"),),
    implements=("a through-hardened wheel against a pinion with a hard surface, long life and static",),
    leaves_out=(
        "a through-hardened pinion harder than its through-hardened wheel: Z_W = 1, on the safe side",
        "a through-hardened pinion against a hard wheel: Z_W = 1",
    ),
    departures=(
        "The print of 2019 divides by 680 in the static line; continuity at 470 HB proves 6800.",
        "HB is taken as 0.95 HV.",
        "Beyond 130 and 470 HB the lines are held, as in the standard.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class WorkHardening(Result):
    """Work-hardening factor of a wheel with its steps."""

    method: ClassVar[Method] = METHOD
    wheel_hardness_HV: Number = term("Hardness of the wheel", "HV_2", "HV")
    wheel_hardness_HB: Number = term("The same by Brinell", "HB_2", "HB", "0.95·HV_2")
    pinion_roughness_um: Number = term("Flank roughness of the pinion", "Rz_1", "µm")
    wheel_roughness_um: Number = term("Flank roughness of the wheel", "Rz_2", "µm")
    reduced_radius_mm: Number = term("Reduced radius at the pitch point, transverse", "ρ_red", "mm")
    viscosity_40C_mm2_s: Number = term("Viscosity at 40 °C", "ν_40", "mm²/s")
    pitch_line_velocity_m_s: Number = term("Velocity at the reference circle", "v", "m/s")
    equivalent_roughness_um: Number = term(
        "Equivalent roughness",
        "Rz_H",
        "µm",
        "min(max(Rz_1·(10/ρ_red)^0.33·(Rz_1/Rz_2)^0.66/(ν_40·v/1500)^0.33, 3), 16)",
    )
    factor: Number = term(
        "Work-hardening factor",
        "Z_W",
        "",
        "(1.2 - (min(max(HB_2, 130), 470) - 130)/1700)·(3/Rz_H)^0.15",
    )
    static_factor: Number = term(
        "Work-hardening factor, static", "Z_Wstat", "", "1.05 - (min(max(HB_2, 130), 470) - 130)/6800"
    )


def work_hardening(
    *,
    wheel_hardness_HV: Number,
    pinion_roughness_um: Number,
    wheel_roughness_um: Number,
    reduced_radius_mm: Number,
    viscosity_40C_mm2_s: Number,
    pitch_line_velocity_m_s: Number,
) -> WorkHardening:
    """Return how a pinion with a hard surface work-hardens a through-hardened wheel.

    Z_W = (1.2 - (HB - 130)/1700) · (3/R_zH)^0.15; static 1.05 - (HB - 130)/6800

    Parameters
    ----------
    wheel_hardness_HV : float or array
        Of the wheel's flank.
    pinion_roughness_um, wheel_roughness_um : float or array
        Rz of both flanks before running-in, in µm.
    reduced_radius_mm : float or array
        ρ_red at the pitch point in the transverse section, in mm.
    viscosity_40C_mm2_s, pitch_line_velocity_m_s : float or array
        ν_40 in mm²/s and v in m/s.

    Returns
    -------
    WorkHardening
        Z_W for long life and static; a caution outside 130 to 470 HB.

    Raises
    ------
    InputError
        A value that is not above 0.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 13, from memory.
    Valid for: wheels of 130 to 470 HB; R_zH from 3 to 16 µm, held beyond.
    Departures: HB is 0.95 HV; the misprint of the static line is corrected.
    Checked: ISO2-07-pair; its lines ISO2-07.

    Examples
    --------
    >>> found = work_hardening(
    ...     wheel_hardness_HV=300, pinion_roughness_um=3, wheel_roughness_um=6, reduced_radius_mm=12,
    ...     viscosity_40C_mm2_s=220, pitch_line_velocity_m_s=8)
    >>> round(found.factor, 4), round(found.static_factor, 4)
    (1.1088, 1.0272)
    """
    given = {
        "wheel_hardness_HV": wheel_hardness_HV,
        "pinion_roughness_um": pinion_roughness_um,
        "wheel_roughness_um": wheel_roughness_um,
        "reduced_radius_mm": reduced_radius_mm,
        "viscosity_40C_mm2_s": viscosity_40C_mm2_s,
        "pitch_line_velocity_m_s": pitch_line_velocity_m_s,
    }
    checked_above_zero(**given)
    HB, rough = HB_from_HV(hardness_HV=wheel_hardness_HV), _equivalent_roughness(given)
    return WorkHardening(
        **given,
        wheel_hardness_HB=HB,
        equivalent_roughness_um=rough,
        factor=work_hardening_factor(wheel_hardness_HB=HB, equivalent_roughness_um=rough),
        static_factor=static_work_hardening_factor(wheel_hardness_HB=HB),
        notices=METHOD.outside(wheel_hardness_HB=HB),
    )


def _equivalent_roughness(given: dict[str, Number]) -> Array:
    value = table("iso6336_2_limits").value
    hard, soft = array(given["pinion_roughness_um"]), array(given["wheel_roughness_um"])
    film = array(given["viscosity_40C_mm2_s"]) * array(given["pitch_line_velocity_m_s"])
    curvature = value("Z_R, reference radius") / array(given["reduced_radius_mm"])
    small = value("Z_W, exponent of radius and film")
    rough = hard * curvature**small * (hard / soft) ** value("Z_W, exponent of both roughnesses")
    rough /= (film / value("Z_W, reference film")) ** small
    return np.clip(rough, value("Z_W, smallest roughness"), value("Z_W, largest roughness"))


def can_harden(limits: StrengthLimits, mate_limits: StrengthLimits | None, member: Member | None) -> bool:
    """Say whether the mate work-hardens a gear: a hard pinion a through-hardened wheel.

    Parameters
    ----------
    limits, mate_limits : StrengthLimits
        Of the gear and its mate; a mate that is not known hardens nothing.
    member : Member or None
        Which gear of the pair it is.

    Returns
    -------
    bool
        True for the wheel of such a pair alone.
    """
    return _soft_on_hard(limits, mate_limits) and member is Member.WHEEL


def unhardened(
    limits: StrengthLimits, mate_limits: StrengthLimits | None, member: Member | None
) -> tuple[Notice, ...]:
    """Say why a soft gear against a hard mate takes Z_W = 1 all the same.

    Parameters
    ----------
    limits, mate_limits : StrengthLimits
        Of the gear and its mate.
    member : Member or None
        Which gear of the pair it is.

    Returns
    -------
    tuple of Notice
        A note, or nothing.
    """
    if not _soft_on_hard(limits, mate_limits) or member is Member.WHEEL:
        return ()
    text = (
        f"Z_W = 1: {METHOD.cite} gives the factor for a through-hardened wheel against a hard pinion alone."
    )
    return (Notice(Level.NOTE, "iso6336_2.no_work_hardening", text),)


def _soft_on_hard(limits: StrengthLimits, mate_limits: StrengthLimits | None) -> bool:
    if mate_limits is None:
        return False
    return mate_limits.treatment.hard_surface and not limits.treatment.hard_surface


def work_hardening_factor(*, wheel_hardness_HB: Number, equivalent_roughness_um: Number) -> Array:
    """Return the work-hardening factor of a through-hardened wheel against a hard pinion, long life.

    Z_W = (1.2 - (HB - 130)/1700) · (3/R_zH)^0.15, HB between 130 and 470

    Parameters
    ----------
    wheel_hardness_HB : float or array
        Brinell hardness of the wheel.
    equivalent_roughness_um : float or array
        R_zH in µm.

    Returns
    -------
    ndarray of float
        Z_W for long life. Two case-hardened flanks have Z_W = 1.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 13, from memory.
    Valid for: wheels of 130 to 470 HB; held at the ends beyond.
    Departures: none.
    Checked: ISO2-07.

    Examples
    --------
    >>> print(work_hardening_factor(wheel_hardness_HB=300, equivalent_roughness_um=3).round(3))
    1.1
    """
    value = table("iso6336_2_limits").value
    rough = value("Z_R, reference roughness") / array(equivalent_roughness_um)
    return _work_hardening(array(wheel_hardness_HB), "endurance") * rough ** value("Z_W, roughness exponent")


def static_work_hardening_factor(*, wheel_hardness_HB: Number) -> Array:
    """Return the work-hardening factor of a through-hardened wheel against a hard pinion, static.

    Z_W = 1.05 - (HB - 130)/6800, HB between 130 and 470

    Parameters
    ----------
    wheel_hardness_HB : float or array
        Brinell hardness of the wheel.

    Returns
    -------
    ndarray of float
        Z_W for static strength.

    Notes
    -----
    Source: ISO 6336-2:2019, clause 13; the print has 680 for 6800, continuity at 470 HB proves it.
    Valid for: wheels of 130 to 470 HB; held at the ends beyond.
    Departures: the misprint is corrected.
    Checked: ISO2-07.

    Examples
    --------
    >>> print(static_work_hardening_factor(wheel_hardness_HB=300).round(3))
    1.025
    """
    return _work_hardening(array(wheel_hardness_HB), "static")


def _work_hardening(hardness: Array, strength: str) -> Array:
    value = table("iso6336_2_limits").value
    softest = value("Z_W, softest wheel")
    above = np.clip(hardness, softest, value("Z_W, hardest wheel")) - softest
    return array(value(f"Z_W, softest wheel, {strength}") - above / value(f"Z_W, slope divisor, {strength}"))
