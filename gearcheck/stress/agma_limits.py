"""Allowable stress numbers of ANSI/AGMA 2101 and what the mate's hardness adds to them."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged
from gearcheck.stress.agma_inputs import AgmaGrade, AgmaHardening, AgmaMember
from gearcheck.stress.inputs import Bending, Member

SOFTEST_HRC = {AgmaGrade.GRADE_1: 55.0, AgmaGrade.GRADE_2: 58.0, AgmaGrade.GRADE_3: 58.0}
HARD_PINION_HRC = 48.0
HARDNESS_HB = (180.0, 400.0)


def need_member(faults: Faults, name: Member, gear: AgmaMember) -> None:
    """Note what is missing or impossible of one gear."""
    for field in ("load_cycles", "size_factor", "modulus_MPa"):
        given = getattr(gear, field)
        faults.need(not np.any(array(given) <= 0), f"{name}.{field}", given, "a number above 0")
    through = gear.hardening is AgmaHardening.THROUGH_HARDENED
    field, unit = ("hardness_HB", "HB") if through else ("surface_hardness_HRC", "HRC")
    given = getattr(gear, field)
    faults.need(
        given is not None and bool(np.all(array(given) > 0)),
        f"{name}.{field}",
        given,
        f"a hardness above 0 {unit} of a {gear.hardening} gear",
    )
    rim = gear.rim_thickness_mm
    thick = rim is None or not np.any(array(rim) <= 0)
    faults.need(thick, f"{name}.rim_thickness_mm", rim, "a thickness above 0 mm, or none for a solid body")
    faults.need(
        not (through and gear.grade is AgmaGrade.GRADE_3),
        f"{name}.grade",
        gear.grade,
        "grade 1 or grade 2 of a through-hardened gear",
        "ANSI/AGMA 2101-D04 has grade 3 for carburised gears only",
    )


def allowable_contact_MPa(*, gear: AgmaMember) -> Array:  # noqa: N802 - carries its unit
    """Return the allowable contact stress number.

    Carburised by grade; through-hardened 2.22 HB + 200 in grade 1, 2.41 HB + 237 in grade 2.

    Parameters
    ----------
    gear : AgmaMember
        Hardening, grade and hardness.

    Returns
    -------
    array
        σ_HP in MPa, at 1e7 cycles and 99 % reliability.
    """
    return _allowable(gear, "σ_HP")


def allowable_bending_MPa(*, gear: AgmaMember) -> Array:  # noqa: N802 - carries its unit
    """Return the allowable bending stress number; 70 % of it for teeth that are bent both ways.

    Carburised by grade; through-hardened 0.533 HB + 88.3 in grade 1, 0.703 HB + 113 in grade 2.

    Parameters
    ----------
    gear : AgmaMember
        Hardening, grade, hardness and how its root is bent.

    Returns
    -------
    array
        σ_FP in MPa, at 3e6 cycles and 99 % reliability.
    """
    both = 1.0 if gear.bending is Bending.ONE_WAY else table("agma2101").value("two ways of bending")
    return array(_allowable(gear, "σ_FP") * both)


def _allowable(gear: AgmaMember, symbol: str) -> Array:
    number, row = table("agma2101").value, f"{symbol}, {_word(gear)}, {gear.grade}"
    if gear.hardening is AgmaHardening.CARBURISED:
        return array(number(row))
    return array(number(f"{row}, constant") + number(f"{row}, per HB") * array(gear.hardness_HB))


def _word(gear: AgmaMember) -> str:
    return "carburised" if gear.hardening is AgmaHardening.CARBURISED else "through-hardened"


def alike_hardness_ratio_factor(*, hardness_ratio: Number, gear_ratio: Number) -> Array:
    """Return Z_W of a through-hardened wheel that runs with a through-hardened pinion.

    Z_W = 1 + (0.00898 HB_1/HB_2 - 0.00829)(u - 1); 1 below a ratio of 1.2, constant above 1.7

    Parameters
    ----------
    hardness_ratio, gear_ratio : float or array
        HB_1/HB_2 of pinion and wheel, and u.

    Returns
    -------
    array
        Z_W, of the wheel alone.
    """
    number, given = table("agma2101").value, array(hardness_ratio)
    ratio = np.minimum(given, number("Z_W, largest ratio"))
    rise = number("Z_W, softer alike, ratio") * ratio + number("Z_W, softer alike, constant")
    rise = np.where(given < number("Z_W, least ratio") * (1 - 1e-12), 0.0, rise)
    return array(1 + rise * (array(gear_ratio) - 1))


def hard_pinion_hardness_ratio_factor(*, roughness_Ra_um: Number, hardness_HB: Number) -> Array:
    """Return Z_W of a through-hardened wheel that runs with a hard pinion, from 48 HRC.

    Z_W = 1 + 0.00075 exp(-0.448 Ra_1) (450 - HB_2), not below 1

    Parameters
    ----------
    roughness_Ra_um : float or array
        Ra of the pinion flank in µm.
    hardness_HB : float or array
        Of the wheel.

    Returns
    -------
    array
        Z_W, of the wheel alone.
    """
    number = table("agma2101").value
    smooth = np.exp(number("Z_W, hard pinion, per µm") * array(roughness_Ra_um))
    left = number("Z_W, hard pinion, hardness") - array(hardness_HB)
    factor = 1 + number("Z_W, hard pinion, factor") * smooth * left
    return np.maximum(factor, 1.0)


def wheel_hardness_ratio_factor(*, pinion: AgmaMember, wheel: AgmaMember, gear_ratio: Number) -> Array:
    """Return the hardness ratio factor Z_W of the wheel; that of the pinion is 1.

    Parameters
    ----------
    pinion, wheel : AgmaMember
        Both gears.
    gear_ratio : float or array
        u.

    Returns
    -------
    array
        Z_W; 1 of a carburised wheel, and where the pinion is harder but of unknown roughness.
    """
    if wheel.hardening is AgmaHardening.CARBURISED:
        return np.ones(())
    if pinion.hardening is AgmaHardening.THROUGH_HARDENED:
        ratio = array(pinion.hardness_HB) / array(wheel.hardness_HB)
        return alike_hardness_ratio_factor(hardness_ratio=ratio, gear_ratio=gear_ratio)
    if pinion.flank_roughness_Ra_um is None:
        return np.ones(())
    factor = hard_pinion_hardness_ratio_factor(
        roughness_Ra_um=pinion.flank_roughness_Ra_um, hardness_HB=wheel.hardness_HB
    )
    return np.where(array(pinion.surface_hardness_HRC) >= HARD_PINION_HRC, factor, 1.0)


def hardness_notices(name: Member, gear: AgmaMember) -> tuple[Notice, ...]:
    """Return a caution where the hardness lies outside what the allowable stress numbers are for.

    Parameters
    ----------
    name : Member
        Pinion or wheel.
    gear : AgmaMember
        Its hardness.

    Returns
    -------
    tuple of Notice
        At most one.
    """
    if gear.hardening is AgmaHardening.CARBURISED:
        hardness, least = array(gear.surface_hardness_HRC), SOFTEST_HRC[gear.grade]
        low, high, unit = least, 64.0, "HRC"
    else:
        hardness, (low, high), unit = array(gear.hardness_HB), HARDNESS_HB, "HB"
    text = (
        f"The hardness of the {name}, {{hardness:.0f}} {unit}, lies outside ANSI/AGMA 2101-D04, "
        f"{gear.grade}: {low:g} to {high:g} {unit}."
    )
    wrong = (hardness < low) | (hardness > high)
    key = f"agma2101.hardness.{name}"
    return tuple(flagged(np.asarray(wrong), Level.CAUTION, key, text, hardness=hardness))
