"""The largest flaw that does not grow, at the surface and inside, and what an inspection can find of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.stress.numbers import checked_above_zero

METHOD = Method(
    key="flaws.tolerated",
    title="Largest flaw that does not grow",
    source="Murakami, Metal Fatigue: Effects of Small Defects and Nonmetallic Inclusions",
    edition="2002",
    clause="model of the root of the projected area; threshold of a crack beside it",
    status=Status.FROM_MEMORY,
    valid=(
        Range("hardness_HV", "HV", 70, 720, "HV"),
        Range("root_area_um", "√area", 10, 1000, "µm"),
    ),
    implements=(
        "fatigue limit from hardness and flaw size at the surface and inside, with mean stress",
        "threshold range of a long crack: the smaller of both sizes governs",
    ),
    leaves_out=("flaws that touch one another", "growth life of a flaw that is larger"),
    departures=(
        "Above 400 HV the model is a lower bound for the scatter of inclusions, no mean.",
        "Shear counts as in torsion of a round surface flaw, inside too.",
        "The threshold range is common practice until the steel's own is measured.",
    ),
)


class FlawPlace(StrEnum):
    """Where a flaw lies."""

    SURFACE = "surface"
    INTERIOR = "interior"


class Driving(StrEnum):
    """What drives a flaw: the normal stress across it, or shear."""

    TENSION = "tension"
    SHEAR = "shear"


@dataclass(frozen=True, kw_only=True)
class ToleratedFlaw(Result):
    """The flaw that neither the limit by hardness nor the threshold of a crack lets grow."""

    method: ClassVar[Method] = METHOD
    place: FlawPlace
    driving: Driving
    amplitude_MPa: Number = term("Stress amplitude, times the safety agreed", "σ_a", "MPa")
    mean_MPa: Number = term("Mean stress, residual stress included", "σ_m", "MPa")
    hardness_HV: Number = term("Hardness where the flaw lies", "HV", "HV")
    threshold_MPa_m05: Number = term("Threshold range of a long crack", "ΔK_th", "MPa·√m")
    constant: Number = term("Constant of the place and of what drives it", "C")
    stress_ratio: Number = term("Stress ratio", "R", "", "(σ_m - σ_a)/(σ_m + σ_a)")
    mean_exponent: Number = term("Exponent of the mean stress", "e_m", "", "0.226 + HV/10000")
    mean_factor: Number = term(
        "Mean stress factor",
        "f_m",
        words="((1 - R)/2)^e_m; 1.5^e_m at most, where compression closes the flaw",
    )
    hardness_size_um: Number = term(
        "Root of the area that the hardness tolerates",
        "a_HV",
        "µm",
        words="(C·(HV + 120)·f_m/σ_a)^6",
    )
    crack_size_um: Number = term(
        "Root of the area at the threshold of a crack",
        "a_K",
        "µm",
        words="(ΔK_th/(Y·Δσ))²/π·10^6, Δσ the tensile part, Y 0.65 at the surface, 0.5 inside",
    )
    root_area_um: Number = term("Root of the area tolerated", "a", "µm", words="the smaller of both")
    crack_length_mm: Number = term(
        "Length of a half round crack, or diameter of a round flaw, of that area",
        "l",
        "mm",
        words="surface √area·√(8/π), inside √area·√(4/π)",
    )


LARGEST_MEAN_FACTOR = 1.5


def tolerated_flaw(
    *,
    amplitude_MPa: Number,
    mean_MPa: Number,
    hardness_HV: Number,
    place: FlawPlace,
    driving: Driving = Driving.TENSION,
    threshold_MPa_m05: Number = None,
) -> ToleratedFlaw:
    """Return the largest flaw that does not grow under a stress cycle.

    σ_a = C (HV + 120)/(√area)^(1/6) · ((1 - R)/2)^(0.226 + HV/10⁴), solved for √area; ΔK = Y Δσ √(π √area)

    Parameters
    ----------
    amplitude_MPa : float or array
        σ_a in MPa, times the safety agreed.
    mean_MPa : float or array
        σ_m in MPa, residual stress included; compression is negative.
    hardness_HV : float or array
        HV where the flaw lies.
    place : FlawPlace
        At the surface or inside.
    driving : Driving
        Normal stress or shear.
    threshold_MPa_m05 : float, array or None
        ΔK_th in MPa·√m; None takes that of the table, common practice.

    Returns
    -------
    ToleratedFlaw
        √area in µm by both, the smaller of them, and the length of such a flaw; a caution outside the range.

    Raises
    ------
    InputError
        An amplitude, a hardness or a threshold that is not above 0.

    Notes
    -----
    Source: Murakami 2002, from memory; threshold of linear elastic fracture mechanics.
    Valid for: flaws from 10 to 1000 µm, 70 to 720 HV; above 400 HV a lower bound for inclusions.
    Departures: see the method.
    Checked: FLAW-01, FLAW-02, FLAW-03.

    Examples
    --------
    >>> flaw = tolerated_flaw(
    ...     amplitude_MPa=600, mean_MPa=0, hardness_HV=400, place=FlawPlace.SURFACE, threshold_MPa_m05=100)
    >>> round(flaw.hardness_size_um, 1)
    3.6
    """
    value = table("flaw_model").value
    threshold = value("threshold range, hardened case") if threshold_MPa_m05 is None else threshold_MPa_m05
    checked_above_zero(amplitude_MPa=amplitude_MPa, hardness_HV=hardness_HV, threshold_MPa_m05=threshold)
    amplitude, mean, hard = array(amplitude_MPa), array(mean_MPa), array(hardness_HV)
    constant = value(place) * (value("shear over tension") if driving is Driving.SHEAR else 1.0)
    exponent = (
        value("mean stress exponent at no hardness") + value("mean stress exponent with hardness") * hard
    )
    factor = _mean_factor(amplitude, mean, exponent)
    size = (constant * (hard + value("hardness offset")) * factor / amplitude) ** 6
    tensile = np.clip(amplitude + mean, 0.0, 2 * amplitude) if driving is Driving.TENSION else 2 * amplitude
    with np.errstate(divide="ignore"):
        reach = array(threshold) / (value(f"shape factor, {place}") * tensile)
    crack = reach**2 / np.pi * 1e6
    least = np.minimum(size, crack)
    round_flaw = 8 / np.pi if place is FlawPlace.SURFACE else 4 / np.pi
    return ToleratedFlaw(
        place=place,
        driving=driving,
        amplitude_MPa=amplitude,
        mean_MPa=mean,
        hardness_HV=hard,
        threshold_MPa_m05=threshold,
        constant=constant,
        stress_ratio=(mean - amplitude) / np.where(mean + amplitude == 0, np.nan, mean + amplitude),
        mean_exponent=exponent,
        mean_factor=factor,
        hardness_size_um=size,
        crack_size_um=np.where(np.isinf(crack), np.nan, crack),
        root_area_um=least,
        crack_length_mm=least / 1000 * np.sqrt(round_flaw),
        notices=METHOD.outside(hardness_HV=hard, root_area_um=least),
    )


def _mean_factor(amplitude: Array, mean: Array, exponent: Array) -> Array:
    """((1 - R)/2) is σ_a/(σ_a + σ_m); where compression closes the flaw the gain is not credited further."""
    opened = np.maximum(amplitude + mean, amplitude / LARGEST_MEAN_FACTOR)
    return array((amplitude / opened) ** exponent)


@dataclass(frozen=True, kw_only=True)
class Detection:
    """What one method of inspection can be expected to find.

    Parameters
    ----------
    method : str
        Its name.
    place : FlawPlace
        Where it looks.
    length_mm : float
        Length of a surface crack, or diameter of a flaw inside, that it is expected to find.
    root_area_um : float
        The same as the root of the area, in µm.
    """

    method: str
    place: FlawPlace
    length_mm: float
    root_area_um: float


def detections(place: FlawPlace) -> tuple[Detection, ...]:
    """Return what each method that looks at a place can be expected to find, the finest first.

    Parameters
    ----------
    place : FlawPlace
        Surface or interior.

    Returns
    -------
    tuple of Detection
        Lengths in mm, roots of the area in µm: half round cracks at the surface, round flaws inside.

    Notes
    -----
    Source: common practice.
    Valid for: trained people under production conditions; no probability of detection.
    Departures: none.
    Checked: FLAW-04.

    Examples
    --------
    >>> detections(FlawPlace.SURFACE)[0].length_mm
    0.8
    """
    shape = np.sqrt(np.pi / 8) if place is FlawPlace.SURFACE else np.sqrt(np.pi / 4)
    rows = [row for row in table("flaw_detection").rows if row["place"] == place]
    found = [
        Detection(
            method=row["name"],
            place=place,
            length_mm=row["length_mm"],
            root_area_um=float(row["length_mm"] * 1000 * shape),
        )
        for row in rows
    ]
    return tuple(sorted(found, key=lambda item: item.length_mm))
