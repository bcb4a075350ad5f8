"""What is drawn off the loaded flanks of a mesh, as the loaded contact takes it; what is behind the teeth."""

from __future__ import annotations

from typing import Any

from gearcheck.accuracy.inputs import Flank, FlankModification
from gearcheck.accuracy.ranges import roll_length_mm
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import array
from gearcheck.gear.inputs import ReliefForm
from gearcheck.gear.pair import GearGeometry
from gearcheck.meshing.form import FlankForm, need_tooth_left
from gearcheck.meshing.inputs import Body
from gearcheck.review.inputs import GearData
from gearcheck.review.modification import relief_place

NOT_COUNTED = "contact.design"
"""The start of the key of a notice that a relief drawn is not in the loaded contact."""
_KEYS = {"tip_relief_um": "finish.tip_relief"}
_SWAPPED = {"tip_relief_um": "root_relief_um", "root_relief_um": "tip_relief_um"}
"""In the roll of an internal gear the root comes last."""


def flank_form(
    data: GearData, geometry: GearGeometry, flank: Flank, common_mm: float, whose: str
) -> tuple[FlankForm, tuple[Notice, ...]]:
    """Return what is drawn off one flank of a gear, over the face width that both gears have in common.

    A wider gear reaches over its mate by the same length at both faces, and what is drawn over its own face
    width is cut there.

    Parameters
    ----------
    data : GearData
        With its tip relief and its modification; without samples.
    geometry : GearGeometry
        Of the gear in this mesh.
    flank : Flank
        The loaded one.
    common_mm : float
        Common face width.
    whose : str
        Whose flank, as notices call it.

    Returns
    -------
    form : FlankForm
        Without a relief whose place is not given, or lies off the flank.
    notices : tuple of Notice
        Which relief is not in it.
    """
    drawn = data.modification or FlankModification()
    base, inwards = float(geometry.base_diameter_mm), bool(data.tooth.internal)
    low = drawn.control_diameter_mm
    start = float(geometry.start_radius_mm if low is None else roll_length_mm(low, base))
    tip = float(geometry.tip_radius_mm)
    ends = (tip, start) if inwards else (start, tip)
    reliefs, said = {}, []
    for words, amount, at in (
        ("tip", data.tip_relief_um, drawn.tip_relief_start_mm),
        ("root", drawn.root_relief_um, drawn.root_relief_end_mm),
    ):
        place, why = relief_place(amount, at, base, ends)
        if why:
            said.append(_not_counted(words, float(amount), whose, why))
        reliefs[words] = {"um": 0.0 if place is None else float(amount), "mm": place}
    form = FlankForm(
        **_profile(reliefs, ends, float(drawn.profile_slope_um or 0.0), inwards=inwards),
        relief_form=drawn.relief_form or ReliefForm.LINEAR,
        profile_crowning_um=float(drawn.profile_crowning_um or 0.0),
        **_along(data, drawn, flank, common_mm, inwards=inwards),
    )
    return form, (*said, *_end_relief(drawn, float(data.tooth.face_width_mm), whose))


def _profile(
    reliefs: dict[str, dict[str, Any]], ends: tuple[float, float], slope: float, *, inwards: bool
) -> dict[str, Any]:
    """The roll of an internal gear grows towards its root."""
    high, low = ("root", "tip") if inwards else ("tip", "root")
    return {
        "from_roll_mm": ends[0],
        "to_roll_mm": ends[1],
        "tip_relief_um": reliefs[high]["um"],
        "tip_relief_start_mm": reliefs[high]["mm"],
        "root_relief_um": reliefs[low]["um"],
        "root_relief_end_mm": reliefs[low]["mm"],
        "profile_slope_um": -slope if inwards else slope,
    }


def _along(
    data: GearData, drawn: FlankModification, flank: Flank, common: float, *, inwards: bool
) -> dict[str, Any]:
    """What is drawn along the face, cut to the common face width."""
    width = float(data.tooth.face_width_mm)
    share, over = common / width, (width - common) / 2.0
    slope = drawn.left_helix_slope_um if flank is Flank.LEFT else drawn.right_helix_slope_um
    bias = float(drawn.bias_um or 0.0) * share
    amount, length = _end_relief_drawn(drawn, width)
    left = max(length - over, 0.0)
    power = 2 if drawn.relief_form is ReliefForm.PARABOLIC else 1
    return {
        "helix_crowning_um": float(drawn.helix_crowning_um or 0.0) * share**2,
        "helix_slope_um": float(slope or 0.0) * share,
        "bias_um": -bias if inwards else bias,
        "end_relief_um": amount * (left / length) ** power if left else 0.0,
        "end_relief_length_mm": left or None,
    }


def _end_relief_drawn(drawn: FlankModification, width: float) -> tuple[float, float]:
    amount, length = float(drawn.end_relief_um or 0.0), drawn.end_relief_length_mm
    if not amount or length is None or not 0 < float(length) <= width / 2:
        return 0.0, 0.0
    return amount, float(length)


def _end_relief(drawn: FlankModification, width: float, whose: str) -> tuple[Notice, ...]:
    """Say where an end relief drawn is not counted."""
    if not drawn.end_relief_um or _end_relief_drawn(drawn, width)[0]:
        return ()
    length = drawn.end_relief_length_mm
    why = (
        "its length is not given" if length is None else f"{float(length):g} mm are over half the face width"
    )
    return (_not_counted("end", float(drawn.end_relief_um), whose, why),)


def _not_counted(words: str, amount: float, whose: str, why: str) -> Notice:
    text = f"The {words} relief of {amount:.3g} µm drawn on {whose} is not in the loaded contact: {why}."
    return Notice(Level.CAUTION, f"{NOT_COUNTED}.{words}", text)


def too_much_off(form: FlankForm, geometry: GearGeometry, section: str) -> str:
    """Say which modification takes more off a flank than there is tooth; empty where none does.

    Parameters
    ----------
    form : FlankForm
        Of one gear.
    geometry : GearGeometry
        For the thickness at its tip.
    section : str
        Of the gear file, as faults call it: ``gear`` or ``mesh.mate``.

    Returns
    -------
    str
        Each with its place in the gear file.
    """
    faults = Faults()
    need_tooth_left(faults, "", form, float(array(geometry.tip_thickness_mm)))
    said = []
    for fault in faults.found:
        name = fault.field.lstrip(".")
        name = _SWAPPED.get(name, name) if geometry.internal else name
        key = _KEYS.get(name, f"modification.{name.removesuffix('_um')}")
        said.append(f"{section}.{key}: {fault.given}, {fault.why}")
    return "; ".join(said)


def body_of(data: GearData, geometry: GearGeometry) -> Body:
    """Return what is behind the teeth of a gear; an internal gear is held at the outside of its rim.

    A bore that is the inside of the rim is none of a web.
    """
    blank = data.blank
    if blank is None:
        return Body()
    rim, inwards = blank.rim_thickness_mm, bool(data.tooth.internal)
    bore = None if inwards else blank.bore_mm
    if rim is not None and bore is not None:
        inside = float(geometry.root_diameter_mm) - 2.0 * float(rim)
        bore = bore if float(bore) < inside else None
    web = None if rim is None or inwards else blank.web_thickness_mm
    return Body(bore_diameter_mm=bore, rim_thickness_mm=rim, web_thickness_mm=web)
