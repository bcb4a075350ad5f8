"""Modifications that are tried, and what comes of each over torques and misalignments."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.contact_field import contact_field, field_values
from gearcheck.meshing.form import FlankForm, Misalignment, need_tooth_left
from gearcheck.meshing.loaded import normal_force_N, separation_mm, under_load
from gearcheck.meshing.mesh_bed import MeshBed

Span = tuple[float, float] | None


@dataclass(frozen=True, kw_only=True)
class ReliefLimits:
    """Between which limits, in either order, modifications may lie; None leaves one as drawn.

    Parameters
    ----------
    pinion_tip_relief_um, wheel_tip_relief_um : tuple of float or None
        Amount at the tip.
    pinion_tip_relief_start_mm, wheel_tip_relief_start_mm : tuple of float or None
        Roll lengths where it starts, on the flank.
    pinion_helix_crowning_um, wheel_helix_crowning_um : tuple of float or None
        Height of the crowning over the face.
    pinion_profile_crowning_um, wheel_profile_crowning_um : tuple of float or None
        Height of the crowning over the profile.
    """

    pinion_tip_relief_um: Span = None
    pinion_tip_relief_start_mm: Span = None
    wheel_tip_relief_um: Span = None
    wheel_tip_relief_start_mm: Span = None
    pinion_helix_crowning_um: Span = None
    wheel_helix_crowning_um: Span = None
    pinion_profile_crowning_um: Span = None
    wheel_profile_crowning_um: Span = None


KEYS = tuple(item.name for item in fields(ReliefLimits))
OUTCOMES = (
    "peak_to_peak_um",
    "largest_pressure_MPa",
    "face_load_factor",
    "pinion_root_share",
    "wheel_root_share",
    "corner_share",
)


@dataclass(frozen=True)
class Trial:
    """What is tried: the mesh, its loads, and which modifications move.

    Parameters
    ----------
    bed : MeshBed
        Of both gears.
    pinion, wheel : FlankForm
        As drawn.
    torque_Nm : ndarray
        Shape (torques,), all above 0.
    misalignment : Misalignment
        Numbers of shape (cases,).
    limits : ReliefLimits
        Of what moves.
    """

    bed: MeshBed
    pinion: FlankForm
    wheel: FlankForm
    torque_Nm: Array
    misalignment: Misalignment
    limits: ReliefLimits

    @property
    def moved(self) -> tuple[str, ...]:
        """The keys of what moves."""
        return tuple(key for key in KEYS if getattr(self.limits, key) is not None)

    @property
    def spans(self) -> Array:
        """Their limits, the lower one first, shape (moved, 2)."""
        return np.sort(array([getattr(self.limits, key) for key in self.moved]), axis=-1)

    @property
    def drawn(self) -> Array:
        """What is drawn, in the order of `moved`; a relief that is not there may start anywhere."""
        values = array([self._drawn(key) for key in self.moved])
        return np.where(np.isnan(values), self.spans.mean(axis=-1), values)

    def _drawn(self, key: str) -> float:
        member, _, name = key.partition("_")
        given = getattr(self.pinion if member == "pinion" else self.wheel, name)
        return float("nan") if given is None else float(given)

    def inputs(self, candidates: Array) -> dict[str, Array]:
        """Return every modification of candidates by its key, as drawn where it does not move.

        Parameters
        ----------
        candidates : ndarray
            Shape (candidates, moved).

        Returns
        -------
        dict of ndarray
            Shape (candidates,).
        """
        moved = dict(zip(self.moved, candidates.T, strict=True))
        return {key: array(moved.get(key, np.full(len(candidates), self._drawn(key)))) for key in KEYS}

    def outcomes(self, candidates: Array) -> Array:
        """Return what comes of candidates, over all torques and misalignments.

        Parameters
        ----------
        candidates : ndarray
            Shape (candidates, moved).

        Returns
        -------
        ndarray
            In the order of `OUTCOMES`, the peak to peak the worst of all, the others the worst at the highest
            torque; shape (candidates, outcomes). NaN where a contact was not solved.
        """
        forms = self._forms(candidates)
        torque = np.sort(self.torque_Nm)
        separation = separation_mm(self.bed, *forms, self.misalignment)[:, None]
        separation = np.broadcast_to(
            separation, (len(candidates), torque.size, *separation.shape[2:])
        )  # candidates, torques, cases, positions, contacts
        force = np.broadcast_to(normal_force_N(self.bed, torque)[:, None], separation.shape[:3])
        found = under_load(self.bed, separation, force)
        error = found.approach_mm * (1000.0 / self.bed.lean)
        peak = np.ptp(error, axis=-1).max(axis=(1, 2))
        most = (one[:, -1] for one in (found.force_N, separation, found.approach_mm))
        loaded = field_values(contact_field(self.bed, *most), force[:, -1])
        worst = [loaded[key].max(axis=-1) for key in OUTCOMES[1:]]
        outcomes = np.stack([peak, *worst], axis=-1)
        return np.where(np.isnan(peak)[:, None], np.nan, outcomes)

    def _forms(self, candidates: Array) -> tuple[FlankForm, FlankForm]:
        changes: dict[str, dict[str, Any]] = {"pinion": {}, "wheel": {}}
        for key, values in zip(self.moved, candidates.T, strict=True):
            member, _, name = key.partition("_")
            changes[member][name] = values[:, None]
        return replace(self.pinion, **changes["pinion"]), replace(self.wheel, **changes["wheel"])

    def check(self) -> None:
        """Refuse what cannot be tried."""
        faults = Faults()
        torque = self.torque_Nm
        faults.need(torque.ndim == 1 and bool((torque > 0).all()), "torques_Nm", torque, "torques over 0 N·m")
        faults.need(bool(self.moved), "limits", "nothing moves", "limits of one modification or more")
        for key in self.moved:
            low, high = sorted(getattr(self.limits, key))
            member, _, name = key.partition("_")
            form = self.pinion if member == "pinion" else self.wheel
            inside = 0.0 <= low <= high
            if name.endswith("start_mm"):
                root, tip = float(form.from_roll_mm), float(form.to_roll_mm)
                inside = min(root, tip) <= low <= high <= max(root, tip) and tip not in (low, high)
            faults.need(inside, f"limits.{key}", (low, high), "two limits from 0 on, of a start on the flank")
        for member, form, gear in zip(
            ("pinion", "wheel"), (self.pinion, self.wheel), (self.bed.pair.pinion, self.bed.pair.wheel),
            strict=True,
        ):  # fmt: skip
            self._check_relief(faults, member, form, float(gear.tip_thickness_mm))
        faults.check()

    def _check_relief(self, faults: Faults, member: str, form: FlankForm, tip_thickness: float) -> None:
        amount, start = (getattr(self.limits, f"{member}_tip_relief_{end}") for end in ("um", "start_mm"))
        if amount is not None:
            need_tooth_left(
                faults, f"limits.{member}", replace(form, tip_relief_um=max(amount)), tip_thickness
            )
            known = start is not None or form.tip_relief_start_mm is not None
            name = f"limits.{member}_tip_relief_start_mm"
            faults.need(known, name, None, "where the relief may start, roll lengths in mm")
