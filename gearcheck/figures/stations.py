"""The drawings of each station, the same on the page and in a report."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import array
from gearcheck.figures.contact_map import flank_pressure, pressure_map_drawing
from gearcheck.figures.depth import depth_curves, depth_drawing
from gearcheck.figures.depths import depth_lines, drawn_depth
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.duty import bins_drawing
from gearcheck.figures.fatigue_tests import tests_drawing
from gearcheck.figures.path import along_path, pressure_drawing, sliding_drawing
from gearcheck.figures.pitch import cumulative_drawing, flank_pitch, reach_of, single_drawing
from gearcheck.figures.stress import life_drawing, life_lines
from gearcheck.figures.tooth import tooth_drawing, tooth_of
from gearcheck.figures.turning import cycle_drawing
from gearcheck.review.bins import damage_by_bin
from gearcheck.review.results import MeshChain, Review
from gearcheck.stress.life import Damage


class Column(StrEnum):
    """Where a drawing stands: over the whole width, or beside another one."""

    WHOLE = "whole"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, kw_only=True)
class Named:
    """One drawing of a station.

    Parameters
    ----------
    title : str
        What it shows; the same for every draft of a record.
    drawing : Drawing or None
        None where a result that it would show is missing.
    column : Column
        Where it stands.
    """

    title: str
    drawing: Drawing | None
    column: Column = Column.WHOLE


def drawings(shown: Review, record: Review, station: str) -> tuple[Named, ...]:
    """Return the drawings of one station.

    Parameters
    ----------
    shown, record : Review
        As drafted, and as it stands; the same where there is no draft.
    station : str
        Its name.

    Returns
    -------
    tuple of Named
        In reading order; for one record always the same titles.
    """
    return tuple(_STATIONS[station](shown, record))


def _of_geometry(shown: Review, record: Review) -> Iterator[Named]:
    drafted = shown is not record
    for mesh, before in zip(shown.chain.meshes, record.chain.meshes, strict=True):
        tooth, was = tooth_of(mesh.gear, mesh.pair), tooth_of(before.gear, before.pair)
        yield Named(
            title=f"One tooth of the gear, with the circles that bound its flank against {mesh.name}",
            drawing=None if tooth is None else tooth_drawing(tooth, was if drafted else None, "the gear"),
        )
        along, along_was = along_path(mesh), along_path(before) if drafted else None
        yield Named(
            title=f"Specific sliding along the path of contact with {mesh.name}",
            drawing=None if along is None else sliding_drawing(along, along_was),
        )
        yield Named(
            title=f"Contact pressure along the path of contact with {mesh.name}",
            drawing=None
            if along is None or not along.pressed_mm.size
            else pressure_drawing(along, along_was),
        )


_DAMAGES = (
    (Damage.FLANK, "Contact stress", Column.LEFT),
    (Damage.ROOT, "Tooth root stress", Column.RIGHT),
)


def _of_stress(shown: Review, record: Review) -> Iterator[Named]:
    methods = shown.record.methods
    for mesh, before in zip(shown.chain.meshes, record.chain.meshes, strict=True):
        for damage, words, column in _DAMAGES:
            lines = () if methods is None else life_lines(mesh, damage, methods.readings, before)
            yield Named(
                title=f"{words} and what is permissible over load cycles, gear and {mesh.name}",
                drawing=life_drawing(lines, damage) if lines else None,
                column=column,
            )
        if shown.record.duty is not None:
            yield from _of_duty(shown, record, mesh, before)


def _of_duty(shown: Review, record: Review, mesh: MeshChain, before: MeshChain) -> Iterator[Named]:
    for damage, words, _ in _DAMAGES:
        now = damage_by_bin(shown.record, mesh, damage)
        was = None if shown is record else damage_by_bin(record.record, before, damage)
        yield Named(
            title=f"{words}: damage of each step of the duty, gear and {mesh.name}",
            drawing=None if now is None else bins_drawing(now, mesh.name, was),
        )


def _of_case_depth(shown: Review, record: Review) -> Iterator[Named]:
    for place, mesh in enumerate(shown.chain.meshes):
        lines = depth_lines(shown, record, place)
        solved = shown.settled[place].required if shown.settled else None
        yield Named(
            title=f"Shear stress below the flank and the depths of the case, against {mesh.name}",
            drawing=depth_drawing(lines, depth_curves(solved, drawn_depth(shown))) if lines else None,
        )


def _of_accuracy(shown: Review, _: Review) -> Iterator[Named]:
    for evidence, measured in zip(shown.record.pitch, shown.pitch, strict=True):
        both = [(flank, flank_pitch(measured, shown.chain.drawn, flank)) for flank in ("left", "right")]
        known = [flank for _, flank in both if flank is not None]
        reach = reach_of(known) if known else (0.0, 0.0)
        for name, flank in both:
            of = f"{name} flanks, {evidence.head.applies_to}"
            column = Column.LEFT if name == "left" else Column.RIGHT
            single = None if flank is None else single_drawing(flank, reach[0])
            yield Named(title=f"Single pitch, {of}", drawing=single, column=column)
            total = None if flank is None else cumulative_drawing(flank, reach[1])
            yield Named(title=f"Cumulative pitch, {of}", drawing=total, column=column)


def _of_contact(shown: Review, record: Review) -> Iterator[Named]:
    """What is required of the loaded contact; the rest of it stands on a sheet of its own."""
    before = {one.mesh: one.nominal for one in record.contact} if shown is not record else {}
    for one in shown.contact:
        now, was = None if one.reason else one.nominal, before.get(one.mesh)
        yield Named(
            title=f"Contact pressure on the flank under the nominal torque, the gear with {one.mesh}",
            drawing=None
            if now is None
            else pressure_map_drawing(flank_pressure(now), None if was is None else flank_pressure(was)),
        )
        yield Named(
            title=f"Transmission error over a mesh cycle under the nominal torque, the gear with {one.mesh}",
            drawing=None if now is None else cycle_drawing(now, was),
        )


def _of_fatigue(shown: Review, _: Review) -> Iterator[Named]:
    """The tests as the record asks; what one argues over stands on their sheet."""
    required = shown.record.required
    for life in shown.fatigue:
        yield Named(
            title=f"Specimens of the tooth {life.tests.place}, what they stand, and what the gear bears",
            drawing=None if required is None else tests_drawing(life, float(array(required.reliability))),
        )


def _of_inspection(shown: Review, record: Review) -> Iterator[Named]:
    """What is inspected stands on a sheet of its own; nothing of it is a curve."""
    yield from ()


_STATIONS: Mapping[str, Callable[[Review, Review], Iterator[Named]]] = {
    "geometry": _of_geometry,
    "stress": _of_stress,
    "contact": _of_contact,
    "case depth": _of_case_depth,
    "accuracy": _of_accuracy,
    "fatigue": _of_fatigue,
    "inspection": _of_inspection,
}
