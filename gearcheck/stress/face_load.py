"""Face load factor from shaft, manufacture and lead modification, ISO 6336-1 method C."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged
from gearcheck.materials.strength import StrengthLimits
from gearcheck.stress.inputs import ContactPattern, LeadModification, Shaft, ShaftLayout
from gearcheck.stress.numbers import by_range, checked_above_zero
from gearcheck.stress.running_in import mean_allowance, misalignment_allowance

_TABLE = "iso6336_1_face_load"

METHOD = Method(
    key="iso6336_1.face_load",
    title="Face load factor",
    source="ISO 6336-1",
    edition="2019",
    clause="clause 7, method C",
    status=Status.FROM_MEMORY,
    valid=(
        Range("offset_ratio", "s/l", 0, 0.3),
        Range("overhung_ratio", "s/l", 0, 0.5),
    ),
    implements=(
        "pinion between bearings or overhung, on a solid or little hollow shaft",
        "crowning, end relief, helix correction",
        "favourable contact pattern",
        "running-in",
    ),
    leaves_out=(
        "two pinions on one shaft, and a pinion with more than one mesh: its factor B* stays 1",
        "double helical gears",
        "deformation of wheel, wheel shaft, bearings and housing; loads from outside the mesh",
        "hollow shafts with an inside above half the outside",
    ),
    departures=(
        "The line load counts K_γ.",
        "Without a misalignment given, f_ma is the helix slope deviation; B_2 takes off what the lead does.",
        "The overhang counts from the middle of the nearer bearing.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class FaceLoadFactor(Result):
    """Face load factor with each step."""

    method: ClassVar[Method] = METHOD
    layout: ShaftLayout
    stiffened: bool
    lead_modification: LeadModification
    pattern: ContactPattern
    pinion_diameter_mm: Number = term("Reference diameter of the pinion", "d_1", "mm")
    face_width_mm: Number = term("Common face width", "b", "mm")
    span_mm: Number = term("Bearing span", "l", "mm")
    offset_mm: Number = term("Offset from the middle, or overhang from the bearing", "s", "mm")
    shaft_diameter_mm: Number = term("Diameter of the shaft", "d_sh", "mm")
    mean_line_load_N_mm: Number = term("Line load with K_A, K_γ and K_V", "w_m", "N/mm")
    face_stiffness: Number = term("Mesh stiffness for load along the face", "c_γβ", "N/(mm·µm)")
    helix_slope_um: Number = term("Helix slope deviation", "f_Hβ", "µm")
    helix_slope_5_um: Number = term("The same of class 5", "f_Hβ5", "µm")
    layout_constant: Number = term("Constant of the layout", "K′", words="table of layouts")
    deflection_factor: Number = term("Factor on the deflection", "B_1", words="table of lead modifications")
    manufacture_factor: Number = term("Factor on the manufacture", "B_2", words="table of lead modifications")
    bending_share: Number = term("Share of bending", "k_sh", "", "K′·l·s/d_1^2·(d_1/d_sh)^4")
    deflection_um: Number = term(
        "Misalignment by deflection of the pinion and its shaft",
        "f_sh",
        "µm",
        "0.023·w_m·(abs(1 + k_sh - 0.3) + 0.3)·(b/d_1)^2",
    )
    manufacture_um: Number = term(
        "Misalignment by manufacture", "f_ma", "µm", words="as given, else the helix slope deviation"
    )
    least_misalignment_um: Number = term("Least misalignment", "F_βxmin", "µm", "max(0.005·w_m, 0.5·f_Hβ)")
    initial_misalignment_um: Number = term(
        "Misalignment before running-in",
        "F_βx",
        "µm",
        words="1.33·B_1·f_sh + B_2·f_ma, of a favourable pattern |1.33·B_1·f_sh - f_Hβ5|; at least F_βxmin",
    )
    running_in_um: Number = term(
        "Running-in of the misalignment",
        "y_β",
        "µm",
        words="0.15·F_βx up to 6 µm; through-hardened 320/σ_Hlim·F_βx, capped above 5 m/s; mean of both",
    )
    misalignment_um: Number = term("Misalignment after running-in", "F_βy", "µm", "F_βx - y_β")
    uneven_share: Number = term("Misalignment against the deflection", "q_β", "", "F_βy·c_γβ/(2·w_m)")
    face_load_factor: Number = term(
        "Face load factor, contact", "K_Hβ", words="1 + q_β up to q_β = 1, above 2·√(q_β)"
    )


def initial_misalignment(
    *,
    deflection_um: Number,
    manufacture_um: Number,
    helix_slope_5_um: Number,
    deflection_factor: Number,
    manufacture_factor: Number,
    pattern: ContactPattern,
    least_um: Number,
) -> Array:
    """Return the misalignment of a mesh before running-in.

    F_βx = 1.33 B_1 f_sh + B_2 f_ma; with a favourable pattern |1.33 B_1 f_sh - f_Hβ5|; at least F_βx,min

    Parameters
    ----------
    deflection_um, manufacture_um : float or array
        f_sh and f_ma in µm.
    helix_slope_5_um : float or array
        f_Hβ of class 5 in µm.
    deflection_factor, manufacture_factor : float or array
        B_1 and B_2.
    pattern : ContactPattern
        Whether the contact pattern is proven to be favourable.
    least_um : float or array
        F_βx,min in µm.

    Returns
    -------
    ndarray of float
        F_βx in µm.

    Notes
    -----
    Source: ISO 6336-1, clause 7; favourable pattern as in the corrigendum of 2008.
    Valid for: method C.
    Departures: none.
    Checked: ISO1-04.

    Examples
    --------
    >>> print(initial_misalignment(
    ...     deflection_um=12, manufacture_um=8, helix_slope_5_um=6, deflection_factor=1, manufacture_factor=1,
    ...     pattern=ContactPattern.FAVOURABLE, least_um=2).round(2))
    9.96
    """
    bent = table(_TABLE).value("factor on the deflection") * array(deflection_factor) * array(deflection_um)
    if pattern is ContactPattern.FAVOURABLE:
        found = np.abs(bent - array(helix_slope_5_um))
    else:
        found = bent + array(manufacture_factor) * array(manufacture_um)
    return np.maximum(found, array(least_um))


def load_from_misalignment(
    *, misalignment_um: Number, mean_line_load_N_mm: Number, face_stiffness: Number
) -> Array:
    """Return the face load factor of a misalignment.

    q = F_βy c_γβ/(2 F_m/b); K_Hβ = 1 + q up to q = 1, above 2 √q

    Parameters
    ----------
    misalignment_um : float or array
        F_βy in µm.
    mean_line_load_N_mm : float or array
        F_m/b in N/mm.
    face_stiffness : float or array
        c_γβ in N/(mm·µm).

    Returns
    -------
    ndarray of float
        K_Hβ, 1 or more.

    Notes
    -----
    Source: ISO 6336-1, clause 7, from memory.
    Valid for: a straight misalignment; the lines meet at K_Hβ = 2.
    Departures: none.
    Checked: ISO1-05.

    Examples
    --------
    >>> print(load_from_misalignment(
    ...     misalignment_um=[10, 50], mean_line_load_N_mm=300, face_stiffness=17).round(4))
    [1.2833 2.3805]
    """
    share = array(misalignment_um) * array(face_stiffness) / (2 * array(mean_line_load_N_mm))
    return by_range(share, (1.0,), (1 + share, 2 * np.sqrt(share)))


def face_load_factor(
    *,
    shaft: Shaft,
    pinion_diameter_mm: Number,
    face_width_mm: Number,
    mean_line_load_N_mm: Number,
    face_stiffness: Number,
    helix_slope_um: Number,
    helix_slope_5_um: Number,
    pinion_limits: StrengthLimits,
    wheel_limits: StrengthLimits,
    pitch_line_velocity_m_s: Number,
) -> FaceLoadFactor:
    """Return the face load factor of a pinion on its shaft.

    f_sh = 0.023 F_m/b [|1 + K' l s/d_1² (d_1/d_sh)⁴ - 0.3| + 0.3] (b/d_1)²; K_Hβ by F_βy = F_βx - y_β

    Parameters
    ----------
    shaft : Shaft
        Bearings, place of the pinion, lead modification, contact pattern.
    pinion_diameter_mm, face_width_mm : float or array
        d_1 and common face width b in mm.
    mean_line_load_N_mm : float or array
        F_m/b = F_t K_A K_γ K_V/b in N/mm.
    face_stiffness : float or array
        c_γβ in N/(mm·µm).
    helix_slope_um, helix_slope_5_um : float or array
        f_Hβ, the larger of both gears, and that of class 5, in µm.
    pinion_limits, wheel_limits : StrengthLimits
        For the running-in.
    pitch_line_velocity_m_s : float or array
        v in m/s.

    Returns
    -------
    FaceLoadFactor
        f_sh, f_ma, F_βx, y_β, F_βy and K_Hβ; a caution outside the method's limits.

    Raises
    ------
    InputError
        A length that is not above 0, an offset or misalignment below 0.

    Notes
    -----
    Source: ISO 6336-1:2019, clause 7, method C, formulas and constants from memory.
    Valid for: s/l up to 0.3, overhung up to 0.5; one mesh on a stiff wheel.
    Departures: see the method.
    Checked: ISO1-04, ISO1-05, ISO1-KHB.

    Examples
    --------
    >>> from gearcheck.materials.inputs import Quality, Steel
    >>> from gearcheck.materials.strength import strength_limits
    >>> limits = strength_limits(steel=Steel(
    ...     grade="18CrNiMo7-6", quality=Quality.MQ, surface_hardness_HV=690, core_hardness_HV=320))
    >>> k = face_load_factor(
    ...     shaft=Shaft(layout=ShaftLayout.TOWARDS_TORQUE, span_mm=160, offset_mm=20, diameter_mm=60,
    ...                 stiffened=True, lead_modification=LeadModification.CROWNING),
    ...     pinion_diameter_mm=81.8, face_width_mm=32, mean_line_load_N_mm=490, face_stiffness=13.9,
    ...     helix_slope_um=6.5, helix_slope_5_um=6.5, pinion_limits=limits, wheel_limits=limits,
    ...     pitch_line_velocity_m_s=6.3)
    >>> round(k.deflection_um, 3), round(k.misalignment_um, 3), round(k.face_load_factor, 3)
    (3.092, 4.511, 1.064)
    """
    _check(shaft)
    width, line_load, stiffness = array(face_width_mm), array(mean_line_load_N_mm), array(face_stiffness)
    steps = _steps(
        shaft, array(pinion_diameter_mm), width, line_load, array(helix_slope_um), helix_slope_5_um
    )
    running_in = mean_allowance(
        misalignment_allowance,
        deviation_um=steps["initial_misalignment_um"],
        pinion_limits=pinion_limits,
        wheel_limits=wheel_limits,
        pitch_line_velocity_m_s=pitch_line_velocity_m_s,
    )
    left = steps["initial_misalignment_um"] - running_in
    factor = load_from_misalignment(
        misalignment_um=left, mean_line_load_N_mm=line_load, face_stiffness=stiffness
    )
    return FaceLoadFactor(
        layout=shaft.layout,
        stiffened=shaft.stiffened,
        lead_modification=shaft.lead_modification,
        pattern=shaft.pattern,
        pinion_diameter_mm=pinion_diameter_mm,
        face_width_mm=width,
        span_mm=shaft.span_mm,
        offset_mm=shaft.offset_mm,
        shaft_diameter_mm=shaft.diameter_mm,
        mean_line_load_N_mm=line_load,
        face_stiffness=stiffness,
        helix_slope_um=helix_slope_um,
        helix_slope_5_um=helix_slope_5_um,
        **steps,
        running_in_um=running_in,
        misalignment_um=left,
        uneven_share=left * stiffness / (2 * line_load),
        face_load_factor=factor,
        notices=_notices(shaft, array(pinion_diameter_mm), steps, factor),
    )


def _steps(
    shaft: Shaft, pinion: Array, width: Array, line_load: Array, slope: Array, slope_5: Number
) -> dict[str, Number]:
    """All up to the misalignment before running-in."""
    place, lead = table(_TABLE).row(shaft.layout), table(_TABLE).row(shaft.lead_modification)
    constant = place["stiffened" if shaft.stiffened else "plain"]
    bending, deflection = _deflection(shaft, constant, pinion, width, line_load)
    made = slope if shaft.misalignment_um is None else array(shaft.misalignment_um)
    least = _least(line_load, slope)
    initial = initial_misalignment(
        deflection_um=deflection,
        manufacture_um=made,
        helix_slope_5_um=slope_5,
        deflection_factor=lead["B_1"],
        manufacture_factor=lead["B_2"],
        pattern=shaft.pattern,
        least_um=least,
    )
    return {
        "layout_constant": constant,
        "deflection_factor": lead["B_1"],
        "manufacture_factor": lead["B_2"],
        "bending_share": bending,
        "deflection_um": deflection,
        "manufacture_um": made,
        "least_misalignment_um": least,
        "initial_misalignment_um": initial,
    }


def _check(shaft: Shaft) -> None:
    checked_above_zero(span_mm=shaft.span_mm, diameter_mm=shaft.diameter_mm)
    faults = Faults()
    for name, value in (("offset_mm", shaft.offset_mm), ("misalignment_um", shaft.misalignment_um)):
        faults.need(not np.any(array(value) < 0), name, value, "0 or more")
    faults.check()


def _deflection(
    shaft: Shaft, constant: float, pinion: Array, width: Array, line_load: Array
) -> tuple[Array, Array]:
    """Share of bending and f_sh."""
    value = table(_TABLE).value
    part, rate = value("part of bending and twist"), value("deflection under load")
    arm = array(shaft.span_mm) * array(shaft.offset_mm) / pinion**2
    bending = constant * arm * (pinion / array(shaft.diameter_mm)) ** 4
    shape = np.abs(1 + bending - part) + part
    return bending, rate * line_load * shape * (width / pinion) ** 2


def _least(line_load: Array, slope: Array) -> Array:
    value = table(_TABLE).value
    by_load = value("least misalignment, by line load") * line_load
    return np.maximum(by_load, value("least misalignment, by helix slope") * slope)


def _notices(shaft: Shaft, pinion: Array, steps: dict[str, Number], factor: Array) -> tuple[Notice, ...]:
    ratio = array(shaft.offset_mm) / array(shaft.span_mm)
    name = "overhung_ratio" if shaft.layout is ShaftLayout.OVERHUNG else "offset_ratio"
    found, key = list(METHOD.outside(**{name: ratio})), METHOD.key
    text = "K_Hβ = {factor:.3g}: the misalignment leaves part of the face without load."
    found += flagged(np.asarray(factor > 2), Level.CAUTION, f"{key}.part_of_face", text, factor=factor)
    slender = pinion / array(shaft.diameter_mm)
    weak = np.asarray(slender < table(_TABLE).value("diameter ratio that stiffens")) & shaft.stiffened
    text = "d_1/d_sh = {ratio:.3g} is below 1.15: such a pinion hardly stiffens its shaft."
    found += flagged(weak, Level.CAUTION, f"{key}.stiffened", text, ratio=slender)
    if shaft.lead_modification in (LeadModification.CROWNING, LeadModification.CROWNING_AGAINST_MANUFACTURE):
        whole = shaft.lead_modification is LeadModification.CROWNING
        suits = (array(steps["manufacture_um"]) + array(steps["deflection_um"]) * whole) / 2
        text = "The lead factors B_1, B_2 hold for a crowning of {suits:.3g} µm: half the misalignment met."
        found += flagged(~np.isnan(suits), Level.NOTE, f"{key}.crowning", text, suits=suits)
    return tuple(found)
