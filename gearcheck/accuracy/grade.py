"""The flank tolerance class that measured deviations keep."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar

import numpy as np

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import tolerance_method, tolerances
from gearcheck.accuracy.tolerances_1995 import TOLERANCES_1995
from gearcheck.accuracy.tolerances_2013 import TOLERANCES_2013
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term

GRADE = Method(
    key="iso1328_1_2013.class",
    title="Flank tolerance class from measured deviations",
    source="ISO 1328-1",
    edition="2013",
    clause="clause 5.3",
    status=Status.FROM_MEMORY,
    valid=tuple(limit for limit in TOLERANCES_2013.valid if limit.name != "tolerance_class"),
    implements=(
        "for each deviation the finest class whose rounded tolerance it does not exceed",
        "overall the coarsest of the classes of the deviations given; tooth to tooth does not count for it",
    ),
    leaves_out=("deviations that were not given",),
    departures=("The runout, for information in the edition of 2013, counts where it is given.",),
)
GRADE_1995 = replace(
    GRADE,
    key="iso1328_1_1995.class",
    title="Accuracy grade from measured deviations",
    edition="1995",
    clause="clauses 5 and 6",
    valid=tuple(limit for limit in TOLERANCES_1995.valid if limit.name != "tolerance_class"),
)
PARAMETERS = {
    "single_pitch": "single pitch",
    "cumulative_pitch": "cumulative pitch",
    "sector_pitch": "sector pitch",
    "adjacent_pitch": "tooth to tooth",
    "profile_slope": "profile slope",
    "profile_form": "profile form",
    "profile_total": "profile total",
    "helix_slope": "helix slope",
    "helix_form": "helix form",
    "helix_total": "helix total",
    "runout": "runout",
}
"""The deviations that have a class, as they are called, by their names."""
FOR_INFORMATION = ("adjacent_pitch",)
"""The deviations that do not count for the class of the gear."""
SIGNED = ("single_pitch", "profile_slope", "helix_slope")
"""The deviations that may be negative."""
_NOT_GIVEN = ".not_given"


@dataclass(frozen=True, kw_only=True)
class AccuracyClass(Result):
    """The class of each deviation given, and of the gear.

    `spoiled_by` names the deviations whose class is that of the gear, or that are worse than all classes; an
    array of names where the classes are arrays, empty where there is no class.
    """

    method: ClassVar[Method] = GRADE
    single_pitch: Number = term("Class of single pitch", "A_fp", words="finest class with |f_p| <= f_pT")
    cumulative_pitch: Number = term(
        "Class of total cumulative pitch", "A_Fp", words="finest class with F_p <= F_pT"
    )
    sector_pitch: Number = term("Class of sector pitch", "A_Fpk", words="finest class with F_pk <= F_pkT")
    adjacent_pitch: Number = term("Class of tooth to tooth", "A_fu", words="finest class with f_u <= f_uT")
    profile_slope: Number = term("Class of profile slope", "A_fHα", words="finest class with |f_Hα| <= f_HαT")
    profile_form: Number = term("Class of profile form", "A_ffα", words="finest class with f_fα <= f_fαT")
    profile_total: Number = term("Class of profile total", "A_Fα", words="finest class with F_α <= F_αT")
    helix_slope: Number = term("Class of helix slope", "A_fHβ", words="finest class with |f_Hβ| <= f_HβT")
    helix_form: Number = term("Class of helix form", "A_ffβ", words="finest class with f_fβ <= f_fβT")
    helix_total: Number = term("Class of helix total", "A_Fβ", words="finest class with F_β <= F_βT")
    runout: Number = term("Class of runout", "A_Fr", words="finest class with F_r <= F_rT")
    overall: Number = term(
        "Class of the gear",
        "A",
        words="coarsest of the classes of the deviations that were given, tooth to tooth apart",
    )
    spoiled_by: Any = ""


@dataclass(frozen=True, kw_only=True)
class AccuracyClass1995(AccuracyClass):
    """The same by the 1995 edition."""

    method: ClassVar[Method] = GRADE_1995


def accuracy_class(
    *,
    reference_diameter_mm: Number,
    normal_module_mm: Number,
    face_width_mm: Number,
    edition: AccuracyEdition,
    teeth: Number = None,
    helix_angle_deg: Number = 0.0,
    single_pitch_um: Number = None,
    cumulative_pitch_um: Number = None,
    sector_pitch_um: Number = None,
    adjacent_pitch_um: Number = None,
    sector_teeth: Number = None,
    profile_slope_um: Number = None,
    profile_form_um: Number = None,
    profile_total_um: Number = None,
    helix_slope_um: Number = None,
    helix_form_um: Number = None,
    helix_total_um: Number = None,
    runout_um: Number = None,
) -> AccuracyClass:
    """Return the finest class that each measured deviation keeps, and the coarsest of them.

    A = the least class of the edition with deviation <= rounded tolerance of A: 1 to 11, in 1995 0 to 12

    Parameters
    ----------
    reference_diameter_mm, normal_module_mm, face_width_mm : float or array
        d, m_n, b in mm.
    edition : AccuracyEdition
        The standard.
    teeth : int or array, optional
        z, held against the scope; the sector pitch needs it.
    helix_angle_deg : float or array
        β in °, only held against the scope.
    single_pitch_um, cumulative_pitch_um : float or array, optional
        f_p, F_p in µm.
    sector_pitch_um, adjacent_pitch_um : float or array, optional
        F_pk over k pitches, and f_u from tooth to tooth, in µm.
    sector_teeth : int or array, optional
        k; the whole number nearest z/8 where it is not given.
    profile_slope_um, profile_form_um, profile_total_um : float or array, optional
        f_Hα, f_fα, F_α in µm.
    helix_slope_um, helix_form_um, helix_total_um : float or array, optional
        f_Hβ, f_fβ, F_β in µm.
    runout_um : float or array, optional
        F_r in µm.

    Returns
    -------
    AccuracyClass
        Whole classes; None for what was not given, and a note names it. No value, also overall, with a stop
        notice, where a deviation is worse than the last class or the gear lies outside the scope.

    Raises
    ------
    InputError
        No deviation at all, a total or form below 0, a sector pitch without the number of teeth, an edition
        that is not built.

    Notes
    -----
    Source: ISO 1328-1:2013, clause 5.3, and ISO 1328-1:1995, from memory.
    Valid for: the scope of the tolerances; slopes and single pitch may have a sign, their size counts.
    Departures: the runout, for information in the edition of 2013, counts for the class where it is given.
    Checked: CLASS-13-1, CLASS-13-OVER, CLASS-13-HAND, CLASS-95-1, CLASS-13-SECTOR.

    Examples
    --------
    >>> found = accuracy_class(reference_diameter_mm=110, normal_module_mm=4, face_width_mm=30,
    ...     edition=AccuracyEdition.ISO_1328_1_2013, single_pitch_um=6.5, cumulative_pitch_um=24.0)
    >>> found.single_pitch, found.cumulative_pitch, found.overall
    (5.0, 6.0, 6.0)
    """
    measured = _measured(
        single_pitch=single_pitch_um,
        cumulative_pitch=cumulative_pitch_um,
        sector_pitch=sector_pitch_um,
        adjacent_pitch=adjacent_pitch_um,
        profile_slope=profile_slope_um,
        profile_form=profile_form_um,
        profile_total=profile_total_um,
        helix_slope=helix_slope_um,
        helix_form=helix_form_um,
        helix_total=helix_total_um,
        runout=runout_um,
    )
    scope = {
        "reference_diameter_mm": array(reference_diameter_mm),
        "normal_module_mm": array(normal_module_mm),
        "face_width_mm": array(face_width_mm),
        "teeth": array(teeth),
        "helix_angle_deg": array(helix_angle_deg),
    }
    return _graded(measured, scope, edition, sector_teeth)


def _graded(
    measured: dict[str, Array], scope: dict[str, Array], edition: AccuracyEdition, sector_teeth: Number
) -> AccuracyClass:
    classes = class_range(edition)
    if "sector_pitch" in measured and (edition is AccuracyEdition.ISO_1328_1_2013 or sector_teeth is None):
        _need_teeth(scope["teeth"])
    limits = tolerances(
        **{name: value[..., None] for name, value in scope.items()},
        tolerance_class=classes,
        edition=edition,
        sector_teeth=None if sector_teeth is None else array(sector_teeth)[..., None],
    )
    found = {
        name: _finest(value, array(getattr(limits, f"{name}_um")), classes)
        for name, value in measured.items()
    }
    kind = AccuracyClass if edition is AccuracyEdition.ISO_1328_1_2013 else AccuracyClass1995
    counted, spoiling = _overall(found, classes[-1])
    return kind(
        **{name: np.where(item > classes[-1], np.nan, item) for name, item in found.items()},
        **dict.fromkeys(PARAMETERS.keys() - found.keys()),
        overall=np.where(counted > classes[-1], np.nan, counted),
        spoiled_by=spoiling,
        notices=(
            *kind.method.outside(**scope),
            *_over(kind.method, measured, found, classes[-1]),
            *_not_given(kind.method, measured),
            *_no_tolerance(kind.method, found),
        ),
    )


def _need_teeth(teeth: Array) -> None:
    faults = Faults()
    why = "the tolerance of the sector pitch depends on the share of the teeth"
    faults.need(not np.isnan(teeth).any(), "teeth", None, "the number of teeth", why)
    faults.check()


def _overall(found: dict[str, Array], last: float) -> tuple[Array, Any]:
    """Return the coarsest class that counts, past the last where one is worse, and what has it."""
    counting = {name: item for name, item in found.items() if name not in FOR_INFORMATION}
    if not counting:
        return array(np.nan), ""
    items = np.broadcast_arrays(*counting.values())
    overall = np.maximum.reduce(items)
    words: Any = np.full(overall.shape, "", dtype=object)
    for name, item in zip(counting, items, strict=True):
        joint = np.where(words == "", "", " and ")
        words = np.where(item == overall, words + joint + PARAMETERS[name], words)
    return array(overall), words if words.ndim else str(words)


def class_range(edition: AccuracyEdition) -> Array:
    """Return all classes of an edition, the finest first.

    Parameters
    ----------
    edition : AccuracyEdition
        The standard.

    Returns
    -------
    ndarray of float
        Whole numbers, shape (classes,).

    Raises
    ------
    InputError
        An edition that is not built.

    Examples
    --------
    >>> class_range(AccuracyEdition.ISO_1328_1_1995)[[0, -1]].tolist()
    [0.0, 12.0]
    """
    method = tolerance_method(edition)
    (limit,) = (item for item in method.valid if item.name == "tolerance_class")
    return np.arange(limit.low, limit.high + 1, dtype=np.float64)


def _not_given(method: Method, measured: dict[str, Array]) -> tuple[Notice, ...]:
    left_out = [
        words for name, words in PARAMETERS.items() if name not in measured and name not in FOR_INFORMATION
    ]
    if not left_out:
        return ()
    text = f"Not given, so not in the class of the gear: {', '.join(left_out)}."
    return (Notice(Level.NOTE, f"{method.key}{_NOT_GIVEN}", text),)


def as_part(found: AccuracyClass) -> AccuracyClass:
    """Return a class as one of several that are told together: what it lacks is no lack of the gear.

    Parameters
    ----------
    found : AccuracyClass
        Of some deviations.

    Returns
    -------
    AccuracyClass
        Without the note of what was not given.

    Examples
    --------
    >>> alone = accuracy_class(edition=AccuracyEdition.ISO_1328_1_2013, reference_diameter_mm=110,
    ...     normal_module_mm=4, face_width_mm=30, single_pitch_um=6.0)
    >>> len(alone.notices), len(as_part(alone).notices)
    (1, 0)
    """
    return replace(found, notices=tuple(one for one in found.notices if not one.key.endswith(_NOT_GIVEN)))


def _measured(**deviations: Number) -> dict[str, Array]:
    """Keep what was given; a deviation given as None was not measured."""
    measured = {name: array(value) for name, value in deviations.items() if value is not None}
    faults = Faults()
    faults.need(bool(measured), "deviations", None, "at least one measured deviation in µm")
    for name, value in measured.items():
        if name not in SIGNED:
            faults.need(not (value < 0).any(), f"{name}_um", value, "a deviation of 0 µm or more")
    faults.check()
    return {name: np.abs(value) for name, value in measured.items()}


def _finest(deviation: Array, limits: Array, classes: Array) -> Array:
    """Count the classes that the deviation exceeds, on the last axis; past the last it is worse than all."""
    exceeded = (deviation[..., None] > limits).sum(axis=-1)
    known = ~np.isnan(deviation) & ~np.isnan(limits).any(axis=-1)
    return array(np.where(known, exceeded + classes[0], np.nan))


def _no_tolerance(method: Method, found: dict[str, Array]) -> tuple[Notice, ...]:
    if method is not GRADE_1995 or "adjacent_pitch" not in found:
        return ()
    text = f"{method.cite} has no tolerance of tooth to tooth, and so no class of it."
    return (Notice(Level.NOTE, f"{method.key}.adjacent_pitch", text),)


def _over(
    method: Method, measured: dict[str, Array], found: dict[str, Array], last: float
) -> Iterator[Notice]:
    for name, item in found.items():
        deviation, classes = np.broadcast_arrays(measured[name], item)
        over = classes > last
        if over.any():
            size = deviation[over][0]
            text = f"The {PARAMETERS[name]} deviation of {size:.4g} µm is worse than class {last:g}."
            yield Notice(Level.STOP, f"{method.key}.{name}", text)
