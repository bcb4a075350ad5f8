"""What may be moved of furnace, grind and steel below the flank; the case as drawn does not follow."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from gearcheck.basics.numbers import Number, array
from gearcheck.review.carburised import boost_place
from gearcheck.review.change import Change
from gearcheck.review.inputs import Record

LONGEST_H = 1000.0
"""No step of a furnace may be longer; all of them together do not reach it in a what-if."""


def _read_furnace_time(record: Record) -> Number:
    """The time of all steps of the furnace."""
    furnace = record.furnace
    return None if furnace is None else sum(float(array(step.hours)) for step in furnace.steps)


def _write_furnace_time(record: Record, value: Number) -> Record:
    """Each step keeps its share of the time."""
    furnace = record.furnace
    assert furnace is not None
    longer = array(value) / array(_read_furnace_time(record))
    steps = tuple(replace(step, hours=array(step.hours) * longer) for step in furnace.steps)
    return replace(record, furnace=replace(furnace, steps=steps))


def _read_step(later: int) -> Callable[[Record], Number]:
    """Read the time of the boost, or of the step after it."""

    def read(record: Record) -> Number:
        place = None if record.furnace is None else boost_place(record.furnace)
        return None if record.furnace is None or place is None else record.furnace.steps[place + later].hours

    return read


def _write_step(later: int) -> Callable[[Record, Number], Record]:
    """Write it; the other steps stay."""

    def write(record: Record, value: Number) -> Record:
        furnace = record.furnace
        assert furnace is not None
        place = boost_place(furnace)
        assert place is not None
        steps = list(furnace.steps)
        steps[place + later] = replace(steps[place + later], hours=array(value))
        return replace(record, furnace=replace(furnace, steps=tuple(steps)))

    return write


def _step_change(key: str, label: str, later: int) -> Change:
    return Change(
        key=key,
        label=label,
        symbol="",
        unit="h",
        digits=2,
        step=0.1,
        reach=(0.9, 2.0),
        relative=True,
        least=0.01,
        most=LONGEST_H,
        read=_read_step(later),
        write=_write_step(later),
        goes_with="the other steps stay",
        apart=("furnace_time",),
        traded=False,
        mends=False,
    )


def _read(part: str, name: str) -> Callable[[Record], Number]:
    """Read one value of furnace, grinding or subsurface."""

    def read(record: Record) -> Number:
        whole: Any = getattr(record, part)
        return None if whole is None else getattr(whole, name)

    return read


def _write(part: str, name: str) -> Callable[[Record, Number], Record]:
    """Write one value of those; what is not there has nothing to move."""

    def write(record: Record, value: Number) -> Record:
        changed: dict[str, Any] = {name: array(value)}
        whole: dict[str, Any] = {part: replace(getattr(record, part), **changed)}
        return replace(record, **whole)

    return write


PROCESS_CHANGES = (
    Change(
        key="furnace_time",
        apart=("boost_time", "diffuse_time"),
        label="Time in the furnace",
        symbol="t",
        unit="h",
        digits=2,
        step=0.1,
        reach=(0.6, 1.0),
        relative=True,
        least=0.01,
        most=LONGEST_H,
        read=_read_furnace_time,
        write=_write_furnace_time,
        goes_with="each step keeps its share",
        traded=False,
        mends=False,
    ),
    _step_change("boost_time", "Time of the boost", 0),
    _step_change("diffuse_time", "Time of the diffuse step", 1),
    Change(
        key="temper",
        label="Temperature of the temper",
        symbol="",
        unit="°C",
        digits=0,
        step=10,
        reach=(60, 80),
        least=100,
        most=300,
        read=_read("furnace", "temper_temperature_C"),
        write=_write("furnace", "temper_temperature_C"),
        traded=False,
        mends=False,
    ),
    Change(
        key="depth_of_cut",
        label="Depth of cut of the grind",
        symbol="a",
        unit="mm",
        digits=4,
        step=0.2,
        reach=(0.9, 3.0),
        relative=True,
        least=1e-4,
        most=1,
        read=_read("grinding", "depth_of_cut_mm"),
        write=_write("grinding", "depth_of_cut_mm"),
        goes_with="the specific energy is held; in truth it rises as the cut gets finer",
        traded=False,
        mends_alone="grind.",
    ),
    Change(
        key="grind_energy",
        label="Specific energy of the grind",
        symbol="u",
        unit="J/mm³",
        digits=1,
        step=0.2,
        reach=(0.7, 2.0),
        relative=True,
        least=6.5,
        most=1000,
        read=_read("grinding", "specific_energy_J_mm3"),
        write=_write("grinding", "specific_energy_J_mm3"),
        traded=False,
        mends_alone="grind.",
    ),
    Change(
        key="friction",
        label="Friction of the flanks",
        symbol="μ",
        unit="",
        digits=2,
        step=0.02,
        reach=(0.3, 0.3),
        least=0.0,
        most=0.3,
        read=_read("subsurface", "friction"),
        write=_write("subsurface", "friction"),
        goes_with="it moves Dang Van and the shear amplitude; yielding is held without friction",
        traded=False,
        mends=False,
    ),
    Change(
        key="inclusion",
        label="Largest inclusion, √area",
        symbol="",
        unit="µm",
        digits=0,
        step=10,
        reach=(95, 200),
        least=5,
        most=1000,
        read=_read("subsurface", "inclusion_root_area_um"),
        write=_write("subsurface", "inclusion_root_area_um"),
        traded=False,
        mends=False,
    ),
)
"""In the order of the route, and what the criteria below the surface ask for."""
