"""Editions of rating and tolerances: which belong together, and what a mixed pair does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from gearcheck.accuracy.inputs import AccuracyEdition
from gearcheck.basics.methods import Level, Notice
from gearcheck.review.chain import drawn_tolerances
from gearcheck.review.inputs import GearData, Record
from gearcheck.review.rating import factors_at, nominal
from gearcheck.review.results import Chain, MemberChain
from gearcheck.stress.inputs import StressEdition
from gearcheck.stress.pairing import EditionPairing, edition_pairing

BELONGS = {
    StressEdition.ISO_6336_2006: AccuracyEdition.ISO_1328_1_1995,
    StressEdition.ISO_6336_2019: AccuracyEdition.ISO_1328_1_2013,
}


def mixed_editions(record: Record, chain: Chain) -> Iterator[tuple[str, EditionPairing]]:
    """Yield each rated mesh whose tolerances are not of the edition that its rating was written for.

    Parameters
    ----------
    record : Record
        Without arrays.
    chain : Chain
        Its closed forms.

    Yields
    ------
    mesh, pairing : tuple of str and EditionPairing
        Deviations and load factors at the nominal load by both editions.
    """
    for mesh, rated in zip(record.meshes, chain.meshes, strict=True):
        if record.methods is None or rated.factors is None:
            continue
        belongs = BELONGS[record.methods.stress]
        drawn = [data.accuracy.edition for data in (record.gear, mesh.mate) if data.accuracy is not None]
        if set(drawn) == {belongs}:
            continue
        other_record = replace(record, gear=_by(record.gear, belongs))
        other_mesh = replace(mesh, mate=_by(mesh.mate, belongs))
        bare = replace(
            rated,
            gear=_with_tolerances(other_record, rated.gear, other_record.gear),
            mate=_with_tolerances(other_record, rated.mate, other_mesh.mate),
        )
        yield (
            mesh.name,
            edition_pairing(
                drawn=rated.factors,
                paired=factors_at(other_record, other_mesh, bare, nominal(mesh)),
                rated_by=record.methods.stress,
                drawn_by=" and ".join(dict.fromkeys(drawn)),
                belongs=belongs,
                mesh=mesh.name,
            ),
        )


def _by(data: GearData, edition: AccuracyEdition) -> GearData:
    assert data.accuracy is not None
    return replace(data, accuracy=replace(data.accuracy, edition=edition))


def _with_tolerances(record: Record, member: MemberChain, data: GearData) -> MemberChain:
    return replace(member, data=data, tolerances=drawn_tolerances(record, data))


def other_governing_edition(record: Record) -> tuple[Notice, ...]:
    """Say where the drawing names another edition of the tolerances than [methods]."""
    drawn, methods = record.gear.accuracy, record.methods
    if drawn is None or methods is None or drawn.edition is methods.accuracy:
        return ()
    text = (
        f"The drawing gives its class by {drawn.edition}, and [methods] names {methods.accuracy} for "
        "accuracy: the tolerances here are those of the drawing."
    )
    return (Notice(Level.CAUTION, "edition_pairing.drawing", text),)
