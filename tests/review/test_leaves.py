"""Every input of a record has a label, and a place in the gear file from which it can be read back."""

import tomllib
from dataclasses import fields, is_dataclass, replace

import pytest

from gearcheck.accuracy.inputs import FlankModification
from gearcheck.basics.places import scenarios
from gearcheck.duty.damage import BelowKnee
from gearcheck.duty.inputs import Bin, Duty
from gearcheck.gear.inputs import Hand, PinionCutter, ReliefForm
from gearcheck.hardening.diffusivity import DiffusivityModel
from gearcheck.hardening.inputs import Furnace, FurnaceStep, Grinding, Mask, StepKind, Subsurface
from gearcheck.hardening.moving_band import HeatFlux
from gearcheck.hardening.residual import ResidualStress
from gearcheck.hardening.stop_off import StopOff
from gearcheck.inspection.plan import CharacteristicEdit
from gearcheck.inspection.route import OperationEdit
from gearcheck.materials.inputs import Lubricant, LubricantKind, OilSupply, Treatment
from gearcheck.review.fatigue_inputs import SpecimenTable
from gearcheck.review.file_loads import AgreedSection
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.inputs import KINDS, AxisDeviations, ContactPressure, Record
from gearcheck.review.leaves import alike, leaf_of, leaves
from gearcheck.stress.inputs import Blank, GrindingNotch, Readings, ScuffingMethod, Shaft, ShaftLayout
from tests.review.fatigue_texts import filled_fatigue

NAMES = ("tunnel_fan", "ship_lift", "harvester")


def record_of(name):
    return read_gear_file(scenarios() / name / "gear.toml")


def furnace():
    step = FurnaceStep(
        kind=StepKind.GAS,
        hours=3.0,
        temperature_C=930.0,
        end_temperature_C=840.0,
        carbon_potential_wt=1.0,
        transfer_m_s=1.5e-7,
        flux_g_m2_h=100.0,
    )
    return Furnace(
        steps=(step,),
        core_carbon_wt=0.18,
        diffusivity=DiffusivityModel.AGREN,
        diffusivity_factor=0.9,
        saturation_factor=0.9,
        factors_source="invented",
        band="18CrNiMo7-6 +H",
        section_mm=40.0,
        bath="oil, still",
        quench_temperature_C=60.0,
        temper_temperature_C=180.0,
        temper_time_h=2.0,
        depth_scatter_mm=0.1,
        cold_temperature_C=-80.0,
        cold_delay_h=1.0,
        tempered_before_cold=True,
        austenite_percent=18.0,
        surface_carbon_wt=0.75,
    )


def filled(record: Record) -> Record:
    """A record with every section, so that no leaf can hide behind a section that is left out."""
    mesh = record.meshes[0]
    steel = replace(record.gear.steel, hardenability_HRC=36.0, treatment=Treatment.GAS_NITRIDED)
    gear = replace(
        record.gear,
        steel=steel,
        tooth=replace(record.gear.tooth, internal=True),
        blank=Blank(bore_mm=40.0, rim_thickness_mm=12.0, web_thickness_mm=10.0),
        notch=GrindingNotch(depth_mm=0.05, radius_mm=0.4),
        accuracy=replace(record.gear.accuracy, **dict.fromkeys(record.gear.accuracy.classes, 5)),
        cutter=PinionCutter(teeth=25, profile_shift=0.1, tip_diameter_mm=111.0, tip_radius_mm=0.8),
        size=replace(record.gear.size, span_teeth=4, body_diameter_mm=9.0),
        modification=modification(),
    )
    shaft = Shaft(
        layout=ShaftLayout.OVERHUNG,
        span_mm=300.0,
        offset_mm=80.0,
        diameter_mm=90.0,
        stiffened=True,
        misalignment_um=6.0,
    )
    step = Bin(torque_Nm=900.0, speed_rpm=100.0, hours=1.0, reverse=True)
    duty = Duty(
        bins=(step,),
        below_knee=BelowKnee.LONG_LIFE,
        peak_torque_Nm=2000.0,
        starts=5000,
        torque_factor=1.1,
        speed_factor=0.9,
        source="duty.csv",
        source_text="x",
    )
    agreed = dict.fromkeys([*AgreedSection.model_fields, "transmission_error_um", "pattern_margin_mm"], 1.5)
    required = replace(record.required, **agreed)
    inspection = replace(
        record.inspection,
        operations=(
            OperationEdit(
                key="wash",
                reason="it was dirty",
                leave_out=False,
                number=95,
                title="Wash",
                changes=("surface",),
                spoils=("marking", "root"),
                caution="Alkali burns.",
                document="drawing",
                temperature_C=60.0,
                hours=0.5,
                of_sample=False,
            ),
        ),
        characteristics=(
            CharacteristicEdit(
                key="clean",
                reason="note 4",
                by="H. Lorne",
                title="Cleanliness of the bore",
                operation="wash",
                needs=("hardness.core",),
                place="bore",
                unit="mg",
                least=0.0,
                most=5.0,
                accept="clean",
                method="weighing",
                sample="each",
                document="drawing",
            ),
        ),
    )
    oil = Lubricant(
        viscosity_40C_mm2_s=220.0,
        viscosity_100C_mm2_s=19.0,
        density_15C_kg_m3=890.0,
        oil_temperature_C=70.0,
        fzg_stage=12,
        kind=LubricantKind.MINERAL,
        supply=OilSupply.DIP,
    )
    methods = replace(
        record.methods,
        scuffing=ScuffingMethod.FLASH,
        contact_pressure=ContactPressure.LOADED_CONTACT,
    )
    record = replace(
        record, inspection=inspection, duty=duty, required=required, lubricant=oil, methods=methods
    )
    mesh = replace(
        mesh,
        mate=gear,
        shaft=shaft,
        mates=3,
        mate_contacts=3,
        mate_idler=True,
        contact=AxisDeviations(in_plane_um=2.0, out_of_plane_um=5.0),
    )
    below = Subsurface(
        friction=0.05,
        inclusion_root_area_um=30.0,
        residual_stress=ResidualStress.LANG,
        hardness_scatter_HV=15.0,
        load_scatter=0.05,
    )
    grinding = Grinding(
        equivalent_diameter_mm=160.0,
        depth_of_cut_mm=0.01,
        work_speed_mm_s=120.0,
        specific_energy_J_mm3=35.0,
        flux=HeatFlux.UNIFORM,
        work_temperature_C=30.0,
        runout_mm=0.03,
        centring_mm=0.005,
        indexing_mm=0.006,
        shift_mm=-0.01,
        superfinish_min_mm=0.002,
        superfinish_max_mm=0.005,
    )
    mask = Mask(
        practice=StopOff.GAS, plate_um=30.0, distance_mm=1.5, edge_tolerance_mm=0.4, soft_carbon_wt=0.3
    )
    return replace(
        record,
        gear=gear,
        meshes=(mesh, mesh),
        furnace=furnace(),
        grinding=grinding,
        subsurface=below,
        mask=mask,
        hand=Hand.LEFT,
        fatigue=filled_fatigue(),
    )


