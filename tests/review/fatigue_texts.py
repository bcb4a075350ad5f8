"""A gear file with fatigue tests for the tests of its reader: the starter and a few invented specimens."""

from __future__ import annotations

from pathlib import Path

from gearcheck.basics.methods import Status
from gearcheck.fatigue.inputs import (
    Aspect,
    Curve,
    Difference,
    Distribution,
    Place,
    Transfer,
    TransferKind,
)
from gearcheck.gear.inputs import Tooth
from gearcheck.review.fatigue_inputs import (
    ExcludedSpecimen,
    FatigueEvidence,
    FatigueTests,
    GivenFactors,
    PlannedTest,
    Rig,
    SpecimenGear,
)
from gearcheck.review.file_specimens import specimen_table
from gearcheck.review.file_table import TableFile
from gearcheck.review.starter import starter_text

HEADER = "specimen,gear,tooth,batch,force_kN,stress_ratio,cycles,failed,mode,reason"
ROWS = (
    "S01,G1,2,B1,40,0.05,112000,yes,root,",
    "S02,G1,7,B1,40,0.05,96000,yes,root,",
    "S03,G2,2,B1,36,0.05,310000,yes,root,",
    "S04,G2,7,B1,36,0.05,6000000,no,,run-out life reached",
    "S05,G3,2,B2,34,0.05,6000000,no,,run-out life reached",
    "S06,G3,7,B2,36,0.05,905000,yes,root,",
)
TESTS = """
[[fatigue.tests]]
place = "root"
file = "specimens.csv"
rig = "pulsator"
by = "Test house, invented"
date = 2026-03-02
run_out = 6e6
curve = "random fatigue limit"
distribution = "lognormal"
because = "run-outs stand beside failures"
confidence = 0.9
within_gear_share = 0.7
mode = "root"
"""
GEAR = """
[fatigue.tests.gear]
teeth = 24
normal_module = "5 mm"
pressure_angle = "20 deg"
helix_angle = "0 deg"
face_width = "30 mm"
profile_shift = 0.0
tip_diameter = "130 mm"
span_teeth = 4
[fatigue.tests.gear.rack]
dedendum = 1.4
root_radius = 0.3
"""
MORE = """
[[fatigue.tests.excluded]]
specimen = "S02"
reason = "the anvil slipped"

[[fatigue.tests.transfer]]
name = "all teeth"
kind = "weakest tooth"
source = "order statistics of the teeth"
status = "published"
covers = ["number of teeth"]

[[fatigue.tests.transfer]]
name = "pulsator to running"
kind = "factor"
factor = 0.9
variation = 0.04
source = "usual in the trade"
status = "common practice"
covers = ["rig"]
despite = "its tests compared single teeth of both kinds"

[[fatigue.tests.difference]]
what = "rig"
specimen = "pulsator"
part = "running"

[[fatigue.tests.difference]]
what = "finish"
specimen = "root as hobbed"
part = "root as hobbed"
reason = "the same"

[fatigue]
gears_in_set = 2

[fatigue.endurance]
torque = "400 N·m"
time = "300 h"
gears = 2
"""


def with_fatigue(*, tests: str = TESTS, gear: str = GEAR, more: str = MORE) -> str:
    """The starter with fatigue tests."""
    return starter_text() + tests + gear + more


def write_specimens(folder: Path, rows: tuple[str, ...] = ROWS, header: str = HEADER) -> None:
    (folder / "specimens.csv").write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")


def filled_fatigue() -> FatigueEvidence:
    """Every input of the tests given, though no such tests are possible."""
    tooth = Tooth(
        teeth=24, face_width_mm=30.0, profile_shift=0.1, tip_diameter_mm=130.0, rack_dedendum=1.4,
        rack_root_radius=0.3, protuberance_mm=0.1, stock_min_mm=0.05, stock_max_mm=0.1, internal=True,
    )  # fmt: skip
    factors = GivenFactors(
        application=1.0, dynamic=1.05, face=1.1, transverse=1.0, source="rig", status=Status.COMMON_PRACTICE
    )
    gear = SpecimenGear(
        normal_module_mm=5.0, pressure_angle_deg=20.0, helix_angle_deg=0.0, tooth=tooth, mate=tooth,
        load_diameter_mm=128.0, span_teeth=4, centre_distance_mm=120.0, factors=factors, tip_relief_um=20.0,
    )  # fmt: skip
    table = specimen_table(
        TableFile(name="specimens.csv", sha256="0" * 64, text="\n".join([HEADER, *ROWS]) + "\n")
    )
    transfer = Transfer(
        name="R", kind=TransferKind.STRESS_RATIO, source="tests", status=Status.FROM_MEMORY, factor=0.9,
        covers=(Aspect.STRESS_RATIO,), variation=0.05, sensitivity=0.3, despite="apart",
    )  # fmt: skip
    row = Difference(what=Aspect.RIG, specimen="pulsator", part="running", reason="none")
    tests = FatigueTests(
        place=Place.ROOT, rig=Rig.PULSATOR, by="Test house", date="2026-03-02", table=table, mode="root",
        run_out_cycles=6e6, curve=Curve.RANDOM_LIMIT, distribution=Distribution.LOGNORMAL, because="so",
        confidence=0.9, within_gear_share=0.7, teeth_loaded=2, gear=gear,
        transfers=(transfer,), differences=(row,),
        excluded=(ExcludedSpecimen(specimen="S02", reason="slipped"),),
    )  # fmt: skip
    planned = PlannedTest(torque_Nm=400.0, hours=300.0, gears=2, speed_rpm=1000.0)
    return FatigueEvidence(tests=(tests,), endurance=planned, gears_in_set=2)
