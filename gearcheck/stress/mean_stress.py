"""What is left of a root limit where the tooth is bent both ways, ISO 6336-3 and -5."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Treatment
from gearcheck.stress.inputs import Bending

METHOD = Method(
    key="iso6336_3.mean_stress",
    title="Mean stress of a root bent both ways",
    source="ISO 6336-3",
    edition="2019",
    clause="annex on the mean stress influence factor; ISO 6336-5 for the flat factor",
    status=Status.FROM_MEMORY,
    valid=(Range("stress_ratio", "R", -1.2, 0),),
    implements=("idlers, planets and reversing drives, by the stress ratio or by the flat factor 0.7",),
    leaves_out=("the number of reversals of a reversing drive: each load counts as reversed", "shrink fits"),
    departures=(
        "A stress ratio above 0 earns nothing: Y_M is not above 1.",
        "Without a stress ratio the flat factor stands where the annex, at R = -1.2, does not ask for less.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class MeanStress(Result):
    """Mean stress influence factor of one root, for long life and for static strength."""

    method: ClassVar[Method] = METHOD
    bending: Bending
    stress_correction_factor: Number = term("Stress correction factor", "Y_S")
    stress_ratio: Number = term("Stress ratio, smallest over largest stress", "R")
    sensitivity: Number = term(
        "Sensitivity to the mean stress",
        "M",
        words="0.8 - 0.15·Y_S of a case; 0.4 induction-hardened; 0.3 nitrided and through-hardened",
    )
    static_sensitivity: Number = term(
        "Sensitivity to the mean stress, static",
        "M_stat",
        words="0.7 of a case; 0.6 induction-hardened; 0.5 through-hardened; 0.3 nitrided",
    )
    factor: Number = term(
        "Mean stress factor",
        "Y_M",
        words="1/(1 - R·(1 - M)/(1 + M)); no R given: 0.7, or that of R = -1.2 if less",
    )
    static_factor: Number = term(
        "Mean stress factor, static",
        "Y_Mstat",
        words="1/(1 - R·(1 - M_stat)/(1 + M_stat)); no R given: 0.7, or that of R = -1.2 if less",
    )


def mean_stress_factor(*, stress_ratio: Number, sensitivity: Number) -> Array:
    """Return the mean stress influence factor of a stress ratio.

    Y_M = 1/(1 - R (1 - M)/(1 + M))

    Parameters
    ----------
    stress_ratio : float or array
        R, smallest over largest stress of the fillet: 0 bent one way, -1 alternating.
    sensitivity : float or array
        M of the steel.

    Returns
    -------
    ndarray of float
        Y_M; 1 from R = 0 on.

    Notes
    -----
    Source: ISO 6336-3, annex on the mean stress influence factor, from memory.
    Valid for: R from -1.2 to 0.
    Departures: not above 1.
    Checked: ISO3-MEAN.

    Examples
    --------
    >>> print(mean_stress_factor(stress_ratio=[0, -1, -1.2], sensitivity=0.5).round(4))
    [1.     0.75   0.7143]
    """
    ratio, M = np.minimum(array(stress_ratio), 0.0), array(sensitivity)
    return array(1 / (1 - ratio * (1 - M) / (1 + M)))


def reversed_stress_ratio(*, load_ratio: Number) -> Array:
    """Return the stress ratio of an idler, a planet or a reversing drive.

    R = -1.2 · load per face width of the lesser over that of the greater loaded flank

    Parameters
    ----------
    load_ratio : float or array
        Load per face width of the lesser loaded flank over that of the other, 0 to 1.

    Returns
    -------
    ndarray of float
        R; the compression of a fillet is 1.2 times its tension.

    Raises
    ------
    InputError
        A ratio outside 0 to 1.

    Notes
    -----
    Source: ISO 6336-3, annex on the mean stress influence factor, from memory.
    Valid for: idlers and planets.
    Departures: a reversing drive takes it too, with the loads of its two directions.
    Checked: ISO3-MEAN.

    Examples
    --------
    >>> print(reversed_stress_ratio(load_ratio=[0, 1]))
    [-0.  -1.2]
    """
    ratio = array(load_ratio)
    faults = Faults()
    faults.need(not np.any((ratio < 0) | (ratio > 1)), "load_ratio", load_ratio, "a number from 0 to 1")
    faults.check()
    return -table("iso6336_3_mean_stress").value("compression over tension in a fillet") * ratio


def mean_stress(
    *,
    bending: Bending,
    stress_correction_factor: Number,
    stress_ratio: Number = None,
    treatment: Treatment = Treatment.CASE_CARBURISED,
) -> MeanStress | None:
    """Return the mean stress influence factor of a root.

    Parameters
    ----------
    bending : Bending
        How the root is bent over its life.
    stress_correction_factor : float or array
        Y_S, with a grinding notch Y_Sg.
    stress_ratio : float, array or None
        R of a root bent both ways; None takes the flat factor, or that of R = -1.2 where it is less.
    treatment : Treatment
        How the teeth are hardened.

    Returns
    -------
    MeanStress or None
        None for a root bent one way: no factor.

    Raises
    ------
    InputError
        A stress ratio for a root bent one way, or one of 1 or more.
    """
    faults = Faults()
    one_way = bending is Bending.ONE_WAY
    wanted = "none for a root bent one way" if one_way else "a number below 1"
    wrong = stress_ratio is not None and (one_way or bool(np.any(array(stress_ratio) >= 1)))
    faults.need(not wrong, "stress_ratio", stress_ratio, wanted)
    faults.check()
    if one_way:
        return None
    row = table("iso6336_3_treatments").row(treatment)
    line = row["mean_constant"] - row["mean_slope"] * array(stress_correction_factor)
    M, M_stat = np.clip(line, 0.0, 1.0), array(row["mean_static"])
    given = stress_ratio is not None
    return MeanStress(
        bending=bending,
        stress_correction_factor=stress_correction_factor,
        stress_ratio=stress_ratio,
        sensitivity=M,
        static_sensitivity=M_stat,
        factor=mean_stress_factor(stress_ratio=stress_ratio, sensitivity=M) if given else _flat(M),
        static_factor=mean_stress_factor(stress_ratio=stress_ratio, sensitivity=M_stat)
        if given
        else _flat(M_stat),
        notices=METHOD.outside(stress_ratio=stress_ratio) + _notices(bending, given),
    )


def _flat(sensitivity: Array) -> Array:
    """The flat factor, or that of full load both ways where that is less."""
    flat = table("iso6336_3_mean_stress").value("reversed bending")
    return array(
        np.minimum(
            flat,
            mean_stress_factor(stress_ratio=reversed_stress_ratio(load_ratio=1.0), sensitivity=sensitivity),
        )
    )


def _notices(bending: Bending, given: bool) -> tuple[Notice, ...]:
    if given or bending is not Bending.REVERSING:
        return ()
    text = (
        "No stress ratio is given for a reversing drive: the factor stands as for full load both ways; "
        "a smaller load in reverse, or few reversals, would let it rise towards 1."
    )
    return (Notice(Level.NOTE, "iso6336_3.reversing", text),)
