"""What a tolerance class costs and gives: load factors, reserves, correction and effort, class by class."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gearcheck.accuracy.correction import ClassCorrection, class_correction
from gearcheck.accuracy.grade import class_range
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.requirements.compare import reaches
from gearcheck.review.chain import calculate
from gearcheck.review.criterion import needed_depth
from gearcheck.review.effort import ClassEffort, class_effort
from gearcheck.review.inputs import KINDS, Record
from gearcheck.review.moves import write_class
from gearcheck.review.remembered import remembered
from gearcheck.review.reserves import Turns, on_torque_scale, reserve_turns
from gearcheck.review.results import Chain, Line, MeshChain
from gearcheck.review.stations import calculated

FACTORS = (
    ("dynamic_factor", "K_V", "dynamic factor"),
    ("transverse_factor_contact", "K_Hα", "transverse load factor, contact"),
    ("transverse_factor_bending", "K_Fα", "transverse load factor, bending"),
    ("face_load_factor", "K_Hβ", "face load factor, contact"),
    ("face_factor_bending", "K_Fβ", "face load factor, bending"),
)


@dataclass(frozen=True, kw_only=True)
class FactorOverClass:
    """One load factor of one mesh at its nominal load; `values` of shape (classes,)."""

    symbol: str
    label: str
    values: Array

    @property
    def moves(self) -> bool:
        """Whether any class changes it."""
        return bool(np.ptp(self.values[~np.isnan(self.values)]) > 1e-9) if self.values.size else False


@dataclass(frozen=True, kw_only=True)
class MeshOverClass:
    """Load factors of one mesh, and the case depth that it needs in mm (NaN: no value), by class."""

    name: str
    factors: tuple[FactorOverClass, ...]
    needed_mm: Array


@dataclass(frozen=True, kw_only=True)
class MarginOverClass:
    """One requirement on the torque scale by class.

    Parameters
    ----------
    key, title : str
        Of the requirement.
    symbol : str
        Of the trade's own measure, such as S_H; empty where it has none.
    values : ndarray
        That measure, or the share of the capacity that the demand takes; shape (classes,).
    meets : ndarray of bool
        By class.
    turns : Turns
        Torque reserve by class, and where there is no value any more.
    """

    key: str
    title: str
    symbol: str
    values: Array
    meets: NDArray[np.bool_]
    turns: Turns

    @property
    def moves(self) -> bool:
        """Whether any class changes it."""
        known = self.values[~np.isnan(self.values)]
        return bool(known.size and (known.size < self.values.size or np.ptp(known) > 1e-9))


@dataclass(frozen=True, kw_only=True)
class OverClasses:
    """The slow part of the consequences, which does not depend on the class drawn."""

    meshes: tuple[MeshOverClass, ...]
    margins: tuple[MarginOverClass, ...]
    correction: ClassCorrection
    left_mm: Array


@dataclass(frozen=True, kw_only=True)
class Consequences:
    """What every class of the edition comes to; arrays have the classes on their last axis, finest first.

    Parameters
    ----------
    edition : str
        Of the classes.
    classes : ndarray
        Shape (classes,).
    drawn : float
        The class drawn for the gear; its mates, and groups with a class of their own, keep their distance.
    agreed : float or None
        The class agreed.
    meshes : tuple of MeshOverClass
        Load factors and needed case depth.
    margins : tuple of MarginOverClass
        All that stands on the torque scale.
    correction : ClassCorrection
        What brings flanks at the limits of the class into true.
    left_mm : ndarray
        The least finished case drawn less that; NaN where no case is drawn.
    effort : ClassEffort
        Relative to the class drawn; common practice.
    """

    edition: str
    classes: Array
    drawn: float
    agreed: float | None
    meshes: tuple[MeshOverClass, ...]
    margins: tuple[MarginOverClass, ...]
    correction: ClassCorrection
    left_mm: Array
    effort: ClassEffort

    @property
    def place(self) -> int:
        """The place of the class drawn."""
        return int(np.searchsorted(self.classes, self.drawn))


def consequences(record: Record) -> Consequences | None:
    """Work out all classes of the edition in one broadcast pass of the real calculation.

    Parameters
    ----------
    record : Record
        Without arrays.

    Returns
    -------
    Consequences or None
        None without [gear.accuracy]. The pass is done once for records that differ in the class alone.
    """
    drawn = record.gear.accuracy
    if drawn is None:
        return None
    classes, number = class_range(drawn.edition), float(array(drawn.tolerance_class))
    found: OverClasses = _remembered(_bare(write_class(record, classes[:, None])))
    return Consequences(
        edition=str(drawn.edition),
        classes=classes,
        drawn=number,
        agreed=None if record.required is None else float(record.required.accuracy_class),
        meshes=found.meshes,
        margins=found.margins,
        correction=found.correction,
        left_mm=found.left_mm,
        effort=class_effort(classes, number),
    )


def _bare(moved: Record) -> Record:
    """Without what no class moves, so that the memory knows the record again."""
    no_evidence: dict[str, Any] = dict.fromkeys(KINDS, ())
    return replace(moved, digest="", source_text="", **no_evidence)


def _over_classes(moved: Record) -> OverClasses:
    chain = calculate(moved)
    assert moved.gear.accuracy is not None
    size = array(moved.gear.accuracy.tolerance_class).size
    known = tuple(line for line in calculated(moved, chain) if on_torque_scale(line))
    turns = reserve_turns(moved, known, chain)
    correction = _correction(chain)
    case = moved.gear.case
    least = np.nan if case is None else array(case.finished_min_mm)
    return OverClasses(
        meshes=tuple(_mesh(moved, mesh, size) for mesh in chain.meshes),
        margins=tuple(_margin(line, turns[line.key], size) for line in known),
        correction=correction,
        left_mm=_spread(least - array(correction.stock_um) / 1000.0, size),
    )


_remembered = remembered(_over_classes)


def _correction(chain: Chain) -> ClassCorrection:
    assert chain.drawn is not None
    pair = chain.meshes[0].pair
    return class_correction(
        cumulative_pitch_um=np.ravel(array(chain.drawn.cumulative_pitch_um)),
        profile_total_um=np.ravel(array(chain.drawn.profile_total_um)),
        helix_total_um=np.ravel(array(chain.drawn.helix_total_um)),
        measuring_pressure_angle_deg=pair.transverse_pressure_angle_deg,
        base_helix_angle_deg=pair.base_helix_angle_deg,
    )


def _spread(value: Number, size: int) -> Array:
    return np.broadcast_to(np.ravel(array(value)), size).copy()


def _mesh(moved: Record, mesh: MeshChain, size: int) -> MeshOverClass:
    found = mesh.factors
    factors = (
        ()
        if found is None
        else tuple(
            FactorOverClass(symbol=symbol, label=label, values=_spread(getattr(found, name), size))
            for name, symbol, label in FACTORS
        )
    )
    return MeshOverClass(name=mesh.name, factors=factors, needed_mm=_spread(needed_depth(moved, mesh), size))


def _margin(line: Line, turns: Turns, size: int) -> MarginOverClass:
    symbol, value = (
        ("", array(line.demand) / array(line.capacity)) if line.native is None else line.native[:2]
    )
    return MarginOverClass(
        key=line.key,
        title=line.title,
        symbol=symbol,
        values=_spread(value, size),
        meets=np.broadcast_to(np.ravel(reaches(line.capacity, line.demand)), size).copy(),
        turns=Turns(factor=_spread(turns.factor, size), ends=_spread(turns.ends, size)),
    )
