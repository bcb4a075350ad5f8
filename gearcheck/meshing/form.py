"""What is drawn off the loaded flank of a gear, how its teeth deviate from it, and how the axes lie."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.design import design_trace
from gearcheck.gear.inputs import ReliefForm


@dataclass(frozen=True, kw_only=True)
class FlankForm:
    """The micro-geometry of the loaded flank of one gear, along roll lengths and face positions.

    Parameters
    ----------
    from_roll_mm, to_roll_mm : float or array
        Roll lengths between which profile slope, crowning and bias are given: lowest point and tip, the
        longer and the shorter one of an internal gear.
    tip_relief_um, tip_relief_start_mm : float or array
        Amount at the tip, and the roll length where it starts; taken off.
    root_relief_um, root_relief_end_mm : float or array
        Amount at the lowest point, and the roll length up to which it goes.
    relief_form : ReliefForm
        Of all reliefs.
    profile_crowning_um, helix_crowning_um : float or array
        Height of the parabola over the profile and over the face width.
    profile_slope_um, helix_slope_um : float or array
        Positive where material grows towards the tip, and away from the reference face.
    end_relief_um, end_relief_length_mm : float or array
        Amount at both faces, and how far in it goes.
    bias_um : float or array
        By how much the profile slope is larger at the far face than at the reference face.
    """

    from_roll_mm: Number
    to_roll_mm: Number
    tip_relief_um: Number = 0.0
    tip_relief_start_mm: Number = None
    root_relief_um: Number = 0.0
    root_relief_end_mm: Number = None
    relief_form: ReliefForm = ReliefForm.LINEAR
    profile_crowning_um: Number = 0.0
    profile_slope_um: Number = 0.0
    helix_crowning_um: Number = 0.0
    helix_slope_um: Number = 0.0
    end_relief_um: Number = 0.0
    end_relief_length_mm: Number = None
    bias_um: Number = 0.0


@dataclass(frozen=True, kw_only=True)
class ToothDeviations:
    """How every tooth of a gear deviates from the flank drawn, on its loaded flank; positive stands out.

    Parameters
    ----------
    index_um : array
        Index deviation along the transverse line of action, shape (..., teeth), teeth in the order in which
        they come into mesh.
    profile_um : array or None
        By roll length, at even places from the lowest point to the tip, shape (..., teeth, places).
    helix_um : array or None
        By face position, at even places from face to face of the mesh, shape (..., teeth, places).
    """

    index_um: Number
    profile_um: Number = None
    helix_um: Number = None


@dataclass(frozen=True, kw_only=True)
class Misalignment:
    """How the axes of both gears lean against one another, over the common face width.

    Parameters
    ----------
    in_plane_um, out_of_plane_um : float or array
        In the plane of the axes, and across it; positive opens the flanks at the far face.
    """

    in_plane_um: Number = 0.0
    out_of_plane_um: Number = 0.0


def standing_out_um(form: FlankForm, roll: Array, face: Array, width: float) -> Array:
    """Return what is drawn onto a flank, µm on the transverse line of action, negative where it is taken off.

    Parameters
    ----------
    form : FlankForm
        Its numbers of shape (...).
    roll, face : ndarray
        Roll lengths and distances from the reference face, mm, both of shape (points,).
    width : float
        Common face width, mm.

    Returns
    -------
    ndarray
        Shape (..., points).

    Raises
    ------
    InputError
        A relief without its start, or one that starts outside the flank.

    Examples
    --------
    >>> form = FlankForm(from_roll_mm=5, to_roll_mm=15, tip_relief_um=20, tip_relief_start_mm=10)
    >>> standing_out_um(form, np.array([5.0, 12.5]), np.array([0.0, 0.0]), 30.0)
    array([  0., -10.])
    """
    # the tip of an internal gear has the shortest roll: there places are counted backwards
    low, high = array(form.from_roll_mm), array(form.to_roll_mm)
    way = -1.0 if bool((high < low).any()) else 1.0
    profile = design_trace(
        place_mm=way * roll,
        from_mm=way * low,
        to_mm=way * high,
        low_relief_um=form.root_relief_um,
        low_relief_end_mm=_along(way, form.root_relief_end_mm),
        high_relief_um=form.tip_relief_um,
        high_relief_start_mm=_along(way, form.tip_relief_start_mm),
        relief_form=form.relief_form,
        crowning_um=form.profile_crowning_um,
        slope_um=form.profile_slope_um,
    )
    inward = form.end_relief_length_mm
    helix = design_trace(
        place_mm=face,
        from_mm=0.0,
        to_mm=width,
        low_relief_um=form.end_relief_um,
        low_relief_end_mm=inward,
        high_relief_um=form.end_relief_um,
        high_relief_start_mm=None if inward is None else width - array(inward),
        relief_form=form.relief_form,
        crowning_um=form.helix_crowning_um,
        slope_um=form.helix_slope_um,
    )
    share = (roll - low[..., None]) / (high - low)[..., None]
    bias = array(form.bias_um)[..., None] * (share - 0.5) * (face / width - 0.5)
    return array(array(profile.design_um) + array(helix.design_um) + bias)


def _along(way: float, roll: Number) -> Number:
    return None if roll is None else way * array(roll)


def opened_um(lean: Misalignment, face: Array, width: float, working_angle_deg: float) -> Array:
    """Return how far the axes open the flanks, µm on the transverse line of action, shape (..., points).

    (f_in·sin α_wt + f_out·cos α_wt)·(z/b - 1/2)
    """
    angle = np.radians(working_angle_deg)
    over = array(lean.in_plane_um) * np.sin(angle) + array(lean.out_of_plane_um) * np.cos(angle)
    return array(over[..., None] * (face / width - 0.5))


def need_tooth_left(faults: Faults, name: str, form: FlankForm, tip_thickness_mm: float) -> None:
    """Note a modification that leaves no tooth: more taken off a flank than half the tooth at its tip."""
    half = 500.0 * tip_thickness_mm
    for key in ("tip_relief_um", "root_relief_um", "end_relief_um", "profile_crowning_um"):
        given = array(getattr(form, key))
        faults.need(
            not (given > half).any(),
            f"{name}.{key}",
            f"{given.max():g} µm",
            f"less than half the thickness at the tip, {half:.0f} µm",
            "larger than the tooth",
        )
