"""What was tested, in the language of the rating: forces and torques of specimens as root or flank stress."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from gearcheck.basics.digits import value_text
from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.basics.results import Result
from gearcheck.fatigue.inputs import Place
from gearcheck.gear.inputs import Tooth
from gearcheck.gear.pair import PairGeometry, pair_geometry
from gearcheck.gear.span import Span, span
from gearcheck.materials.strength import strength_limits
from gearcheck.review.fatigue_inputs import FatigueTests, LoadKind, SpecimenGear
from gearcheck.review.inputs import NO_STEEL, Record
from gearcheck.review.results import stop_words
from gearcheck.stress.flank import flank_stress
from gearcheck.stress.inputs import Member
from gearcheck.stress.pulsator import pulsator_stress
from gearcheck.stress.rig_factors import rig_factors
from gearcheck.stress.root import root_stress

LEAST_MPa = 50.0
MOST_MPa = {Place.ROOT: 5000.0, Place.FLANK: 8000.0}
"""Between these a specimen of case-hardened steel breaks, or pits, by fatigue: common practice, set wide."""
HELICAL = "a pulsator test of helical specimens is not turned into stress: give stress_MPa"


@dataclass(frozen=True, kw_only=True)
class SpecimenStress:
    """The stress of each test.

    Parameters
    ----------
    stress_MPa : ndarray or None
        In the order of the file; None where it stops, for a reason.
    reason : str
        Why there is none; empty otherwise.
    steps : tuple of str and Result
        What it follows from, each with its title.
    notices : tuple of Notice
        What is told beside them.
    """

    stress_MPa: Array | None
    reason: str = ""
    steps: tuple[tuple[str, Result], ...] = ()
    notices: tuple[Notice, ...] = ()


def specimen_stress(record: Record, tests: FatigueTests) -> SpecimenStress:
    """Return the stress of each test by the method of the rating.

    Parameters
    ----------
    record : Record
        Edition, readings and steel are taken from it.
    tests : FatigueTests
        One of its entries.

    Returns
    -------
    SpecimenStress
        A caution where the file gives stresses, whose method nobody knows here. None where steel cannot be
        tested at one of them: a column in another unit would count as strength.
    """
    found = _turned_into_stress(record, tests)
    reason = "" if found.stress_MPa is None else _impossible(tests, found.stress_MPa)
    return replace(found, stress_MPa=None, reason=reason) if reason else found


def _impossible(tests: FatigueTests, stress: Array) -> str:
    """Why these cannot be the stresses of a fatigue test of steel; empty where they can."""
    most, left_out = MOST_MPa[tests.place], {one.specimen for one in tests.excluded}
    for name, one in zip(tests.table.specimen, stress.tolist(), strict=False):
        if LEAST_MPa <= one <= most or name in left_out:
            continue
        beyond = "more" if one > most else "less"
        edge = value_text(most if one > most else LEAST_MPa, "MPa")
        return (
            f"the {tests.place} stress of {name} comes to {value_text(one, 'MPa')}, and no fatigue test of "
            f"steel is run at {beyond} than {edge} (common practice): is its {tests.table.load_kind} in the "
            "unit of the column?"
        )
    return ""


def _turned_into_stress(record: Record, tests: FatigueTests) -> SpecimenStress:
    if tests.table.load_kind is LoadKind.STRESS:
        text = (
            f"{tests.table.source} gives stresses: that they are worked out as the rating does, with load at "
            "the same point and with its stress correction, is not checked."
        )
        told = Notice(Level.CAUTION, "fatigue.stress_given", text)
        return SpecimenStress(stress_MPa=tests.table.load, notices=(told,))
    assert tests.gear is not None
    try:
        if tests.table.load_kind is LoadKind.FORCE:
            return _in_pulsator(tests.gear, tests.table.load)
        return _running(record, tests, tests.gear)
    except InputError as error:  # a gear that no formula can use
        return SpecimenStress(stress_MPa=None, reason="; ".join(str(fault) for fault in error.faults))


def _in_pulsator(gear: SpecimenGear, force: Array) -> SpecimenStress:
    if gear.helix_angle_deg != 0:
        return SpecimenStress(stress_MPa=None, reason=HELICAL)
    tooth = gear.tooth
    rack = {
        "normal_module_mm": gear.normal_module_mm,
        "pressure_angle_deg": gear.pressure_angle_deg,
        "teeth": tooth.teeth,
        "profile_shift": tooth.profile_shift,
    }
    over: Span | None = None
    diameter = gear.load_diameter_mm
    if gear.span_teeth is not None:
        over = span(
            **rack,
            helix_angle_deg=0.0,
            span_teeth=gear.span_teeth,
            tip_diameter_mm=tooth.tip_diameter_mm,
        )
        if stopped := stop_words(over):
            return SpecimenStress(stress_MPa=None, reason=stopped)
        diameter = float(array(over.contact_diameter_mm))
    found = pulsator_stress(
        **rack,
        force_N=force,
        load_diameter_mm=diameter,
        tip_diameter_mm=tooth.tip_diameter_mm,
        face_width_mm=tooth.face_width_mm,
        rack_dedendum=tooth.rack_dedendum,
        rack_root_radius=tooth.rack_root_radius,
        residual_undercut_mm=max(float(array(tooth.protuberance_mm)) - float(array(tooth.stock_min_mm)), 0.0),
    )
    before = () if over is None else (("Span of the jaws", over),)
    steps: tuple[tuple[str, Result], ...] = (*before, ("Root stress in the pulsator", found))
    reason = stop_words(found) or _notched(tooth)
    return SpecimenStress(stress_MPa=None if reason else array(found.stress_MPa), reason=reason, steps=steps)


def _notched(tooth: Tooth) -> str:
    """A notch in the fillet of the specimens has no place in the form of a pulsator test."""
    if float(array(tooth.stock_max_mm)) <= float(array(tooth.protuberance_mm)):
        return ""
    return (
        f"stock up to {float(array(tooth.stock_max_mm)):.3g} mm exceeds the protuberance of the specimens, "
        f"{float(array(tooth.protuberance_mm)):.3g} mm: grinding can leave a notch in the fillet"
    )


def _running(record: Record, tests: FatigueTests, gear: SpecimenGear) -> SpecimenStress:
    assert gear.mate is not None
    assert gear.factors is not None
    if record.methods is None:
        return SpecimenStress(stress_MPa=None, reason="[methods] missing")
    first = gear.tooth.teeth <= gear.mate.teeth
    pair = _pair(gear, gear.mate, first=first)
    if stopped := stop_words(pair):
        return SpecimenStress(stress_MPa=None, reason=stopped)
    to_pinion = 1.0 if first else float(array(gear.mate.teeth)) / float(array(gear.tooth.teeth))
    given = gear.factors
    factors = rig_factors(
        pair=pair,
        torque_Nm=tests.table.load * to_pinion,
        application_factor=given.application,
        dynamic_factor=given.dynamic,
        face_factor=given.face,
        transverse_factor=given.transverse,
        tip_relief_um=gear.tip_relief_um,
    )
    member = Member.PINION if first else Member.WHEEL
    both: dict[str, Any] = {"pair": pair, "factors": factors, "readings": record.methods.readings}
    told = Notice(
        Level.NOTE,
        "fatigue.rig_factors",
        f"The load factors of the rig are as given by {given.source} ({given.status}).",
    )
    if tests.place is Place.ROOT:
        root = root_stress(**both, member=member, edition=record.methods.stress)
        steps: tuple[tuple[str, Result], ...] = (("Root stress of running specimens", root),)
        return _of(root, array(root.stress_MPa), (("Load factors of the rig", factors), *steps), told)
    if record.gear.steel is None:
        return SpecimenStress(stress_MPa=None, reason=NO_STEEL)
    limits = strength_limits(steel=record.gear.steel)  # for its elastic constants alone
    flank = flank_stress(**both, pinion_limits=limits, wheel_limits=limits, edition=record.methods.stress)
    steps = (("Contact stress of running specimens", flank),)
    return _of(flank, array(flank.stress_MPa(member)), (("Load factors of the rig", factors), *steps), told)


def _of(found: Result, stress: Array, steps: tuple[tuple[str, Result], ...], told: Notice) -> SpecimenStress:
    reason = stop_words(found)
    return SpecimenStress(stress_MPa=None if reason else stress, reason=reason, steps=steps, notices=(told,))


def _pair(gear: SpecimenGear, mate: Tooth, *, first: bool) -> PairGeometry:
    pinion, wheel = (gear.tooth, mate) if first else (mate, gear.tooth)
    return pair_geometry(
        normal_module_mm=gear.normal_module_mm,
        pressure_angle_deg=gear.pressure_angle_deg,
        helix_angle_deg=gear.helix_angle_deg,
        centre_distance_mm=gear.centre_distance_mm,
        pinion=pinion,
        wheel=wheel,
    )


def without_excluded(tests: FatigueTests, stress: Array) -> tuple[FatigueTests, Array]:
    """Return the tests and their stresses without the specimens that do not count.

    Parameters
    ----------
    tests : FatigueTests
        As in the file.
    stress : ndarray
        Of each test.

    Returns
    -------
    tests, stress : FatigueTests and ndarray
        Of those that count.
    """
    names = {one.specimen for one in tests.excluded}
    keep = np.array([name not in names for name in tests.table.specimen])
    table = tests.table

    def some(of: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(name for name, kept in zip(of, keep, strict=True) if kept)

    words = ("specimen", "gear", "tooth", "batch", "mode", "reason", "retest_of")
    kept: dict[str, Any] = {name: some(getattr(table, name)) for name in words}
    for name in ("load", "stress_ratio", "cycles", "failed", "sound_cycles"):
        values = getattr(table, name)
        kept[name] = None if values is None else values[keep]
    return replace(tests, table=replace(table, **kept)), stress[keep]
