"""How thick the copper plate must be that keeps carbon out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table

STOP_OFF = Method(
    key="stop_off.plating",
    title="Thickness of a copper plate against carbon",
    source="ESF-M1P30-A; The Working of Steel; aerospace drawings",
    edition="",
    clause="least thickness by process",
    status=Status.FROM_MEMORY,
    implements=("copper plate, by the process of carburising",),
    leaves_out=(
        "low pressure and plasma, for which no figure is known here",
        "paints; pinholes and bleed, which an inspection before the furnace has to find",
    ),
)


class StopOff(StrEnum):
    """The process or the practice that asks for the plate."""

    SALT_OR_PACK = "salt bath or pack"
    GAS = "gas"
    PACK_1921 = "pack, older practice"
    AEROSPACE = "aerospace drawings"


@dataclass(frozen=True, kw_only=True)
class StopOffPlating(Result):
    """The plate at hand against the least thickness."""

    method: ClassVar[Method] = STOP_OFF
    thickness_um: Number = term("Thickness of the plate", "t_p", "µm")
    least_um: Number = term("Least thickness", "t_1", "µm", words="from the table, by process")
    spare_um: Number = term("Plate to spare", "Δ_t", "µm", "t_p-t_1")


def stop_off_plating(*, process: StopOff | Sequence[StopOff], thickness_um: Number) -> StopOffPlating:
    """Return the least thickness of a copper plate, and what the plate at hand has to spare.

    Δ_t = t_p - t_1

    Parameters
    ----------
    process : StopOff or sequence of StopOff
        Process or practice, shape (samples).
    thickness_um : float or array
        t_p, µm, shape (samples).

    Returns
    -------
    StopOffPlating
        In µm; a caution where the plate is too thin.

    Raises
    ------
    InputError
        A thickness below 0 µm.

    Notes
    -----
    Source: ESF-M1P30-A and older practice, from memory; aerospace drawings, common practice.
    Valid for: copper plate without pinholes.
    Departures: none.
    Checked: CARB-15, CARB-16.

    Examples
    --------
    >>> found = stop_off_plating(process=StopOff.GAS, thickness_um=20)
    >>> round(found.least_um, 1), [str(notice.level) for notice in found.notices]
    (22.9, ['caution'])
    """
    thickness = array(thickness_um)
    faults = Faults()
    faults.need(bool((thickness >= 0).all()), "thickness_um", thickness_um, "a thickness of 0 µm or more")
    faults.check()
    known = table("stop_off_plating")
    least = array(known.value(process) if isinstance(process, str) else [known.value(one) for one in process])
    plate, needed = np.broadcast_arrays(thickness, least)
    notices: tuple[Notice, ...] = ()
    if (plate < needed).any():
        thin = plate < needed
        text = (
            f"A plate of {plate[thin].flat[0]:.3g} µm is thinner than {needed[thin].flat[0]:.3g} µm: "
            "carbon leaks."
        )
        notices = (Notice(Level.CAUTION, "stop_off.plating.thin", text),)
    return StopOffPlating(thickness_um=thickness, least_um=least, spare_um=thickness - least, notices=notices)
