"""gearcheck: the live review record of a case-carburised power gear.

The public functions load on first use, so that ``import gearcheck`` stays light.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

_HOMES = {
    "Tooth": "gearcheck.gear.inputs",
    "pair_geometry": "gearcheck.gear.pair",
    "contact_path": "gearcheck.gear.path",
    "tooth_outline": "gearcheck.gear.outline",
    "root_form_clearance": "gearcheck.gear.form",
    "chordal_thickness": "gearcheck.gear.thickness",
    "chord_at": "gearcheck.gear.thickness",
    "span": "gearcheck.gear.span",
    "thickness_from_span": "gearcheck.gear.span",
    "dimension_over_bodies": "gearcheck.gear.over_bodies",
    "dimension_between_bodies": "gearcheck.gear.between",
    "thickness_from_bodies": "gearcheck.gear.body_size",
    "backlash": "gearcheck.gear.backlash",
    "Load": "gearcheck.stress.inputs",
    "load_factors": "gearcheck.stress.factors",
    "face_load_factor": "gearcheck.stress.face_load",
    "planet_load_factor": "gearcheck.stress.planets",
    "flank_stress": "gearcheck.stress.flank",
    "flank_safety": "gearcheck.stress.flank_limit",
    "flank_static_safety": "gearcheck.stress.flank_static",
    "root_stress": "gearcheck.stress.root",
    "root_safety": "gearcheck.stress.root_limit",
    "root_static_safety": "gearcheck.stress.root_static",
    "agma_rating": "gearcheck.stress.agma_rating",
    "strength_limits": "gearcheck.materials.strength",
    "class_society_limits": "gearcheck.materials.society",
    "hertz_line": "gearcheck.contact.hertz",
    "stress_field": "gearcheck.contact.field",
    "tolerance_budget": "gearcheck.review.budget",
    "consequences": "gearcheck.review.consequence",
    "geometric_transmission_error": "gearcheck.accuracy.transmission",
    "correction_stock": "gearcheck.accuracy.correction",
    "class_correction": "gearcheck.accuracy.correction",
    "ToothTraces": "gearcheck.accuracy.inputs",
    "case_depth_figures": "gearcheck.hardening.figures",
    "required_case_depth": "gearcheck.hardening.required",
    "finished_case": "gearcheck.hardening.finished",
    "case_window": "gearcheck.hardening.case_window",
    "tooth_stock": "gearcheck.hardening.stock",
    "ground_case": "gearcheck.hardening.stock",
    "grind_heat": "gearcheck.hardening.grind_heat",
    "grind_temperature": "gearcheck.hardening.grind_heat",
    "grind_softening": "gearcheck.hardening.grind_softening",
    "pass_below_temperature": "gearcheck.hardening.grind_limit",
    "pass_below_softening": "gearcheck.hardening.grind_limit",
    "core_hardness": "gearcheck.hardening.quench",
    "martensite_start": "gearcheck.hardening.austenite",
    "retained_austenite": "gearcheck.hardening.austenite",
    "cold_treated_austenite": "gearcheck.hardening.austenite",
    "quenched_case": "gearcheck.hardening.quenched",
    "effective_case_depths": "gearcheck.hardening.effective",
    "tempered_hardness": "gearcheck.hardening.tempering",
    "bake_against_temper": "gearcheck.hardening.tempering",
    "carbon_profile": "gearcheck.hardening.carbon",
    "carburising_times": "gearcheck.hardening.times",
    "mask_creep": "gearcheck.hardening.masking",
    "fatigue_limits": "gearcheck.materials.fatigue",
    "residual_stress": "gearcheck.hardening.residual",
    "rolling_cycle": "gearcheck.hardening.history",
    "stress_map": "gearcheck.hardening.history",
    "criteria_exposure": "gearcheck.hardening.fatigue_exposure",
    "criterion_case_depth": "gearcheck.hardening.fatigue_depth",
    "case_depths": "gearcheck.hardening.case_depths",
    "case_depth_band": "gearcheck.hardening.band",
    "tolerances": "gearcheck.accuracy.tolerances",
    "accuracy_class": "gearcheck.accuracy.grade",
    "gear_class": "gearcheck.accuracy.gear_class",
    "tolerance_table": "gearcheck.accuracy.tolerance_table",
    "composite_tolerances": "gearcheck.accuracy.composite",
    "composite_class": "gearcheck.accuracy.composite_class",
    "older_pitch_tolerances": "gearcheck.accuracy.older",
    "class_with_guard": "gearcheck.accuracy.gear_class",
    "pitch_deviations": "gearcheck.accuracy.pitch",
    "pitch_harmonics": "gearcheck.accuracy.harmonics",
    "once_a_turn": "gearcheck.accuracy.turn",
    "smoothed_trace": "gearcheck.accuracy.filter",
    "trace_evaluation": "gearcheck.accuracy.traces",
    "profile_range": "gearcheck.accuracy.ranges",
    "helix_range": "gearcheck.accuracy.ranges",
    "design_trace": "gearcheck.gear.design",
    "gear_compliance": "gearcheck.meshing.compliance",
    "mesh_bed": "gearcheck.meshing.mesh_bed",
    "loaded_contact": "gearcheck.meshing.loaded",
    "loaded_revolution": "gearcheck.meshing.revolution",
    "scatter_within": "gearcheck.meshing.made",
    "scattered_contact": "gearcheck.meshing.scatter",
    "relief_front": "gearcheck.meshing.advisor",
    "damage_sum": "gearcheck.duty.damage",
    "equivalent_torque": "gearcheck.duty.equivalent",
    "lubricant_at": "gearcheck.materials.lubricant",
    "flash_temperature": "gearcheck.stress.scuffing_flash",
    "integral_temperature": "gearcheck.stress.scuffing_integral",
    "micropitting": "gearcheck.stress.micropitting",
    "tolerated_flaw": "gearcheck.stress.flaws",
    "gear_failed_share": "gearcheck.fatigue.weakest",
    "size_shift": "gearcheck.fatigue.weakest",
    "stress_ratio_factor": "gearcheck.fatigue.mean_stress",
    "read_gear_file": "gearcheck.review.gear_file",
}

__all__ = sorted([*_HOMES, "review"])


def __getattr__(name: str) -> Any:
    if name == "review":  # the room itself, which answers a call
        return import_module("gearcheck.review")
    if name not in _HOMES:
        raise AttributeError(f"gearcheck has no {name}")
    return getattr(import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return __all__
