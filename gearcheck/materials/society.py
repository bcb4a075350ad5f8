"""What the rules of a class society allow a gear steel: beside ISO 6336-5, never governing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Steel, Treatment
from gearcheck.materials.steels import known_steel

METHOD = Method(
    key="class_society.limits",
    title="Limits of a gear steel by the rules of a class society",
    source="Lloyd's Register, Rules for Naval Ships, Volume 2, Part 3, Chapter 1, Section 7",
    edition="",
    clause="tables 1.7.1 and 1.7.2",
    status=Status.PUBLISHED,
    implements=(
        "bending: case-carburised, nitrided, induction-hardened, through-hardened alloy steel",
        "contact: a pair of two through-hardened gears",
    ),
    leaves_out=(
        "contact of hard surfaces, carbon steel, and the factors and safeties that the rules ask for",
        "nitrocarburised steel: it is not taken for nitrided",
    ),
    departures=("A carburising steel with chromium, nickel and molybdenum counts as group A, else B.",),
)


@dataclass(frozen=True, kw_only=True)
class ClassSocietyLimits(Result):
    """Limits of the rules, without a value where the rules that were seen have none."""

    method: ClassVar[Method] = METHOD
    grade: str
    treatment: Treatment
    surface_hardness_HV: Number = term("Lowest specified surface hardness", "HV_s", "HV")
    tensile_strength_MPa: Number = term("Tensile strength", "σ_B", "MPa")
    root_limit_MPa: Number = term(
        "Limit of bending by the rules",
        "σ_Flim",
        "MPa",
        words="450 or 410 by group of a case, 390 nitrided, 0.35·HV_s + 125 induction-hardened, "
        "0.1·σ_B + 185 through-hardened",
    )
    flank_limit_MPa: Number = term(
        "Limit of contact by the rules",
        "σ_Hlim",
        "MPa",
        words="0.46·σ_B + 255 of two through-hardened gears; else none was seen",
    )


def class_society_limits(*, steel: Steel, tensile_strength_MPa: Number = None) -> ClassSocietyLimits:
    """Return what the rules of a class society allow a steel, to stand beside ISO 6336-5.

    σ_Flim: case 450 or 410, nitrided 390, induction-hardened 0.35 HV + 125, through-hardened 0.1 σ_B + 185;
    σ_Hlim of two through-hardened gears 0.46 σ_B + 255

    Parameters
    ----------
    steel : Steel
        Grade, treatment and surface hardness; the quality is of no effect.
    tensile_strength_MPa : float, array or None
        σ_B of a through-hardened steel, for the contact limit that of the wheel.

    Returns
    -------
    ClassSocietyLimits
        σ_Flim and σ_Hlim in MPa; None with a note where the rules that were seen have none.

    Raises
    ------
    InputError
        A grade that is not known for the treatment.

    Notes
    -----
    Source: the rules named, tables 1.7.1 and 1.7.2, page seen.
    Valid for: marine gears under those rules; it governs nothing here.
    Departures: the group of a carburising steel follows from its elements.
    Checked: ISO5-02.

    Examples
    --------
    >>> from gearcheck.materials.inputs import Quality
    >>> steel = Steel(grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320)
    >>> class_society_limits(steel=steel).root_limit_MPa
    450.0
    """
    grade = known_steel(steel.grade, treatment=steel.treatment)
    given = {
        "surface hardness": array(steel.surface_hardness_HV),
        "tensile strength": array(tensile_strength_MPa),
    }
    root = _limit(f"bending, {_row_of(grade, steel.treatment)}", given)
    flank = _limit(f"contact, {steel.treatment}", given)
    return ClassSocietyLimits(
        grade=grade,
        treatment=steel.treatment,
        surface_hardness_HV=steel.surface_hardness_HV,
        tensile_strength_MPa=tensile_strength_MPa,
        root_limit_MPa=root,
        flank_limit_MPa=flank,
        notices=_notices(steel.treatment, root, flank),
    )


def _row_of(grade: str, treatment: Treatment) -> str:
    if treatment is Treatment.CASE_CARBURISED:
        family = table("steels").row(grade)["family"]
        group = "A" if all(element in family for element in ("Cr", "Ni", "Mo")) else "B"
        return f"{treatment}, group {group}"
    if treatment is Treatment.GAS_NITRIDED:
        return "nitrided"
    if treatment is Treatment.THROUGH_HARDENED and table("steels_treated").row(grade)["kind"] == "carbon":
        return "through-hardened carbon steel"
    return str(treatment)


def _limit(name: str, given: dict[str, Array]) -> Array:
    if name not in table("class_society").names:
        return array(None)
    row = table("class_society").row(name)
    if row["slope"] == 0:
        return array(row["constant"])
    return array(row["slope"] * given[row["of"]] + row["constant"])


def _notices(treatment: Treatment, root: Array, flank: Array) -> tuple[Notice, ...]:
    none = [name for name, value in (("σ_Flim", root), ("σ_Hlim", flank)) if np.all(np.isnan(value))]
    if not none:
        return ()
    why = " without a tensile strength" if treatment is Treatment.THROUGH_HARDENED else ""
    text = f"The rules that were seen give no {' and no '.join(none)} of {treatment} steel{why}."
    return (Notice(Level.STOP, "class_society.no_limit", text),)
