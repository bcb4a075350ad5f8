"""What comes back once a turn in the slopes of several teeth: a mounting that is off centre or askew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

TURN = Method(
    key="traces.once_a_turn",
    title="Once a turn in the slopes of several teeth",
    source="geometry of a gear that is held off centre or askew",
    edition="",
    clause="wave of order 1 of least squares",
    status=Status.COMMON_PRACTICE,
    implements=("mean, amplitude and place of one wave a turn through the teeth measured, and what remains",),
    leaves_out=("higher orders, which few teeth do not tell",),
    departures=("From three teeth the wave goes through all of them: nothing remains to judge it by.",),
)


@dataclass(frozen=True, kw_only=True)
class OnceATurn(Result):
    """The wave of one turn through the values of several teeth."""

    method: ClassVar[Method] = TURN
    mean_um: Number = term("Mean of the turn", "m", "µm", words="of least squares")
    amplitude_um: Number = term("Once a turn", "A_1", "µm", words="amplitude of least squares")
    highest_deg: Number = term("Where it is highest", "φ_1", "°", words="from tooth 1 on, as teeth count")
    rest_um: Number = term("Largest that remains", "r", "µm", words="largest size of value less wave")


def once_a_turn(*, tooth: Number, teeth: int, value_um: Number) -> OnceATurn:
    """Return what of the values of several teeth comes back once a turn.

    v_i = m + A_1 cos(360° (i - 1)/z - φ_1) + r_i, with the least sum of r_i²

    A gear held askew has such a wave in its helix slopes, one held off centre in its profile slopes; the mean
    is what the gear itself has.

    Parameters
    ----------
    tooth : array of int
        The tooth of each value, from 1, shape (values,).
    teeth : int
        z.
    value_um : array
        Values such as slopes, µm, shape (..., values).

    Returns
    -------
    OnceATurn
        Shape (...); no value, with a stop notice, from fewer than three teeth.

    Raises
    ------
    InputError
        A tooth that the gear does not have, or not one value a tooth named.

    Notes
    -----
    Source: geometry; common practice in reading charts of several teeth.
    Valid for: three teeth or more, about evenly around the gear.
    Departures: none.
    Checked: TURN-HAND, TURN-LSTSQ.

    Examples
    --------
    >>> found = once_a_turn(tooth=[1, 7, 13, 19], teeth=24, value_um=[6.0, 1.0, -4.0, 1.0])
    >>> round(found.mean_um, 6), round(found.amplitude_um, 6), round(found.highest_deg, 6)
    (1.0, 5.0, 0.0)
    """
    of, value = array(tooth), array(value_um)
    faults = Faults()
    there = of.ndim == 1 and bool(((of >= 1) & (of <= teeth) & (of == np.floor(of))).all())
    faults.need(there, "tooth", tooth, f"a list of tooth numbers from 1 to {teeth}")
    faults.need(value.ndim > 0 and value.shape[-1:] == of.shape, "value_um", value.shape, "a value a tooth")
    faults.check()
    distinct = np.unique(of).size
    turn = 2 * np.pi * (of - 1) / teeth
    parts = np.stack([np.ones_like(turn), np.cos(turn), np.sin(turn)], axis=-1)
    if distinct < table("trace_rules").value("fewest teeth"):
        nothing = np.full(value.shape[:-1], np.nan)
        return OnceATurn(
            mean_um=nothing,
            amplitude_um=nothing,
            highest_deg=nothing,
            rest_um=nothing,
            notices=(_too_few(distinct),),
        )
    mean, cosine, sine = np.moveaxis(value @ np.linalg.pinv(parts).T, -1, 0)
    rest = value - np.stack([mean, cosine, sine], axis=-1) @ parts.T
    return OnceATurn(
        mean_um=mean,
        amplitude_um=np.hypot(cosine, sine),
        highest_deg=_degrees(cosine, sine),
        rest_um=np.abs(rest).max(axis=-1),
        notices=(_exact(),) if distinct == 3 else (),
    )


def _degrees(cosine: Array, sine: Array) -> Array:
    return array(np.degrees(np.arctan2(sine, cosine)) % 360.0)


def _too_few(distinct: int) -> Notice:
    text = f"What comes back once a turn cannot be told from {distinct} teeth: three or more are needed."
    return Notice(Level.STOP, f"{TURN.key}.few", text)


def _exact() -> Notice:
    text = "One wave a turn goes through any three teeth: measure a fourth to see whether it is one."
    return Notice(Level.NOTE, f"{TURN.key}.three", text)
