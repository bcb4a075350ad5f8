"""How a what-if moves the toothing and its load: what goes along, so that the pair still meshes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from gearcheck.accuracy.grade import class_range
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.involute import involute, involute_angle
from gearcheck.review.inputs import GearData, Mesh, Record

Turn = Callable[[Tooth], dict[str, Number]]
"""The values of a tooth that a move changes."""


def external(record: Record) -> bool:
    """Whether all teeth are external: how the moves of a pair go on is known for those alone."""
    return not any(data.tooth.internal for data in (record.gear, *(mesh.mate for mesh in record.meshes)))


def only_external(read: Callable[[Record], Number]) -> Callable[[Record], Number]:
    """Read an input where all teeth are external; else it is no what-if."""
    return lambda record: read(record) if external(record) else None


def read_hardness(record: Record) -> Number:
    """The least surface hardness of the gear."""
    return None if record.gear.steel is None else record.gear.steel.surface_hardness_HV


def write_hardness(record: Record, value: Number) -> Record:
    """The gear alone: its mates keep theirs."""
    assert record.gear.steel is not None
    steel = replace(record.gear.steel, surface_hardness_HV=array(value))
    return replace(record, gear=replace(record.gear, steel=steel))


def read_core(record: Record) -> Number:
    """The least core hardness of the gear."""
    return None if record.gear.steel is None else record.gear.steel.core_hardness_HV


def write_core(record: Record, value: Number) -> Record:
    """The gear alone: its mates keep theirs."""
    assert record.gear.steel is not None
    steel = replace(record.gear.steel, core_hardness_HV=array(value))
    return replace(record, gear=replace(record.gear, steel=steel))


def write_relief(record: Record, value: Number) -> Record:
    """The mates are relieved by as much more, never by less than nothing."""
    more = array(value) - array(record.gear.tip_relief_um)

    def relieved(data: GearData) -> GearData:
        return replace(data, tip_relief_um=np.maximum(array(data.tip_relief_um) + more, 0.0))

    meshes = tuple(replace(mesh, mate=relieved(mesh.mate)) for mesh in record.meshes)
    return replace(record, gear=relieved(record.gear), meshes=meshes)


def with_torque(record: Record, factor: Number) -> Record:
    """Return the record with the torque of every mesh and of the whole duty multiplied by `factor`."""
    meshes = tuple(replace(mesh, torque_Nm=array(mesh.torque_Nm) * factor) for mesh in record.meshes)
    duty = record.duty
    if duty is not None:
        duty = replace(duty, torque_factor=array(duty.torque_factor) * factor)
    return replace(record, meshes=meshes, duty=duty)


def write_speed(record: Record, value: Number) -> Record:
    """All meshes, and all steps of a duty, keep their share of the speed."""
    times = array(value) / array(record.meshes[0].speed_rpm)
    meshes = tuple(replace(mesh, speed_rpm=array(mesh.speed_rpm) * times) for mesh in record.meshes)
    moved = replace(record, meshes=meshes)
    if record.duty is None:
        return moved
    return replace(moved, duty=replace(record.duty, speed_factor=array(record.duty.speed_factor) * times))


def write_module(record: Record, value: Number) -> Record:
    """The teeth keep their numbers: tip circles and centre distances grow with the module."""
    times = array(value) / array(record.normal_module_mm)
    grown = _turned(record, lambda tooth: {"tip_diameter_mm": array(tooth.tip_diameter_mm) * times})
    meshes = tuple(
        replace(mesh, centre_distance_mm=array(mesh.centre_distance_mm) * times) for mesh in grown.meshes
    )
    return replace(grown, normal_module_mm=array(value), meshes=meshes)


def write_teeth(record: Record, value: Number) -> Record:
    """Centre distance, ratio and shifts in mm are held as far as whole teeth allow: the module follows."""
    times = array(value) / array(record.gear.tooth.teeth)
    first, module = record.meshes[0].mate.tooth, array(record.normal_module_mm)
    before = array(record.gear.tooth.teeth) + array(first.teeth)
    new = module * before / (array(value) + np.rint(array(first.teeth) * times))
    cosine = np.cos(np.radians(array(record.helix_angle_deg)))

    def recut(teeth: Array) -> Turn:
        def turn(tooth: Tooth) -> dict[str, Number]:
            shift = array(tooth.profile_shift)
            addendum = array(tooth.tip_diameter_mm) - module * (array(tooth.teeth) / cosine + 2 * shift)
            tip = new * teeth / cosine + 2 * module * shift + addendum * new / module
            return {"teeth": teeth, "profile_shift": shift * module / new, "tip_diameter_mm": tip}

        return turn

    gear = _cut(record.gear, recut(array(value)))
    meshes = tuple(
        replace(mesh, mate=_cut(mesh.mate, recut(np.rint(array(mesh.mate.tooth.teeth) * times))))
        for mesh in record.meshes
    )
    return _meshing(record, replace(record, normal_module_mm=new, gear=gear, meshes=meshes))


def write_helix(record: Record, value: Number) -> Record:
    """Teeth, normal module and shifts are held: tip circles and centre distances follow."""
    old, new = (np.cos(np.radians(array(angle))) for angle in (record.helix_angle_deg, value))
    module = array(record.normal_module_mm)

    def wider(tooth: Tooth) -> dict[str, Number]:
        more = module * array(tooth.teeth) * (1 / new - 1 / old)
        return {"tip_diameter_mm": array(tooth.tip_diameter_mm) + more}

    return _meshing(record, replace(_turned(record, wider), helix_angle_deg=array(value)))


def read_shift_sum(record: Record) -> Number:
    """The sum of the shift coefficients in the first mesh."""
    return array(record.gear.tooth.profile_shift) + array(record.meshes[0].mate.tooth.profile_shift)


def write_shift_sum(record: Record, value: Number) -> Record:
    """The mates take what is more; their tip circles and the centre distances follow."""
    more = array(value) - array(read_shift_sum(record))
    module = array(record.normal_module_mm)

    def shifted(tooth: Tooth) -> dict[str, Number]:
        return {
            "profile_shift": array(tooth.profile_shift) + more,
            "tip_diameter_mm": array(tooth.tip_diameter_mm) + 2 * module * more,
        }

    meshes = tuple(replace(mesh, mate=_cut(mesh.mate, shifted)) for mesh in record.meshes)
    return _meshing(record, replace(record, meshes=meshes))


def _cut(data: GearData, turn: Turn) -> GearData:
    return replace(data, tooth=replace(data.tooth, **turn(data.tooth)))


def _turned(record: Record, turn: Turn) -> Record:
    meshes = tuple(replace(mesh, mate=_cut(mesh.mate, turn)) for mesh in record.meshes)
    return replace(record, gear=_cut(record.gear, turn), meshes=meshes)


def _meshing(before: Record, after: Record) -> Record:
    """Each mesh keeps its distance from the centre distance without backlash."""
    meshes = tuple(
        replace(
            new, centre_distance_mm=array(old.centre_distance_mm) + _close(after, new) - _close(before, old)
        )
        for old, new in zip(before.meshes, after.meshes, strict=True)
    )
    return replace(after, meshes=meshes)


def _close(record: Record, mesh: Mesh) -> Array:
    """The centre distance without backlash, from the shifts."""
    pair = (record.gear.tooth, mesh.mate.tooth)
    teeth, shift = (sum(array(getattr(tooth, name)) for tooth in pair) for name in ("teeth", "profile_shift"))
    helix, normal = np.radians(array(record.helix_angle_deg)), np.radians(array(record.pressure_angle_deg))
    transverse = np.arctan(np.tan(normal) / np.cos(helix))
    working = involute_angle(involute(transverse) + 2 * shift * np.tan(normal) / teeth)
    reference = array(record.normal_module_mm) * teeth / (2 * np.cos(helix))
    return np.asarray(reference * np.cos(transverse) / np.cos(working))


def _with_tooth(data: GearData, **values: Number) -> GearData:
    return replace(data, tooth=replace(data.tooth, **values))


def _each_mate(record: Record, change: Callable[[GearData], GearData]) -> tuple[Mesh, ...]:
    return tuple(replace(mesh, mate=change(mesh.mate)) for mesh in record.meshes)


def write_torque(record: Record, value: Number) -> Record:
    """All meshes, and all steps of a duty, keep their share of the torque."""
    return with_torque(record, array(value) / array(record.meshes[0].torque_Nm))


def write_face_width(record: Record, value: Number) -> Record:
    """The mates grow by the same length, so that the common width follows."""
    longer = array(value) - array(record.gear.tooth.face_width_mm)

    def wider(data: GearData) -> GearData:
        return _with_tooth(data, face_width_mm=array(data.tooth.face_width_mm) + longer)

    return replace(record, gear=wider(record.gear), meshes=_each_mate(record, wider))


def write_shift(record: Record, value: Number) -> Record:
    """At the given centre distance the mates give back what the gear takes; tip circles move along."""
    more = array(value) - array(record.gear.tooth.profile_shift)

    def shifted(sign: float) -> Callable[[GearData], GearData]:
        def shift(data: GearData) -> GearData:
            tooth = data.tooth
            outwards = -sign if tooth.internal else sign
            return _with_tooth(
                data,
                profile_shift=array(tooth.profile_shift) + sign * more,
                tip_diameter_mm=array(tooth.tip_diameter_mm)
                + outwards * 2 * array(record.normal_module_mm) * more,
            )

        return shift

    return replace(record, gear=shifted(1.0)(record.gear), meshes=_each_mate(record, shifted(-1.0)))


def write_class(record: Record, value: Number) -> Record:
    """The mates keep their distance in class, and a group of parameters with its own class keeps its too."""
    assert record.gear.accuracy is not None
    coarser = array(value) - array(record.gear.accuracy.tolerance_class)

    def classed(data: GearData) -> GearData:
        if data.accuracy is None:
            return data
        drawn = data.accuracy
        classes = class_range(drawn.edition)
        given = {name: getattr(drawn, name) for name in ("tolerance_class", *drawn.classes)}
        moved: dict[str, Any] = {
            name: np.clip(array(value) + coarser, classes[0], classes[-1])
            for name, value in given.items()
            if value is not None
        }
        return replace(data, accuracy=replace(drawn, **moved))

    return replace(record, gear=classed(record.gear), meshes=_each_mate(record, classed))


def read_thickness(record: Record) -> Number:
    """The upper allowance of the tooth thickness of the gear; None where its backlash is not worked out."""
    if record.gear.size is None or all(mesh.backlash is None for mesh in record.meshes):
        return None
    return record.gear.size.allowance_max_mm


def write_thickness(record: Record, value: Number) -> Record:
    """The whole range of thickness moves."""
    size = record.gear.size
    assert size is not None
    more = array(value) - array(size.allowance_max_mm)
    moved = replace(
        size,
        allowance_min_mm=array(size.allowance_min_mm) + more,
        allowance_max_mm=array(size.allowance_max_mm) + more,
    )
    return replace(record, gear=replace(record.gear, size=moved))


_WINDOW = ("as_treated_min_mm", "as_treated_max_mm", "finished_min_mm", "finished_max_mm")
_STOCK = ("left_stock_min_mm", "left_stock_max_mm", "right_stock_min_mm", "right_stock_max_mm")


def write_case_depth(record: Record, value: Number) -> Record:
    """The whole window moves, as treated and finished."""
    case = record.gear.case
    assert case is not None
    deeper = array(value) - array(case.finished_min_mm)
    moved = {name: array(getattr(case, name)) + deeper for name in _WINDOW}
    return replace(record, gear=replace(record.gear, case=replace(case, **moved)))


def write_stock(record: Record, value: Number) -> Record:
    """The whole range of stock moves on both flanks, not below zero."""
    case = record.gear.case
    assert case is not None
    more = array(value) - array(case.left_stock_max_mm)
    moved = {name: np.maximum(array(getattr(case, name)) + more, 0.0) for name in _STOCK}
    tooth = record.gear.tooth
    gear = _with_tooth(
        replace(record.gear, case=replace(case, **moved)),
        stock_min_mm=np.maximum(array(tooth.stock_min_mm) + more, 0.0),
        stock_max_mm=np.maximum(array(tooth.stock_max_mm) + more, 0.0),
    )
    return replace(record, gear=gear)


def read_class(record: Record) -> Number:
    """The tolerance class of the gear."""
    return None if record.gear.accuracy is None else record.gear.accuracy.tolerance_class


def read_case(name: str) -> Callable[[Record], Number]:
    """Read one value of the case of the gear."""
    return lambda record: None if record.gear.case is None else getattr(record.gear.case, name)


def write_viscosity(record: Record, value: Number) -> Record:
    """Another oil of the same line: at 100 °C it is thicker by the power 2/3, as mineral oils are."""
    oil = record.lubricant
    assert oil is not None
    thicker = array(value) / array(oil.viscosity_40C_mm2_s)
    hot = None if oil.viscosity_100C_mm2_s is None else array(oil.viscosity_100C_mm2_s) * thicker ** (2 / 3)
    return replace(record, lubricant=replace(oil, viscosity_40C_mm2_s=array(value), viscosity_100C_mm2_s=hot))


def write_oil_temperature(record: Record, value: Number) -> Record:
    """The oil alone."""
    assert record.lubricant is not None
    return replace(record, lubricant=replace(record.lubricant, oil_temperature_C=array(value)))


def write_roughness(record: Record, value: Number) -> Record:
    """The flanks of the mates become finer, or coarser, by the same share."""
    assert record.gear.finish is not None
    share = array(value) / array(record.gear.finish.flank_roughness_um)

    def finished(data: GearData) -> GearData:
        if data.finish is None:
            return data
        rough = array(data.finish.flank_roughness_um) * share
        return replace(data, finish=replace(data.finish, flank_roughness_um=rough))

    return replace(record, gear=finished(record.gear), meshes=_each_mate(record, finished))
