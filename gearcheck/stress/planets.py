"""How unevenly planets share the load: the mesh load factor K_γ by their number."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.gear.notices import flagged

METHOD = Method(
    key="iec61400_4.mesh_load_factor",
    title="Mesh load factor of planetary stages",
    source="IEC 61400-4",
    edition="2012",
    clause="mesh load factor by the number of planets",
    status=Status.FROM_MEMORY,
    implements=("three to seven planets; one path",),
    leaves_out=(
        "two planets, more than seven",
        "planets on flexible pins, paths coupled by quill shafts: their factor has to be shown",
    ),
)


@dataclass(frozen=True, kw_only=True)
class PlanetLoadFactor(Result):
    """Mesh load factor by the number of planets."""

    method: ClassVar[Method] = METHOD
    planets: Number = term("Planets, or paths of the power", "N_p")
    mesh_load_factor: Number = term("Mesh load factor", "K_γ", words="table by the number of planets")


def planet_load_factor(*, planets: Number) -> PlanetLoadFactor:
    """Return the mesh load factor of a planetary stage.

    K_γ by the table, no value between or beyond its rows

    Parameters
    ----------
    planets : float or array
        Number of planets; 1 for a single path.

    Returns
    -------
    PlanetLoadFactor
        K_γ; a stop, and no value, where the table has none.

    Raises
    ------
    InputError
        A number of planets that is not a whole number from 1.

    Notes
    -----
    Source: IEC 61400-4:2012, from memory.
    Valid for: stages in which sun, ring or carrier floats.
    Departures: none.
    Checked: PLANET-01.

    Examples
    --------
    >>> planet_load_factor(planets=4).mesh_load_factor
    1.25
    """
    number = array(planets)
    faults = Faults()
    whole = np.isnan(number) | ((number >= 1) & (number == np.floor(number)))
    faults.need(bool(np.all(whole)), "planets", planets, "a whole number from 1")
    faults.check()
    rows = table("iec61400_4_planets")
    known = rows.column("planets")
    place = np.clip(np.searchsorted(known, np.nan_to_num(number, nan=1.0)), 0, known.size - 1)
    found = known[place] == number
    text = "No K_γ for {number:g} planets in " + METHOD.cite + ": it has 1 and 3 to 7; it has to be given."
    missing = np.asarray(~found & ~np.isnan(number))
    return PlanetLoadFactor(
        planets=number,
        mesh_load_factor=np.where(found, rows.column("K_gamma")[place], np.nan),
        notices=tuple(flagged(missing, Level.STOP, f"{METHOD.key}.planets", text, number=number)),
    )
