"""Where profile and helix are evaluated: the range of an edition, and what the slope counts over."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.accuracy.tolerances import tolerance_method
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

RANGES = Method(
    key="iso1328_1.ranges",
    title="Evaluation ranges of profile and helix",
    source="ISO 1328-1",
    edition="2013 and 1995",
    clause="evaluation ranges",
    status=Status.FROM_MEMORY,
    implements=(
        "profile: from the control diameter over 95 % (2013) or 92 % (1995) of the roll to the tip",
        "helix: the face width less 5 % of it, at most one module, at each end",
    ),
    leaves_out=("chamfers and tip rounds: the tip diameter stands for the tip form diameter",),
    departures=("The start of active profile stands for the control diameter where none is drawn.",),
)


@dataclass(frozen=True, kw_only=True)
class ProfileRange(Result):
    """Roll lengths of a profile along the transverse line of action."""

    method: ClassVar[Method] = RANGES
    base_diameter_mm: Number = term("Base diameter", "d_b", "mm", digits=6)
    tip_diameter_mm: Number = term("Tip diameter", "d_a", "mm", digits=6)
    control_diameter_mm: Number = term("Profile control diameter", "d_Cf", "mm", digits=6)
    share: Number = term("Share that is evaluated", "k_α")
    start_mm: Number = term("Roll length at the control diameter", "L_Cf", "mm", "√(d_Cf² - d_b²)/2")
    tip_mm: Number = term("Roll length at the tip", "L_a", "mm", "√(d_a² - d_b²)/2")
    end_mm: Number = term("End of the evaluation range", "L_2", "mm", "L_Cf + k_α·(L_a - L_Cf)")
    length_mm: Number = term("Profile evaluation length", "L_α", "mm", "L_2 - L_Cf")


@dataclass(frozen=True, kw_only=True)
class HelixRange(Result):
    """Face positions of a helix."""

    method: ClassVar[Method] = RANGES
    face_width_mm: Number = term("Face width", "b", "mm")
    normal_module_mm: Number = term("Normal module", "m_n", "mm")
    share: Number = term("Share of the face width left out at each end", "k_β")
    start_mm: Number = term("Start of the evaluation range", "b_1", "mm", "min(k_β·b, m_n)")
    end_mm: Number = term("End of the evaluation range", "b_2", "mm", "b - b_1")
    length_mm: Number = term("Helix evaluation length", "L_β", "mm", "b_2 - b_1")


def roll_length_mm(diameter_mm: Number, base_diameter_mm: Number) -> Array:
    """Return the roll length at a diameter along the transverse line of action.

    L = √(d² - d_b²)/2

    Parameters
    ----------
    diameter_mm, base_diameter_mm : float or array
        d, d_b in mm.

    Returns
    -------
    ndarray of float
        In mm; NaN inside the base circle.

    Examples
    --------
    >>> float(roll_length_mm(50.0, 30.0))
    20.0
    """
    diameter, base = array(diameter_mm), array(base_diameter_mm)
    square = diameter**2 - base**2
    return array(np.sqrt(np.where(square >= 0, square, np.nan)) / 2)


def profile_range(
    *,
    edition: AccuracyEdition,
    base_diameter_mm: Number,
    tip_diameter_mm: Number,
    control_diameter_mm: Number,
) -> ProfileRange:
    """Return the range of roll lengths in which profiles are evaluated.

    L_Cf = √(d_Cf² - d_b²)/2, L_a = √(d_a² - d_b²)/2, L_2 = L_Cf + k (L_a - L_Cf)

    k is 0.95 by the edition of 2013 and 0.92 by that of 1995.

    Parameters
    ----------
    edition : AccuracyEdition
        The standard.
    base_diameter_mm, tip_diameter_mm, control_diameter_mm : float or array
        d_b, d_a, d_Cf in mm.

    Returns
    -------
    ProfileRange
        In mm; no value, with a stop notice, where the control diameter does not lie between base and tip.

    Raises
    ------
    InputError
        An edition that is not built.

    Notes
    -----
    Source: ISO 1328-1:2013 and :1995, from memory.
    Valid for: external gears.
    Departures: the tip diameter stands for the tip form diameter.
    Checked: RANGE-PROFILE.

    Examples
    --------
    >>> found = profile_range(edition=AccuracyEdition.ISO_1328_1_2013, base_diameter_mm=30,
    ...     tip_diameter_mm=50, control_diameter_mm=34)
    >>> found.start_mm, found.end_mm
    (8.0, 19.4)
    """
    tolerance_method(edition)
    rule = table("trace_rules").value
    newer = edition is AccuracyEdition.ISO_1328_1_2013
    share = rule("profile share, 2013") if newer else rule("profile share, 1995")
    start, tip = (roll_length_mm(one, base_diameter_mm) for one in (control_diameter_mm, tip_diameter_mm))
    between = start < tip
    start, tip = np.where(between, start, np.nan), np.where(between, tip, np.nan)
    end = start + share * (tip - start)
    notices = () if between.all() else (_not_between(control_diameter_mm, base_diameter_mm, tip_diameter_mm),)
    return ProfileRange(
        base_diameter_mm=base_diameter_mm,
        tip_diameter_mm=tip_diameter_mm,
        control_diameter_mm=control_diameter_mm,
        share=share,
        start_mm=start,
        tip_mm=tip,
        end_mm=end,
        length_mm=end - start,
        notices=notices,
    )


def _not_between(control: Number, base: Number, tip: Number) -> Notice:
    low, at, high = (float(np.ravel(array(one))[0]) for one in (base, control, tip))
    text = (
        f"The profile control diameter of {at:.3f} mm does not lie between the base diameter of {low:.3f} mm "
        f"and the tip diameter of {high:.3f} mm: there is no range to evaluate."
    )
    return Notice(Level.STOP, f"{RANGES.key}.control_diameter", text)


def helix_range(*, edition: AccuracyEdition, face_width_mm: Number, normal_module_mm: Number) -> HelixRange:
    """Return the range of face positions in which helices are evaluated.

    b_1 = min(0.05 b, m_n), b_2 = b - b_1

    Parameters
    ----------
    edition : AccuracyEdition
        The standard; both editions say the same.
    face_width_mm, normal_module_mm : float or array
        b, m_n in mm.

    Returns
    -------
    HelixRange
        In mm from the face that positions are counted from.

    Raises
    ------
    InputError
        An edition that is not built.

    Notes
    -----
    Source: ISO 1328-1:2013 and :1995, from memory.
    Valid for: faces without chamfers, or chamfers smaller than what is left out.
    Departures: none.
    Checked: RANGE-HELIX.

    Examples
    --------
    >>> found = helix_range(edition=AccuracyEdition.ISO_1328_1_2013, face_width_mm=30, normal_module_mm=4)
    >>> found.start_mm, found.end_mm
    (1.5, 28.5)
    """
    tolerance_method(edition)
    width, module = array(face_width_mm), array(normal_module_mm)
    share = table("trace_rules").value("helix end share")
    start = np.minimum(share * width, module)
    return HelixRange(
        face_width_mm=width,
        normal_module_mm=module,
        share=share,
        start_mm=start,
        end_mm=width - start,
        length_mm=width - 2 * start,
    )
