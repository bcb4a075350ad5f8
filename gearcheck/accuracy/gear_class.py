"""The class of a gear by flank, what spoils it, and how sure it is."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.accuracy.grade import AccuracyClass, accuracy_class, as_part, class_range
from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

GEAR_CLASS = Method(
    key="gear_class",
    title="Class of the gear by flank",
    source="ISO 1328-1",
    edition="",
    clause="the coarsest class of all deviations measured, both flanks",
    status=Status.FROM_MEMORY,
    implements=("each flank for itself, what holds for both, and the coarsest of them",),
    leaves_out=("other classes agreed for the flank that carries no load",),
)


@dataclass(frozen=True, kw_only=True)
class GearClass(Result):
    """The class of each flank, of what holds for both, and of the gear.

    `spoiled_by` names the deviations that make the class of the gear, each with its flank; an array of names
    where the classes are arrays.
    """

    method: ClassVar[Method] = GEAR_CLASS
    left: AccuracyClass | None = None
    right: AccuracyClass | None = None
    both: AccuracyClass | None = None
    left_class: Number = term("Class of the left flanks", "A_L")
    right_class: Number = term("Class of the right flanks", "A_R")
    both_class: Number = term("Class of what holds for both, the runout", "A_b")
    overall: Number = term("Class of the gear", "A", words="coarsest of A_L, A_R and A_b as far as given")
    spoiled_by: Any = ""


def gear_class(
    *,
    edition: AccuracyEdition,
    sizes: Mapping[str, Number],
    left: Mapping[str, Number] | None = None,
    right: Mapping[str, Number] | None = None,
    both: Mapping[str, Number] | None = None,
) -> GearClass:
    """Return the class of each flank and of the gear, and name what spoils it.

    A = max(A_left, A_right, A_both), as far as given

    Parameters
    ----------
    edition : AccuracyEdition
        The standard.
    sizes : mapping of str to float or array
        Diameter, module, face width, teeth, helix angle and pitches of a sector, by the names that
        ``accuracy_class`` has for them.
    left, right, both : mapping of str to float or array, optional
        Deviations in µm by the names that ``accuracy_class`` has for them; `both` for the runout, which is of
        no flank.

    Returns
    -------
    GearClass
        No class of the gear where a deviation is worse than the last class; it is named all the same.

    Raises
    ------
    InputError
        No deviation at all, or what ``accuracy_class`` refuses.

    Notes
    -----
    Source: ISO 1328-1:2013, clause 5, and ISO 1328-1:1995, from memory.
    Valid for: the scope of the tolerances.
    Departures: none.
    Checked: CLASS-FLANKS.

    Examples
    --------
    >>> found = gear_class(edition=AccuracyEdition.ISO_1328_1_2013,
    ...     sizes={"reference_diameter_mm": 110, "normal_module_mm": 4, "face_width_mm": 30},
    ...     left={"single_pitch_um": 6.0}, right={"single_pitch_um": 9.0, "profile_form_um": 14.0},
    ...     both={"runout_um": 18.0})
    >>> found.left_class, found.right_class, found.overall, found.spoiled_by
    (5.0, 7.0, 7.0, 'profile form, right flank')
    """
    given = {"left": left, "right": right, "both": both}
    measured = {
        name: {key: value for key, value in values.items() if value is not None}
        for name, values in given.items()
        if values is not None
    }
    found: dict[str, Any] = {
        name: as_part(accuracy_class(edition=edition, **sizes, **values))
        for name, values in measured.items()
        if values
    }
    faults = Faults()
    faults.need(bool(found), "deviations", None, "at least one measured deviation in µm")
    faults.check()
    last = float(class_range(edition)[-1])
    overall, spoiling = _coarsest(found, last)
    return GearClass(
        **found,
        **{f"{name}_class": item.overall for name, item in found.items()},
        **{f"{name}_class": None for name in given.keys() - found.keys()},
        overall=np.where(overall > last, np.nan, overall),
        spoiled_by=spoiling,
        notices=tuple(dict.fromkeys(notice for item in found.values() for notice in item.notices)),
    )


def _coarsest(found: Mapping[str, AccuracyClass], last: float) -> tuple[Array, Any]:
    """Return the coarsest class, past the last where one is worse than all, and what makes it."""
    words = {name: np.asarray(item.spoiled_by, dtype=object) for name, item in found.items()}
    classes = {
        name: np.where(np.isnan(array(item.overall)) & (words[name] != ""), last + 1, array(item.overall))
        for name, item in found.items()
    }
    items = np.broadcast_arrays(*classes.values())
    overall = np.maximum.reduce(items)
    joined: Any = np.full(overall.shape, "", dtype=object)
    for name, item in zip(classes, items, strict=True):
        of = "" if name == "both" else f", {name} flank"
        joint = np.where(joined == "", "", "; ")
        joined = np.where((item == overall) & (words[name] != ""), joined + joint + words[name] + of, joined)
    return array(overall), joined if joined.ndim else str(joined)


@dataclass(frozen=True, kw_only=True)
class ClassWithGuard:
    """The class of measured deviations, and how sure it is.

    Parameters
    ----------
    surely_kept : AccuracyClass
        The class that is kept whatever the uncertainty: each deviation larger by the guard band.
    as_measured : AccuracyClass
        The class of the deviations as they were measured.
    no_finer_than : AccuracyClass
        The finest class that it can be: each deviation smaller by the guard band. Every finer class is surely
        not kept.
    """

    surely_kept: AccuracyClass
    as_measured: AccuracyClass
    no_finer_than: AccuracyClass


def class_with_guard(
    *,
    edition: AccuracyEdition,
    sizes: Mapping[str, Number],
    deviations: Mapping[str, Number],
    guard_um: Number | Mapping[str, Number],
) -> ClassWithGuard:
    """Return the class that measured deviations surely keep, that as measured, and the finest possible.

    A(deviation + g), A(deviation), A(deviation - g); the size of the deviation counts, not below 0

    Parameters
    ----------
    edition : AccuracyEdition
        The standard.
    sizes : mapping of str to float or array
        Diameter, module, face width, teeth, helix angle and pitches of a sector, by the names that
        ``accuracy_class`` has for them.
    deviations : mapping of str to float or array
        In µm, by the names that ``accuracy_class`` has for them.
    guard_um : float, array or mapping of str to float
        Guard band g in µm: the expanded uncertainty, or the part of it that the decision rule takes; by the
        name of the deviation where it is not one for all.

    Returns
    -------
    ClassWithGuard
        Three classes of each deviation and overall.

    Raises
    ------
    InputError
        A guard band below 0, or what ``accuracy_class`` refuses.

    Notes
    -----
    Source: ISO 14253-1, the rules for showing conformity and nonconformity, from memory.
    Valid for: deviations with an uncertainty that does not depend on the limit.
    Departures: none.
    Checked: CLASS-GUARD.

    Examples
    --------
    >>> found = class_with_guard(edition=AccuracyEdition.ISO_1328_1_2013, guard_um=1.5,
    ...     sizes={"reference_diameter_mm": 110, "normal_module_mm": 4, "face_width_mm": 30},
    ...     deviations={"single_pitch_um": 6.0})
    >>> found.surely_kept.overall, found.as_measured.overall, found.no_finer_than.overall
    (6.0, 5.0, 4.0)
    """
    measured = {name: np.abs(array(value)) for name, value in deviations.items() if value is not None}
    guards = guard_um if isinstance(guard_um, Mapping) else dict.fromkeys(measured, guard_um)
    faults = Faults()
    for name in measured:
        guard = array(guards.get(name))
        faults.need(bool((guard >= 0).all()), f"guard_um of {name}", guards.get(name), "0 µm or more")
    faults.check()

    def shifted(sign: int) -> AccuracyClass:
        moved: dict[str, Any] = {
            name: np.maximum(value + sign * array(guards[name]), 0.0) for name, value in measured.items()
        }
        return accuracy_class(edition=edition, **sizes, **moved)

    return ClassWithGuard(surely_kept=shifted(1), as_measured=shifted(0), no_finer_than=shifted(-1))
