"""The lines of ISO 6336-5 for through-hardened, induction-hardened and nitrided steels."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

import numpy as np

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.materials.inputs import Steel, Treatment
from gearcheck.materials.steels import known_steel

METHOD_TREATED = Method(
    key="iso6336_5.treated_limits",
    title="Allowable stress numbers of a steel that is not case-carburised",
    source="ISO 6336-5",
    edition="2016",
    clause="table of the lines A·HV + B by material, quality and hardness",
    status=Status.FROM_MEMORY,
    implements=(
        "wrought steel: through-hardened (carbon, alloy), induction-hardened, gas-nitrided, nitrocarburised",
        "material qualities ML, MQ, ME at 1 % failure",
    ),
    leaves_out=(
        "cast steel, cast iron and normalised steel",
        "cleanness, grain size, microstructure and the other requirements of a quality, depth of the layer",
        "reliability other than 1 % failure",
    ),
    departures=(
        "Above its range of hardness a line is held at its end; below, it goes on. Both with a caution.",
        "The coefficients are those remembered of the edition of 2003.",
    ),
)


class Lines(NamedTuple):
    """Both limits in MPa, the range of the flank's hardness, and what to say about it."""

    flank_limit: Array
    root_limit: Array
    low_HV: float
    high_HV: float
    notices: tuple[Notice, ...]


def treated_lines(steel: Steel) -> Lines:
    """Return the allowable stress numbers of a steel that is not case-carburised.

    Parameters
    ----------
    steel : Steel
        A through-hardened root takes the core hardness, where there is one; all else the surface hardness.

    Returns
    -------
    Lines
        Within and outside the range of hardness.

    Raises
    ------
    InputError
        A grade that is not known for the treatment, or carbon steel for gas nitriding.
    """
    contact, bending = (_row(steel, stress) for stress in ("contact", "bending"))
    flank = array(steel.surface_hardness_HV)
    root = flank
    if steel.treatment is Treatment.THROUGH_HARDENED:
        core = array(steel.core_hardness_HV)
        root = np.where(np.isnan(core), flank, core)
    return Lines(
        flank_limit=_on(contact, flank),
        root_limit=_on(bending, root),
        low_HV=contact["low_HV"],
        high_HV=contact["high_HV"],
        notices=(*_outside(contact, flank, "σ_Hlim"), *_outside(bending, root, "σ_Flim")),
    )


def _row(steel: Steel, stress: str) -> Mapping[str, Any]:
    grade = known_steel(steel.grade, treatment=steel.treatment)
    kind = table("steels_treated").row(grade)["kind"]
    if steel.treatment is Treatment.THROUGH_HARDENED and kind == "nitriding":
        kind = "alloy"
    for row in table("iso6336_5_treated").rows:
        wanted = row["treatment"], row["stress"], row["quality"]
        if wanted == (steel.treatment, stress, steel.quality) and row["kind"] in (kind, "any"):
            return row
    raise InputError([Fault("grade", f'"{grade}"', "an alloy or nitriding steel for gas nitriding")])


def _on(row: Mapping[str, Any], hardness: Array) -> Array:
    """A constant line of a nitrided steel holds for a hardness that is not given too."""
    if row["slope"] == 0:
        return array(row["constant"])
    return array(row["slope"] * np.minimum(hardness, row["high_HV"]) + row["constant"])


def _outside(row: Mapping[str, Any], hardness: Number, symbol: str) -> Iterator[Notice]:
    low, high = row["low_HV"], row["high_HV"]
    wrong = array(hardness)[(array(hardness) < low) | (array(hardness) > high)]
    if wrong.size:
        text = (
            f"A hardness of {wrong.flat[0]:.4g} HV lies outside {METHOD_TREATED.cite}: {symbol} of "
            f"{row['name'].split(',')[0]}, {row['quality']}, from {low:g} to {high:g} HV."
        )
        yield Notice(Level.CAUTION, f"iso6336_5.{row['stress']}_hardness", text)
