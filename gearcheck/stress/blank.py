"""What the body behind the teeth does to mesh stiffness and inertia, ISO 6336-1."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.gear import GearGeometry
from gearcheck.stress.inputs import Blank

METHOD = Method(
    key="iso6336_1.gear_blank",
    title="Gear blank: stiffness and inertia",
    source="ISO 6336-1",
    edition="2019",
    clause="clause 6, reduced mass; clause 9, gear blank factor",
    status=Status.FROM_MEMORY,
    implements=("rim on a web in the stiffness", "bore, or inside of the rim, in the reduced mass"),
    leaves_out=("webs, hubs and shafts in the reduced mass", "resonance of the web itself"),
    departures=(
        "A rim without web counts as full in the stiffness.",
        "An internal gear has the inertia of the ring from its mean circle out to its rim.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class BlankFactor(Result):
    """Gear blank factor and inertia share of one gear."""

    method: ClassVar[Method] = METHOD
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    face_width_mm: Number = term("Face width", "b", "mm")
    mean_diameter_mm: Number = term("Mean of tip and root diameter", "d_m", "mm")
    rim_thickness_mm: Number = term("Rim thickness, of a disc down to its bore", "s_R", "mm")
    web_thickness_mm: Number = term("Web thickness", "b_s", "mm")
    inner_diameter_mm: Number = term(
        "Bore, or other side of the rim", "d_i", "mm", words="d_f - 2·s_R; of an internal gear d_f + 2·s_R"
    )
    diameter_ratio: Number = term("Diameter ratio", "q", "", "d_i/d_m")
    inertia_share: Number = term("Inertia against a solid disc", "j", "", "abs(1 - q^4)")
    web_ratio: Number = term(
        "Relative web thickness", "r_b", words="b_s/b, not below 0.2, not above 1.2; 1 without web"
    )
    rim_ratio: Number = term("Relative rim thickness", "r_R", "", "max(s_R/m_n, 1)")
    blank_factor: Number = term("Gear blank factor", "C_R", "", "1 + ln(r_b)/(5·exp(r_R/5))")


def gear_blank_factor(*, web_ratio: Number, rim_ratio: Number) -> Array:
    """Return the gear blank factor of a rim on a web.

    C_R = 1 + ln(b_s/b)/(5 e^(s_R/(5 m_n))), b_s/b held from 0.2 to 1.2, s_R/m_n not below 1

    Parameters
    ----------
    web_ratio : float or array
        Web thickness over face width, b_s/b.
    rim_ratio : float or array
        Rim thickness over normal module, s_R/m_n.

    Returns
    -------
    ndarray of float
        C_R, 1 for a web as wide as the teeth.

    Notes
    -----
    Source: ISO 6336-1, clause 9, from memory.
    Valid for: steel rims on a web.
    Departures: none.
    Checked: BLANK-01.

    Examples
    --------
    >>> print(gear_blank_factor(web_ratio=[0.25, 1.0], rim_ratio=3).round(4))
    [0.8478 1.    ]
    """
    value = table("iso6336_1_stiffness").value
    low, high = value("C_R, least web over face width"), value("C_R, largest web over face width")
    web = np.clip(array(web_ratio), low, high)
    rim = np.maximum(array(rim_ratio), value("C_R, least rim over module"))
    divisor = value("C_R, divisor")
    factor: Array = 1 + np.log(web) / (divisor * np.exp(rim / divisor))
    return factor


def blank_of(*, gear: GearGeometry, blank: Blank | None, name: str = "blank") -> BlankFactor | None:
    """Return the gear blank factor and the inertia share of one gear.

    Parameters
    ----------
    gear : GearGeometry
        The toothing.
    blank : Blank or None
        The body behind it.
    name : str
        What the blank is called in an error.

    Returns
    -------
    BlankFactor or None
        None for a solid disc, and for an internal gear without its rim.

    Raises
    ------
    InputError
        A size that is not above 0, a bore that leaves no rim, a web without its rim, an internal gear with a
        bore.
    """
    if blank is None or blank == Blank():
        return None
    internal = bool(getattr(gear, "internal", False))
    _check(gear, blank, name, internal)
    root = array(gear.root_diameter_mm)
    bore = 0.0 if blank.bore_mm is None else array(blank.bore_mm)
    rim = (root - bore) / 2 if blank.rim_thickness_mm is None else array(blank.rim_thickness_mm)
    inner = root + 2 * rim if internal else root - 2 * rim
    mean = (array(gear.tip_diameter_mm) + root) / 2
    width, ratio = array(gear.face_width_mm), rim / array(gear.normal_module_mm)
    web = np.ones(()) if blank.web_thickness_mm is None else array(blank.web_thickness_mm) / width
    value = table("iso6336_1_stiffness").value
    return BlankFactor(
        normal_module_mm=gear.normal_module_mm,
        face_width_mm=width,
        mean_diameter_mm=mean,
        rim_thickness_mm=rim,
        web_thickness_mm=blank.web_thickness_mm,
        inner_diameter_mm=inner,
        diameter_ratio=inner / mean,
        inertia_share=np.abs(1 - (inner / mean) ** 4),
        web_ratio=np.clip(
            web, value("C_R, least web over face width"), value("C_R, largest web over face width")
        ),
        rim_ratio=np.maximum(ratio, value("C_R, least rim over module")),
        blank_factor=gear_blank_factor(web_ratio=web, rim_ratio=ratio),
    )


def _check(gear: GearGeometry, blank: Blank, name: str, internal: bool) -> None:
    faults, root = Faults(), array(gear.root_diameter_mm)
    rim, web, bore = blank.rim_thickness_mm, blank.web_thickness_mm, blank.bore_mm
    for field, given in (("rim_thickness_mm", rim), ("web_thickness_mm", web)):
        faults.need(not np.any(array(given) <= 0), f"{name}.{field}", given, "a thickness above 0 mm")
    if internal:
        faults.need(bore is None, f"{name}.bore_mm", bore, "no bore, but the rim of an internal gear")
        faults.need(rim is not None, f"{name}.rim_thickness_mm", rim, "the rim of an internal gear")
    else:
        none_left = np.any((array(bore) < 0) | (array(bore) >= root))
        faults.need(not none_left, f"{name}.bore_mm", bore, "a bore from 0 mm to below the root diameter")
        thick = np.any(2 * array(rim) > root)
        faults.need(not thick, f"{name}.rim_thickness_mm", rim, "at most half the root diameter")
    alone = web is not None and rim is None
    faults.need(not alone, f"{name}.rim_thickness_mm", rim, "a rim thickness, where a web carries the rim")
    faults.check()
