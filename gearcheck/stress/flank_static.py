"""Static strength of the flank at the peak load, ISO 6336-2."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.life import Damage, life_row
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="iso6336_2.flank_static",
    title="Static strength of the flank",
    source="ISO 6336-2",
    edition="2019",
    clause="static strength at the peak load, method B",
    status=Status.FROM_MEMORY,
    implements=("the limit of a few load cycles against the contact stress of the peak load",),
    leaves_out=("yielding below the surface: a requirement of the case depth",),
    departures=("The static limit takes Z_L, Z_v, Z_R, Z_W and Z_X as 1.",),
)


@dataclass(frozen=True, kw_only=True)
class FlankStaticSafety(Result):
    """Static limit of the flank of one gear, what is permissible, and its safety."""

    method: ClassVar[Method] = METHOD
    stress_MPa: Number = term("Contact stress at the peak load", "σ_Hst", "MPa")
    required_safety: Number = term("Static safety agreed", "S_Hstmin")
    flank_limit_MPa: Number = term("Allowable stress number, contact", "σ_Hlim", "MPa")
    static_life_factor: Number = term("Life factor, static", "Z_NTstat", words="table of life factors")
    limit_MPa: Number = term("Pitting limit, static", "σ_HGst", "MPa", "σ_Hlim·Z_NTstat")
    permissible_stress_MPa: Number = term(
        "Permissible static contact stress", "σ_HPst", "MPa", "σ_HGst/S_Hstmin"
    )
    safety: Number = term("Static safety of the flank", "S_Hst", "", "σ_HGst/σ_Hst")


def flank_static_safety(
    *, stress_MPa: Number, limits: StrengthLimits, required_safety: Number
) -> FlankStaticSafety:
    """Return the static safety of the flank of one gear at the peak load.

    S_Hst = σ_Hlim Z_NTstat/σ_Hst

    Parameters
    ----------
    stress_MPa : float or array
        σ_H of this gear at the peak load, without K_A, in MPa.
    limits : StrengthLimits
        Of this gear.
    required_safety : float, array or None
        S_H at the peak load as agreed; None where nothing is agreed.

    Returns
    -------
    FlankStaticSafety
        σ_HPst in MPa and S_Hst.

    Raises
    ------
    InputError
        A safety that is not above 0.

    Notes
    -----
    Source: ISO 6336-2:2019, from memory.
    Valid for: a peak of up to 1e5 load cycles of case-carburised gears.
    Departures: the static limit has no factor but Z_NT.
    Checked: ISO2-STATIC.

    Examples
    --------
    >>> from gearcheck.materials.inputs import Quality, Steel
    >>> from gearcheck.materials.strength import strength_limits
    >>> limits = strength_limits(steel=Steel(
    ...     grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320))
    >>> flank_static_safety(stress_MPa=2000, limits=limits, required_safety=1.0).safety
    1.2
    """
    checked_above_zero(required_safety=required_safety)
    limit, factor = array(limits.flank_limit_MPa), life_row(Damage.FLANK, limits.treatment)["static_factor"]
    return FlankStaticSafety(
        stress_MPa=stress_MPa,
        required_safety=required_safety,
        flank_limit_MPa=limit,
        static_life_factor=factor,
        limit_MPa=limit * factor,
        permissible_stress_MPa=limit * factor / array(required_safety),
        safety=limit * factor / array(stress_MPa),
    )
