"""Rating and tolerances of editions that do not belong together: both sets side by side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from gearcheck.basics.digits import decimals_text
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number
from gearcheck.basics.results import Result, term
from gearcheck.stress.factors import LoadFactors

PAIRING = Method(
    key="edition_pairing",
    title="Tolerances of the edition that the rating was written for",
    source="ISO 6336-1",
    edition="2006 and 2019",
    clause="normative references: the parts of 2006 take ISO 1328-1:1995, those of 2019 take ISO 1328-1:2013",
    status=Status.FROM_MEMORY,
    implements=("the load factors with the tolerances of both editions, the number of the class held",),
    leaves_out=("a class of one edition for a class of the other: the numbers are no equals",),
)


@dataclass(frozen=True, kw_only=True)
class EditionPairing(Result):
    """The deviations and load factors of a mesh as drawn, and by the edition that belongs to the rating."""

    method: ClassVar[Method] = PAIRING
    drawn_base_pitch_um: Number = term("Base pitch deviation as drawn", "f_pb", "µm")
    paired_base_pitch_um: Number = term("Base pitch deviation, other edition", "f_pb2", "µm")
    drawn_profile_form_um: Number = term("Profile form deviation as drawn", "f_fα", "µm")
    paired_profile_form_um: Number = term("Profile form deviation, other edition", "f_fα2", "µm")
    drawn_dynamic_factor: Number = term("Dynamic factor as drawn", "K_V")
    paired_dynamic_factor: Number = term("Dynamic factor, other edition", "K_V2")
    drawn_transverse_factor: Number = term("Transverse load factor as drawn", "K_Hα")
    paired_transverse_factor: Number = term("Transverse load factor, other edition", "K_Hα2")


def edition_pairing(
    *, drawn: LoadFactors, paired: LoadFactors, rated_by: str, drawn_by: str, belongs: str, mesh: str
) -> EditionPairing:
    """Return the deviations and load factors of a mesh by two editions of the tolerances, with a caution.

    Parameters
    ----------
    drawn, paired : LoadFactors
        With the tolerances of the drawing, and with those of the edition that belongs to the rating.
    rated_by, drawn_by, belongs : str
        The edition of the rating, those of the drawings, and the one that belongs to the rating.
    mesh : str
        The name of the mesh.

    Returns
    -------
    EditionPairing
        Both sets; the caution says them in words.
    """
    found = EditionPairing(
        drawn_base_pitch_um=drawn.base_pitch_deviation_um,
        paired_base_pitch_um=paired.base_pitch_deviation_um,
        drawn_profile_form_um=drawn.profile_form_deviation_um,
        paired_profile_form_um=paired.profile_form_deviation_um,
        drawn_dynamic_factor=drawn.dynamic_factor,
        paired_dynamic_factor=paired.dynamic_factor,
        drawn_transverse_factor=drawn.transverse_factor_contact,
        paired_transverse_factor=paired.transverse_factor_contact,
    )
    first, second = (_said(found, which) for which in ("drawn", "paired"))
    text = (
        f"Mesh {mesh}: {rated_by} was written for tolerances by {belongs}, and the drawings give {drawn_by}. "
        f"Rated is with the drawings: {first}. With the same numbers of class by {belongs} it were {second}."
    )
    return replace(found, notices=(Notice(Level.CAUTION, f"{PAIRING.key}.mixed", text),))


def _said(found: EditionPairing, which: str) -> str:
    parts = (
        ("f_pb", "base_pitch_um", 1, "µm"),
        ("f_fα", "profile_form_um", 1, "µm"),
        ("K_V", "dynamic_factor", 3, ""),
        ("K_Hα", "transverse_factor", 3, ""),
    )
    return ", ".join(
        f"{symbol} {_number(getattr(found, f'{which}_{name}'), digits, unit)}"
        for symbol, name, digits, unit in parts
    )


def _number(value: Number, digits: int, unit: str) -> str:
    return "without a value" if value is None else decimals_text(float(value), digits, unit)
