"""From the checked sections of a gear file to the inputs of the rooms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from gearcheck.accuracy.inputs import AccuracySpecification, TraceKind
from gearcheck.gear.inputs import PinionCutter
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.materials.inputs import Lubricant, Steel, Treatment
from gearcheck.review.fatigue_inputs import SpecimenTable
from gearcheck.review.file_contact import axes_of
from gearcheck.review.file_duty import DutyFile, duty_of
from gearcheck.review.file_evidence import PitchFile
from gearcheck.review.file_fatigue import fatigue_of
from gearcheck.review.file_furnace import furnace_of, grinding_of, mask_of, subsurface_of
from gearcheck.review.file_inspection import InspectionFiles, ReadResult, TraverseFile
from gearcheck.review.file_loads import (
    AgreedSection,
    BlankSection,
    CutterSection,
    LubricantSection,
    NotchSection,
    ShaftSection,
)
from gearcheck.review.file_model import (
    AccuracySection,
    BodySection,
    CaseSection,
    FinishSection,
    GearFile,
    MateSection,
    MeshSection,
    MethodsSection,
    RequiredSection,
    SteelSection,
)
from gearcheck.review.file_modification import modification_of
from gearcheck.review.file_plan import inspection_of, read_value, units_of
from gearcheck.review.file_size import conditions_of, size_of
from gearcheck.review.file_stress import StressFile
from gearcheck.review.file_teeth import AS_CUT, StockSection, tooth_of
from gearcheck.review.file_trace_entries import head_of, traces_of
from gearcheck.review.file_traces import TraceFile
from gearcheck.review.file_values import rounded
from gearcheck.review.inputs import (
    CaseDepthEvidence,
    GearData,
    HardnessEvidence,
    Mesh,
    Methods,
    Part,
    PitchEvidence,
    Record,
    Required,
    ResidualStressEvidence,
    ResultEvidence,
    TraverseEvidence,
)
from gearcheck.stress.inputs import Blank, Finish, GrindingNotch, Readings, Shaft

MM_PER_INCH = 25.4


def record_of(
    file: GearFile,
    pitch: list[PitchFile],
    inspected: InspectionFiles,
    results: tuple[ReadResult, ...],
    duty: DutyFile | None,
    traces: Mapping[TraceKind, list[TraceFile]],
    specimens: list[SpecimenTable],
) -> Record:
    """Return the record that a gear file describes, without digest and text.

    Parameters
    ----------
    file : GearFile
        Checked.
    pitch : list of PitchFile
        The measured pitch, one for each entry of the file.
    inspected : InspectionFiles
        Likewise for traverses and residual stresses.
    results : tuple of ReadResult
        Of the gear file and of its files.
    duty : DutyFile or None
        The spectrum, where it stands in a file of its own.
    traces : mapping of TraceKind to list of TraceFile
        The measured traces, one for each entry of the file.
    specimens : list of SpecimenTable
        Likewise for the fatigue tests.

    Returns
    -------
    Record
        In the units of the package.
    """
    gear = file.gear
    module = gear.normal_module
    if module is None:
        assert gear.normal_diametral_pitch is not None
        module = rounded(MM_PER_INCH / gear.normal_diametral_pitch)
    return Record(
        part=Part(**file.part.model_dump()),
        normal_module_mm=module,
        pressure_angle_deg=gear.pressure_angle,
        helix_angle_deg=gear.helix_angle,
        gear=_gear(gear),
        meshes=tuple(_mesh(mesh) for mesh in file.mesh),
        lubricant=_lubricant(file.lubricant) if file.lubricant else None,
        required=_required(file.required) if file.required else None,
        methods=_methods(file.methods) if file.methods else None,
        pitch=_pitch(file, pitch),
        profile=traces_of(file.evidence.profile, TraceKind.PROFILE, traces),
        helix=traces_of(file.evidence.helix, TraceKind.HELIX, traces),
        case_depth=_case_depth(file),
        hardness=_hardness(file),
        inspection=None if file.inspection is None else inspection_of(file.inspection),
        duty=None if file.duty is None else duty_of(file.duty, duty),
        traverse=_traverses(file, inspected.traverses),
        residual_stress=_stresses(file, inspected.stresses),
        result=_results(file, results),
        furnace=furnace_of(gear.furnace) if gear.furnace else None,
        grinding=grinding_of(gear.grinding) if gear.grinding else None,
        subsurface=subsurface_of(gear.subsurface) if gear.subsurface else None,
        mask=mask_of(gear.mask) if gear.mask else None,
        hand=gear.hand,
        fatigue=None if file.fatigue is None else fatigue_of(file.fatigue, specimens),
    )


def _gear(data: BodySection) -> GearData:
    return GearData(
        tooth=tooth_of(data),
        finish=_finish(data.finish) if data.finish else None,
        steel=_steel(data.steel) if data.steel else None,
        case=_case(data.case, data.stock) if data.case else None,
        accuracy=_accuracy(data.accuracy) if data.accuracy else None,
        tip_relief_um=data.finish.tip_relief if data.finish else 0.0,
        blank=_blank(data.blank) if data.blank else None,
        notch=_notch(data.grinding_notch) if data.grinding_notch else None,
        size=size_of(data.size) if data.size else None,
        modification=modification_of(data.modification) if data.modification else None,
    )


def _lubricant(oil: LubricantSection) -> Lubricant:
    return Lubricant(
        viscosity_40C_mm2_s=oil.viscosity_40C,
        viscosity_100C_mm2_s=oil.viscosity_100C,
        density_15C_kg_m3=oil.density_15C,
        oil_temperature_C=oil.oil_temperature,
        fzg_stage=oil.fzg_stage,
        kind=oil.kind,
        supply=oil.supply,
    )


def _blank(blank: BlankSection) -> Blank:
    return Blank(
        bore_mm=blank.bore,
        rim_thickness_mm=blank.rim_thickness,
        web_thickness_mm=blank.web_thickness,
    )


def _notch(notch: NotchSection) -> GrindingNotch:
    return GrindingNotch(depth_mm=notch.depth, radius_mm=notch.radius)


def _finish(finish: FinishSection) -> Finish:
    return Finish(flank_roughness_um=finish.flank_roughness, root_roughness_um=finish.root_roughness)


def _steel(steel: SteelSection) -> Steel:
    return Steel(
        grade=steel.grade,
        quality=steel.quality,
        surface_hardness_HV=steel.surface_hardness,
        core_hardness_HV=steel.core_hardness,
        hardenability_HRC=steel.hardenability,
        treatment=getattr(steel, "treatment", Treatment.CASE_CARBURISED),
    )


def _accuracy(accuracy: AccuracySection) -> AccuracySpecification:
    return AccuracySpecification(**accuracy.model_dump())


def _case(case: CaseSection, stock: StockSection | None) -> CaseSpecification:
    left, right = (stock.left, stock.right) if stock else (AS_CUT, AS_CUT)
    return CaseSpecification(
        as_treated_min_mm=case.as_treated[0],
        as_treated_max_mm=case.as_treated[1],
        finished_min_mm=case.finished[0],
        finished_max_mm=case.finished[1],
        left_stock_min_mm=left[0],
        left_stock_max_mm=left[1],
        right_stock_min_mm=right[0],
        right_stock_max_mm=right[1],
    )


def _mesh(mesh: MeshSection) -> Mesh:
    return Mesh(
        name=mesh.name,
        centre_distance_mm=mesh.centre_distance,
        torque_Nm=mesh.torque,
        speed_rpm=mesh.speed,
        application_factor=mesh.application_factor,
        mesh_load_factor=mesh.mesh_load_factor,
        face_load_factor=mesh.face_load_factor,
        loaded_flank=mesh.loaded_flank,
        mate=_mate(mesh.mate),
        shaft=_shaft(mesh.shaft) if mesh.shaft else None,
        mates=mesh.mates,
        mate_contacts=mesh.mate.contacts,
        mate_idler=mesh.mate.idler,
        backlash=conditions_of(mesh.backlash) if mesh.backlash else None,
        contact=axes_of(mesh.contact) if mesh.contact else None,
    )


def _mate(mate: MateSection) -> GearData:
    data = _gear(mate)
    if not mate.internal:
        return data
    cutter = _cutter(mate.cutter) if mate.cutter else None
    return replace(data, tooth=replace(data.tooth, internal=True), cutter=cutter)


def _cutter(cutter: CutterSection) -> PinionCutter:
    return PinionCutter(
        teeth=cutter.teeth,
        profile_shift=cutter.profile_shift,
        tip_diameter_mm=cutter.tip_diameter,
        tip_radius_mm=cutter.tip_radius,
    )


def _shaft(shaft: ShaftSection) -> Shaft:
    return Shaft(
        layout=shaft.layout,
        span_mm=shaft.span,
        offset_mm=shaft.offset,
        diameter_mm=shaft.diameter,
        stiffened=shaft.stiffened,
        lead_modification=shaft.lead_modification,
        pattern=shaft.pattern,
        misalignment_um=shaft.misalignment,
    )


def _required(required: RequiredSection) -> Required:
    return Required(
        set_by=required.set_by,
        flank_safety=required.flank_safety,
        root_safety=required.root_safety,
        subsurface_safety=required.subsurface_safety,
        life_h=required.life,
        reliability=required.reliability,
        accuracy_class=required.accuracy_class,
        **{name: getattr(required, name) for name in AgreedSection.model_fields},
        least_backlash_mm=required.least_backlash,
        greatest_backlash_mm=required.greatest_backlash,
        transmission_error_um=required.transmission_error,
        pattern_margin_mm=required.pattern_margin,
    )


def _methods(methods: MethodsSection) -> Methods:
    overrides = methods.readings.model_dump(exclude={"base"}, exclude_none=True)
    return Methods(
        stress=methods.stress,
        case_depth=methods.case_depth,
        accuracy=methods.accuracy,
        scuffing=methods.scuffing,
        contact_pressure=methods.contact_pressure,
        readings=Readings(**overrides),
    )


def _pitch(file: GearFile, files: list[PitchFile]) -> tuple[PitchEvidence, ...]:
    return tuple(
        PitchEvidence(
            head=head_of(entry, entry.file, data.sha256, uncertainty=entry.uncertainty),
            left_um=data.left_um,
            right_um=data.right_um,
            source_text=data.text,
        )
        for entry, data in zip(file.evidence.pitch, files, strict=True)
    )


def _case_depth(file: GearFile) -> tuple[CaseDepthEvidence, ...]:
    return tuple(
        CaseDepthEvidence(
            head=head_of(entry, f"evidence.case_depth[{number}]", uncertainty=entry.uncertainty),
            flank=entry.flank,
            as_treated_mm=entry.as_treated,
            stock_removed_mm=entry.stock_removed,
        )
        for number, entry in enumerate(file.evidence.case_depth, start=1)
    )


def _hardness(file: GearFile) -> tuple[HardnessEvidence, ...]:
    return tuple(
        HardnessEvidence(
            head=head_of(entry, f"evidence.hardness[{number}]", uncertainty=entry.uncertainty),
            place=entry.place,
            hardness_HV=entry.hardness,
        )
        for number, entry in enumerate(file.evidence.hardness, start=1)
    )


def _traverses(file: GearFile, files: tuple[TraverseFile, ...]) -> tuple[TraverseEvidence, ...]:
    return tuple(
        TraverseEvidence(
            head=head_of(entry, entry.file, data.file.sha256, uncertainty=entry.uncertainty),
            place=entry.place,
            state=entry.state,
            depth_mm=data.depth_mm,
            hardness_HV=data.hardness_HV,
            flank=entry.flank,
            stock_removed_mm=entry.stock_removed,
            scale=data.scale,
            test_force_kgf=entry.test_force,
            sideways_offset_mm=entry.sideways_offset,
            source_text=data.file.text,
        )
        for entry, data in zip(file.evidence.traverse, files, strict=True)
    )


def _stresses(file: GearFile, files: tuple[StressFile, ...]) -> tuple[ResidualStressEvidence, ...]:
    return tuple(
        ResidualStressEvidence(
            head=head_of(entry, entry.file, data.file.sha256, uncertainty=entry.uncertainty),
            place=entry.place,
            state=entry.state,
            technique=entry.technique,
            depth_mm=data.depth_mm,
            stress_MPa=data.stress_MPa,
            flank=entry.flank,
            is_corrected=entry.layer_removal_corrected,
            source_text=data.file.text,
        )
        for entry, data in zip(file.evidence.residual_stress, files, strict=True)
    )


def _results(file: GearFile, results: tuple[ReadResult, ...]) -> tuple[ResultEvidence, ...]:
    units = units_of(file.inspection)
    return tuple(_result(item, units[item.entry.characteristic]) for item in results)


def _result(item: ReadResult, unit: str) -> ResultEvidence:
    entry, given = item.entry, item.entry.uncertainty
    spread = None if given is None or not unit else read_value(given, unit, spread=True)
    sha256, text = ("", "") if item.file is None else (item.file.sha256, item.file.text)
    return ResultEvidence(
        head=head_of(entry, item.source, sha256, uncertainty=spread),
        characteristic=entry.characteristic,
        value=read_value(entry.value, unit) if unit and entry.value is not None else None,
        found=entry.found or "",
        conforms=entry.conforms,
        source_text=text,
    )
