"""Static strength of the flank at the peak load, ISO 6336-2."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.materials.hardness import HB_from_HV
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import Member, StressEdition
from gearcheck.stress.life import Damage, life_row
from gearcheck.stress.numbers import checked_above_zero
from gearcheck.stress.work_hardening import can_harden, static_work_hardening_factor, unhardened

METHOD = Method(
    key="iso6336_2.flank_static",
    title="Static strength of the flank",
    source="ISO 6336-2",
    edition="2019",
    clause="static strength at the peak load, method B",
    status=Status.FROM_MEMORY,
    implements=("the limit of a few load cycles against the contact stress of the peak load",),
    leaves_out=("yielding below the surface: a requirement of the case depth",),
    departures=("The static limit takes Z_L, Z_v, Z_R and Z_X as 1, and Z_W by its static line.",),
)

METHOD_2006 = replace(METHOD, key="iso6336_2_2006.flank_static", edition="2006")


@dataclass(frozen=True, kw_only=True)
class FlankStaticSafety(Result):
    """Static limit of the flank of one gear, what is permissible, and its safety."""

    method: ClassVar[Method] = METHOD
    stress_MPa: Number = term("Contact stress at the peak load", "σ_Hst", "MPa")
    required_safety: Number = term("Static safety agreed", "S_Hstmin")
    flank_limit_MPa: Number = term("Allowable stress number, contact", "σ_Hlim", "MPa")
    static_life_factor: Number = term("Life factor, static", "Z_NTstat", words="table of life factors")
    static_work_hardening_factor: Number = term(
        "Work-hardening factor, static",
        "Z_Wstat",
        words="1 but for a through-hardened wheel against a hard pinion",
    )
    limit_MPa: Number = term("Pitting limit, static", "σ_HGst", "MPa", "σ_Hlim·Z_NTstat·Z_Wstat")
    permissible_stress_MPa: Number = term(
        "Permissible static contact stress", "σ_HPst", "MPa", "σ_HGst/S_Hstmin"
    )
    safety: Number = term("Static safety of the flank", "S_Hst", "", "σ_HGst/σ_Hst")


@dataclass(frozen=True, kw_only=True)
class FlankStaticSafety2006(FlankStaticSafety):
    """The same by the 2006 edition, which has the same factors on the limit."""

    method: ClassVar[Method] = METHOD_2006


def flank_static_safety(
    *,
    stress_MPa: Number,
    limits: StrengthLimits,
    required_safety: Number,
    edition: StressEdition = StressEdition.ISO_6336_2019,
    mate_limits: StrengthLimits | None = None,
    member: Member | None = None,
) -> FlankStaticSafety:
    """Return the static safety of the flank of one gear at the peak load.

    S_Hst = σ_Hlim Z_NTstat Z_Wstat/σ_Hst

    Parameters
    ----------
    stress_MPa : float or array
        σ_H of this gear at the peak load, without K_A, in MPa.
    limits : StrengthLimits
        Of this gear.
    required_safety : float, array or None
        S_H at the peak load as agreed; None where nothing is agreed.
    edition : StressEdition
        Edition of ISO 6336-2; the static limit is the same in both.
    mate_limits : StrengthLimits or None
        Of the mate: a hard pinion hardens a through-hardened wheel.
    member : Member or None
        Which gear of the pair this is.

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
    Valid for: a peak of up to 1e5 load cycles.
    Departures: the static limit has no factor but Z_NT and Z_W.
    Checked: ISO2-STATIC, ISO2-STATIC-SOFT.

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
    sigma_Hlim, Z_NT = (
        array(limits.flank_limit_MPa),
        life_row(Damage.FLANK, limits.treatment)["static_factor"],
    )
    Z_W = array(1.0)
    if can_harden(limits, mate_limits, member):
        Z_W = static_work_hardening_factor(
            wheel_hardness_HB=HB_from_HV(hardness_HV=limits.surface_hardness_HV)
        )
    limit = sigma_Hlim * Z_NT * Z_W
    kind = FlankStaticSafety if edition is StressEdition.ISO_6336_2019 else FlankStaticSafety2006
    return kind(
        stress_MPa=stress_MPa,
        required_safety=required_safety,
        flank_limit_MPa=sigma_Hlim,
        static_life_factor=Z_NT,
        static_work_hardening_factor=Z_W,
        limit_MPa=limit,
        permissible_stress_MPa=limit / array(required_safety),
        safety=limit / array(stress_MPa),
        notices=unhardened(limits, mate_limits, member),
    )