def modification():
    numbers = {item.name: 10.0 for item in fields(FlankModification) if item.name != "relief_form"}
    return FlankModification(**numbers, relief_form=ReliefForm.PARABOLIC)


def places(value, place=()):
    """All places of a record by its dataclasses alone, in another way than the one that is tested."""
    if isinstance(value, SpecimenTable):  # its rows are evidence
        yield from ((*place, name) for name in ("source", "sha256"))
    elif is_dataclass(value):
        for item in fields(value):
            if item.name != "source_text" and not (
                value.__class__ is Record and item.name in ("digest", *KINDS)
            ):
                yield from places(getattr(value, item.name), (*place, item.name))
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from places(item, (*place, number))
    else:
        yield place


@pytest.mark.parametrize("name", NAMES)
def test_each_input_has_a_label_and_one_place(name):
    found = leaves(record_of(name))
    keys = [leaf.key for leaf in map(leaf_of, found) if leaf.key]
    assert len(keys) == len(set(keys))
    assert all(leaf_of(place).label for place in found)


def test_no_input_is_forgotten():
    record = filled(record_of("ship_lift"))
    assert set(leaves(record)) == set(places(record))
    assert all(value is not None for value in leaves(record).values())
    for place in leaves(record):
        assert leaf_of(place).label
    assert {place[2] for place in leaves(record) if place[:2] == ("methods", "readings")} == {
        item.name for item in fields(Readings)
    }


@pytest.mark.parametrize("name", NAMES)
def test_the_place_is_that_of_the_gear_file(name):
    """What is not there is a reading at its primary, a diametral pitch, or what was left out."""
    record = record_of(name)
    tables = tomllib.loads(record.source_text)
    absent = set()
    for place in leaves(record):
        home = tables
        try:
            for step in leaf_of(place).key:
                home = home[step]
        except (KeyError, IndexError):
            absent.add(place)
    left_out = ("inspection", "operations", 0, "leave_out")
    assert {place[0] for place in absent - {left_out}} <= {
        "methods",
        "normal_module_mm",
        "part",
        "gear",
        "meshes",
        "fatigue",
    }
    assert {place for place in absent if place[0] == "methods"} <= {
        place for place in leaves(record) if place[:2] == ("methods", "readings")
    }
    left = {place for place in absent if place[0] in ("gear", "meshes")}
    assert {place[-1] for place in left} <= {"protuberance_mm", "tip_relief_um"}  # at their defaults


def test_rounding_is_no_difference_and_a_word_is():
    assert alike(0.1 + 0.2, 0.3)
    assert not alike(0.3, 0.3001)
    assert alike(None, None)
    assert not alike(None, 0.0)
    assert not alike("left", "right")
    assert not alike(6.0, "6")
