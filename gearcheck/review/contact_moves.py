"""How a what-if moves what the loaded contact rests on: relief, crowning, and how the axes lie."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.review.inputs import GearData, Mesh, Record


def read_relief_start(record: Record) -> Number:
    """The diameter where the tip relief of the gear starts; None where none is drawn."""
    drawn = record.gear.modification
    return None if drawn is None else drawn.tip_relief_start_mm


def write_relief_start(record: Record, value: Number) -> Record:
    """The relief of the mates grows by the same roll; the roll of an internal mate starts at its tip."""
    gear = record.gear
    assert gear.modification is not None
    longer = _roll(record, gear, gear.modification.tip_relief_start_mm) - _roll(record, gear, value)

    def lengthened(data: GearData) -> GearData:
        drawn = data.modification
        if drawn is None or drawn.tip_relief_start_mm is None:
            return data
        roll = _roll(record, data, drawn.tip_relief_start_mm) - longer * (-1 if data.tooth.internal else 1)
        start = 2.0 * np.hypot(np.maximum(roll, 0.0), _base_mm(record, data) / 2.0)
        return replace(data, modification=replace(drawn, tip_relief_start_mm=start))

    moved = replace(gear, modification=replace(gear.modification, tip_relief_start_mm=array(value)))
    meshes = tuple(replace(mesh, mate=lengthened(mesh.mate)) for mesh in record.meshes)
    return replace(record, gear=moved, meshes=meshes)


def _base_mm(record: Record, data: GearData) -> Array:
    helix, normal = (np.radians(array(a)) for a in (record.helix_angle_deg, record.pressure_angle_deg))
    transverse = np.arctan(np.tan(normal) / np.cos(helix))
    pitch = array(data.tooth.teeth) * array(record.normal_module_mm) / np.cos(helix)
    return array(pitch * np.cos(transverse))


def _roll(record: Record, data: GearData, diameter: Number) -> Array:
    square = (array(diameter) ** 2 - _base_mm(record, data) ** 2) / 4.0
    return array(np.sqrt(np.maximum(square, 0.0)))


def read_crowning(record: Record) -> Number:
    """The helix crowning of the gear; None where none is drawn."""
    drawn = record.gear.modification
    return None if drawn is None else drawn.helix_crowning_um


def write_crowning(record: Record, value: Number) -> Record:
    """The gear alone: its mates keep theirs."""
    assert record.gear.modification is not None
    drawn = replace(record.gear.modification, helix_crowning_um=array(value))
    return replace(record, gear=replace(record.gear, modification=drawn))


def read_out_of_plane(record: Record) -> Number:
    """How the axes of the first mesh that says so deviate out of their plane; None where none does."""
    return next((mesh.contact.out_of_plane_um for mesh in record.meshes if mesh.contact is not None), None)


def write_out_of_plane(record: Record, value: Number) -> Record:
    """All meshes that say how their axes lie move by as much."""
    more = array(value) - array(read_out_of_plane(record))

    def leaned(mesh: Mesh) -> Mesh:
        if mesh.contact is None:
            return mesh
        out = array(mesh.contact.out_of_plane_um) + more
        return replace(mesh, contact=replace(mesh.contact, out_of_plane_um=out))

    return replace(record, meshes=tuple(leaned(mesh) for mesh in record.meshes))


def read_mate_relief(record: Record) -> Number:
    """The tip relief of the first mate."""
    return record.meshes[0].mate.tip_relief_um


def write_mate_relief(record: Record, value: Number) -> Record:
    """All mates move by as much, never to less than nothing; the gear keeps its own."""
    more = array(value) - array(read_mate_relief(record))

    def relieved(mesh: Mesh) -> Mesh:
        amount = np.maximum(array(mesh.mate.tip_relief_um) + more, 0.0)
        return replace(mesh, mate=replace(mesh.mate, tip_relief_um=amount))

    return replace(record, meshes=tuple(relieved(mesh) for mesh in record.meshes))


def read_mate_relief_start(record: Record) -> Number:
    """The diameter where the tip relief of the first mate starts; None where none is drawn."""
    drawn = record.meshes[0].mate.modification
    return None if drawn is None else drawn.tip_relief_start_mm


def write_mate_relief_start(record: Record, value: Number) -> Record:
    """The first mate alone."""
    first, *others = record.meshes
    assert first.mate.modification is not None
    drawn = replace(first.mate.modification, tip_relief_start_mm=array(value))
    moved = replace(first, mate=replace(first.mate, modification=drawn))
    return replace(record, meshes=(moved, *others))
