"""Hardness on the Jominy bar: the band that a steel is sold to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.materials.names import known_name

JOMINY = Method(
    key="jominy.band",
    title="Hardenability band of a steel",
    source="Hardenability bands of AS 1444, SAE J1268, AMS 6265 and EN 10084",
    edition="",
    clause="least and greatest hardness over the distance from the quenched end",
    status=Status.FROM_MEMORY,
    implements=("the band as printed, linear between its distances",),
    leaves_out=("the curve of one heat, which is better wherever it is known", "the scatter of the test"),
    departures=(
        "Nearer to the quenched end than the first distance its hardness stands.",
        "Beyond the last printed greatest hardness it stands, for the curve only falls.",
        "Beyond the last printed least hardness there is none.",
    ),
)

_DIGITS = 9  # of a distance in its printed unit: six sixteenths are six sixteenths


@dataclass(frozen=True, kw_only=True)
class JominyBand(Result):
    """Least and greatest hardness at a distance from the quenched end."""

    method: ClassVar[Method] = JOMINY
    band: str
    distance_mm: Number = term("Distance from the quenched end", "E", "mm")
    least_HRC: Number = term("Least hardness of the band", "HRC_1", "HRC", words="from the band")
    greatest_HRC: Number = term("Greatest hardness of the band", "HRC_2", "HRC", words="from the band")


def jominy_bands(*, grade: str) -> tuple[str, ...]:
    """Return the names of the bands that are known for a steel.

    Parameters
    ----------
    grade : str
        A name of the table of carburising steels.

    Returns
    -------
    tuple of str
        Empty where none is known.

    Notes
    -----
    Source: the table of hardenability bands.
    Valid for: the steels of the table.
    Departures: none.
    Checked: not checked.

    Examples
    --------
    >>> jominy_bands(grade="SAE 9310")
    ('SAE 9310 H', 'AMS 6265')
    """
    return tuple(row["name"] for row in table("jominy").rows if row["steel"] == grade)


def jominy_band(*, band: str, distance_mm: Number) -> JominyBand:
    """Return the least and the greatest hardness of a steel at a distance from the quenched end.

    Linear between the printed distances.

    Parameters
    ----------
    band : str
        A name of the table of hardenability bands.
    distance_mm : float or array
        E from the quenched end, mm.

    Returns
    -------
    JominyBand
        Both in HRC; a stop notice and no least hardness where the band leaves it open.

    Raises
    ------
    InputError
        An unknown band, or a distance below 0.

    Notes
    -----
    Source: SAE J1268, EN 10084 from memory; AS 1444 and AMS 6265 from data sheets of stockists.
    Valid for: heats that are sold to the band.
    Departures: the first hardness stands nearer to the end, the last greatest beyond it.
    Checked: HARD-05, HARD-06, HARD-07, HARD-08.

    Examples
    --------
    >>> found = jominy_band(band="SAE 9310 H", distance_mm=7.9375)
    >>> found.least_HRC, found.greatest_HRC
    (32.0, 42.0)
    """
    name, E = known_name("band", band, table("jominy").names), array(distance_mm)
    faults = Faults()
    faults.need(not (E < 0).any(), "distance_mm", distance_mm, "a distance of 0 mm or more")
    faults.check()
    row = table("jominy").row(name)
    at = np.round(E / row["unit_mm"], _DIGITS)
    least = np.interp(at, row["least_at"], row["least_HRC"], right=np.nan)
    greatest = np.interp(at, row["greatest_at"], row["greatest_HRC"])
    return JominyBand(
        band=name,
        distance_mm=E,
        least_HRC=least,
        greatest_HRC=greatest,
        notices=_open(name, E[at > row["least_at"][-1]], row["least_at"][-1] * row["unit_mm"]),
    )


def _open(band: str, beyond: Array, last: float) -> tuple[Notice, ...]:
    if not beyond.size:
        return ()
    text = (
        f"{band} gives no least hardness at {beyond.flat[0]:.3g} mm from the quenched end, "
        f"only as far as {last:.3g} mm."
    )
    return (Notice(Level.STOP, "jominy.band.no_least", text),)
