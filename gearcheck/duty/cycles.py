"""How often a tooth is loaded in its life."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Method, Range, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term

METHOD = Method(
    key="iso6336_6.load_cycles",
    title="Load cycles of a tooth flank",
    source="ISO 6336-6",
    edition="2019",
    clause="number of load cycles",
    status=Status.FROM_MEMORY,
    valid=(Range("contacts_per_revolution", "k", 1, np.inf),),
    implements=("constant speed over the whole life",),
    leaves_out=("load spectra; reversed loading of the same tooth",),
)


@dataclass(frozen=True, kw_only=True)
class LoadCycles(Result):
    """The number of times one flank of a tooth is loaded."""

    method: ClassVar[Method] = METHOD
    speed_rpm: Number = term("Speed", "n", "1/min")
    life_h: Number = term("Life", "L_h", "h")
    contacts_per_revolution: Number = term("Contacts of one flank in a revolution", "k")
    load_cycles: Number = term("Load cycles", "N_L", "", "60·n·L_h·k")


def load_cycles(*, speed_rpm: Number, life_h: Number, contacts_per_revolution: Number) -> LoadCycles:
    """Return how often one flank of a tooth is loaded in its life.

    N_L = 60 · n · L_h · k

    Parameters
    ----------
    speed_rpm : float or array
        Speed n of this gear, in 1/min.
    life_h : float or array
        Life L_h under load, in h.
    contacts_per_revolution : float or array
        k, how often the same flank of one tooth meets a mate in a revolution: 1, or the number of planets.

    Returns
    -------
    LoadCycles
        N_L, of the broadcast shape.

    Raises
    ------
    InputError
        A speed, life or number of contacts that is not above 0.

    Notes
    -----
    Source: ISO 6336-6:2019, from memory.
    Valid for: constant speed, one direction of load.
    Departures: none.
    Checked: CYCLES-01, CYCLES-02.

    Examples
    --------
    >>> load_cycles(speed_rpm=1480, life_h=25000, contacts_per_revolution=1).load_cycles
    2220000000.0
    """
    given = {
        "speed_rpm": array(speed_rpm),
        "life_h": array(life_h),
        "contacts_per_revolution": array(contacts_per_revolution),
    }
    faults = Faults()
    for name, value in given.items():
        faults.need(not np.any(value <= 0), name, value, "a number above 0")
    faults.check()
    cycles = 60 * given["speed_rpm"] * given["life_h"] * given["contacts_per_revolution"]
    notices = METHOD.outside(contacts_per_revolution=contacts_per_revolution)
    return LoadCycles(**given, load_cycles=cycles, notices=notices)
