"""Every input of a record by its place: how it is called, its unit, and where it stands in the gear file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

import numpy as np

from gearcheck.accuracy.inputs import Group
from gearcheck.basics.numbers import plain
from gearcheck.materials.inputs import Treatment
from gearcheck.review.fatigue_inputs import SpecimenTable
from gearcheck.review.fatigue_leaves import fatigue_leaf
from gearcheck.review.inputs import KINDS, ContactPressure, Record
from gearcheck.review.leaf import BACKLASH, CONTACT, SIZE, Leaf, Place
from gearcheck.review.modification import LEAVES as MODIFICATION

__all__ = ["Leaf", "Place", "alike", "leaf_of", "leaves"]

_LEFT_OUT = ("digest", *KINDS)
_UNSAID = {
    "internal": False,
    "treatment": Treatment.CASE_CARBURISED,
    "reverse": False,
    "mates": 1,
    "mate_contacts": 1,
    "mate_idler": False,
    "tempered_before_cold": False,
    "starts": 0,
    "torque_factor": 1.0,
    "speed_factor": 1.0,
    "source": "",
    "contact_pressure": ContactPressure.LOAD_SHARING,
    "gears_in_set": 1,
    "teeth_loaded": 1,
    "mode": "",
    "despite": "",
    "reason": "",
}
"""What a gear file need not say."""


TOOTH = {
    "teeth": Leaf("number of teeth", digits=0, key=("teeth",)),
    "face_width_mm": Leaf("face width", "mm", 2, ("face_width",)),
    "profile_shift": Leaf("profile shift", "", 4, ("profile_shift",)),
    "tip_diameter_mm": Leaf("tip diameter", "mm", 3, ("tip_diameter",)),
    "rack_dedendum": Leaf("dedendum of the rack", "", 3, ("rack", "dedendum")),
    "rack_root_radius": Leaf("root radius of the rack", "", 3, ("rack", "root_radius")),
    "protuberance_mm": Leaf("protuberance", "mm", 3, ("tool", "protuberance")),
    "stock_min_mm": Leaf("least stock of both flanks", "mm", 3),
    "stock_max_mm": Leaf("largest stock of both flanks", "mm", 3),
    "internal": Leaf("internal teeth", key=("internal",)),
}
GEAR: dict[Place, Leaf] = {
    **{("tooth", name): leaf for name, leaf in TOOTH.items()},
    ("finish", "flank_roughness_um"): Leaf("flank roughness", "µm", 1, ("finish", "flank_roughness")),
    ("finish", "root_roughness_um"): Leaf("root roughness", "µm", 1, ("finish", "root_roughness")),
    ("tip_relief_um",): Leaf("tip relief", "µm", 0, ("finish", "tip_relief")),
    ("steel", "grade"): Leaf("steel", key=("steel", "grade")),
    ("steel", "quality"): Leaf("material quality", key=("steel", "quality")),
    ("steel", "surface_hardness_HV"): Leaf("surface hardness", "HV", 0, ("steel", "surface_hardness")),
    ("steel", "core_hardness_HV"): Leaf("core hardness", "HV", 0, ("steel", "core_hardness")),
    ("steel", "treatment"): Leaf("heat treatment", key=("steel", "treatment")),
    ("steel", "hardenability_HRC"): Leaf("hardenability", "HRC", 0, ("steel", "hardenability")),
    ("case", "as_treated_min_mm"): Leaf("least case as treated", "mm", 3, ("case", "as_treated", 0)),
    ("case", "as_treated_max_mm"): Leaf("largest case as treated", "mm", 3, ("case", "as_treated", 1)),
    ("case", "finished_min_mm"): Leaf("least case as finished", "mm", 3, ("case", "finished", 0)),
    ("case", "finished_max_mm"): Leaf("largest case as finished", "mm", 3, ("case", "finished", 1)),
    ("case", "left_stock_min_mm"): Leaf("least stock, left flank", "mm", 3, ("stock", "left", 0)),
    ("case", "left_stock_max_mm"): Leaf("largest stock, left flank", "mm", 3, ("stock", "left", 1)),
    ("case", "right_stock_min_mm"): Leaf("least stock, right flank", "mm", 3, ("stock", "right", 0)),
    ("case", "right_stock_max_mm"): Leaf("largest stock, right flank", "mm", 3, ("stock", "right", 1)),
    ("accuracy", "tolerance_class"): Leaf("accuracy class", "", 0, ("accuracy", "class")),
    **{
        ("accuracy", f"{group}_class"): Leaf(
            f"accuracy class of {group}", "", 0, ("accuracy", f"{group}_class")
        )
        for group in Group
    },
    ("accuracy", "edition"): Leaf("edition of the accuracy class", key=("accuracy", "edition")),
    ("blank", "bore_mm"): Leaf("bore", "mm", 1, ("blank", "bore")),
    ("blank", "rim_thickness_mm"): Leaf("rim thickness", "mm", 1, ("blank", "rim_thickness")),
    ("blank", "web_thickness_mm"): Leaf("web thickness", "mm", 1, ("blank", "web_thickness")),
    ("cutter", "teeth"): Leaf("teeth of the cutter", "", 0, ("cutter", "teeth")),
    ("cutter", "profile_shift"): Leaf("profile shift of the cutter", "", 4, ("cutter", "profile_shift")),
    ("cutter", "tip_diameter_mm"): Leaf("tip diameter of the cutter", "mm", 3, ("cutter", "tip_diameter")),
    ("cutter", "tip_radius_mm"): Leaf("tip radius of the cutter", "mm", 3, ("cutter", "tip_radius")),
    **SIZE,
    **{
        ("modification", name): Leaf(label, unit, digits, ("modification", key))
        for name, label, unit, digits, key in MODIFICATION
    },
    ("notch", "depth_mm"): Leaf("depth of the grinding notch", "mm", 3, ("grinding_notch", "depth")),
    ("notch", "radius_mm"): Leaf("radius of the grinding notch", "mm", 3, ("grinding_notch", "radius")),
}
MESH = {
    "name": Leaf("name of the mate", key=("name",)),
    "centre_distance_mm": Leaf("centre distance", "mm", 3, ("centre_distance",)),
    "torque_Nm": Leaf("torque", "N·m", 1, ("torque",)),
    "speed_rpm": Leaf("speed", "rpm", 1, ("speed",)),
    "application_factor": Leaf("application factor", "", 3, ("application_factor",)),
    "mesh_load_factor": Leaf("mesh load factor", "", 3, ("mesh_load_factor",)),
    "face_load_factor": Leaf("face load factor", "", 3, ("face_load_factor",)),
    "loaded_flank": Leaf("loaded flank", key=("loaded_flank",)),
    "mates": Leaf("number of equal mates", digits=0, key=("mates",)),
    "mate_contacts": Leaf(
        "contacts of a flank of the mate in a revolution", digits=0, key=("mate", "contacts")
    ),
    "mate_idler": Leaf("mate meets another gear on its other flanks", key=("mate", "idler")),
}
SHAFT = {
    "layout": Leaf("place of the pinion on its shaft", key=("layout",)),
    "span_mm": Leaf("bearing span", "mm", 1, ("span",)),
    "offset_mm": Leaf("offset of the pinion from mid-span, or its overhang", "mm", 1, ("offset",)),
    "diameter_mm": Leaf("shaft diameter", "mm", 1, ("diameter",)),
    "stiffened": Leaf("pinion stiffens its shaft", key=("stiffened",)),
    "lead_modification": Leaf("lead modification", key=("lead_modification",)),
    "pattern": Leaf("contact pattern", key=("pattern",)),
    "misalignment_um": Leaf("misalignment of the mesh by manufacture", "µm", 1, ("misalignment",)),
}
FURNACE_STEP = {
    "kind": Leaf("kind", key=("kind",)),
    "hours": Leaf("time", "h", 2, ("time",)),
    "temperature_C": Leaf("temperature", "°C", 0, ("temperature",)),
    "end_temperature_C": Leaf("temperature at the end", "°C", 0, ("end_temperature",)),
    "carbon_potential_wt": Leaf("carbon potential", "%", 3, ("carbon_potential",)),
    "transfer_m_s": Leaf("transfer coefficient", "m/s", 9, ("transfer",)),
    "flux_g_m2_h": Leaf("flux of carbon", "g/(m²·h)", 1, ("flux",)),
}
BIN = {
    "torque_Nm": Leaf("torque", "N·m", 1),
    "speed_rpm": Leaf("speed", "rpm", 1),
    "hours": Leaf("time", "h", 1),
    "reverse": Leaf("reverse"),
}
WHOLE: dict[Place, Leaf] = {
    ("part", "number"): Leaf("part number", key=("part", "number")),
    ("part", "revision"): Leaf("drawing revision", key=("part", "revision")),
    ("part", "title"): Leaf("title", key=("part", "title")),
    ("part", "stage"): Leaf("stage of the review", key=("part", "stage")),
    ("part", "note"): Leaf("note", key=("part", "note")),
    ("normal_module_mm",): Leaf("normal module", "mm", 4, ("gear", "normal_module")),
    ("pressure_angle_deg",): Leaf("pressure angle", "°", 3, ("gear", "pressure_angle")),
    ("helix_angle_deg",): Leaf("helix angle", "°", 3, ("gear", "helix_angle")),
    ("hand",): Leaf("hand of the helix", key=("gear", "hand")),
    ("lubricant", "viscosity_40C_mm2_s"): Leaf(
        "viscosity at 40 °C", "mm²/s", 1, ("lubricant", "viscosity_40C")
    ),
    ("lubricant", "viscosity_100C_mm2_s"): Leaf(
        "viscosity at 100 °C", "mm²/s", 1, ("lubricant", "viscosity_100C")
    ),
    ("lubricant", "density_15C_kg_m3"): Leaf("density at 15 °C", "kg/m³", 0, ("lubricant", "density_15C")),
    ("lubricant", "oil_temperature_C"): Leaf("oil temperature", "°C", 0, ("lubricant", "oil_temperature")),
    ("lubricant", "fzg_stage"): Leaf("FZG load stage of the oil", "", 0, ("lubricant", "fzg_stage")),
    ("lubricant", "kind"): Leaf("base oil", key=("lubricant", "kind")),
    ("lubricant", "supply"): Leaf("oil supply", key=("lubricant", "supply")),
    ("required", "set_by"): Leaf("who set what is required", key=("required", "set_by")),
    ("required", "flank_safety"): Leaf("flank safety required", "", 2, ("required", "flank_safety")),
    ("required", "root_safety"): Leaf("root safety required", "", 2, ("required", "root_safety")),
    ("required", "subsurface_safety"): Leaf(
        "safety required below the surface", "", 2, ("required", "subsurface_safety")
    ),
    ("required", "life_h"): Leaf("life required", "h", 1, ("required", "life")),
    ("required", "reliability"): Leaf("reliability required", "", 4, ("required", "reliability")),
    ("required", "accuracy_class"): Leaf("accuracy class required", "", 0, ("required", "accuracy_class")),
    **{
        ("required", f"{group}_class"): Leaf(
            f"accuracy class of {group} required", "", 0, ("required", f"{group}_class")
        )
        for group in Group
    },
    **{
        ("required", name): Leaf(label, "", 2, ("required", name))
        for name, label in {
            "static_flank_safety": "static flank safety required",
            "static_root_safety": "static root safety required",
            "damage_sum": "largest damage sum",
            "flank_strength_variation": "variation of the flank strength",
            "root_strength_variation": "variation of the root strength",
            "scuffing_safety": "scuffing safety required",
            "micropitting_safety": "micropitting safety required",
            "permissible_film": "permissible specific film",
        }.items()
    },
    ("duty", "below_knee"): Leaf("treatment below the knee", key=("duty", "below_knee")),
    ("duty", "peak_torque_Nm"): Leaf("highest torque", "N·m", 1, ("duty", "peak_torque")),
    ("duty", "starts"): Leaf("starts at the highest torque", "", 0, ("duty", "starts")),
    ("duty", "torque_factor"): Leaf("factor on the torques of the duty", "", 3, ("duty", "torque_factor")),
    ("duty", "speed_factor"): Leaf("factor on the speeds of the duty", "", 3, ("duty", "speed_factor")),
    ("duty", "source"): Leaf("file of the duty", key=("duty", "file")),
    **{
        ("furnace", name): Leaf(label, unit, digits, ("gear", "furnace", key))
        for name, label, unit, digits, key in (
            ("core_carbon_wt", "carbon of the core", "%", 3, "core_carbon"),
            ("diffusivity", "diffusivity of carbon", "", 0, "diffusivity"),
            ("diffusivity_factor", "factor of the alloy on the diffusivity", "", 3, "diffusivity_factor"),
            ("saturation_factor", "factor of the alloy on the saturation", "", 3, "saturation_factor"),
            ("factors_source", "source of both factors", "", 0, "factors_source"),
            ("band", "hardenability band", "", 0, "band"),
            ("section_mm", "section that cools like the tooth", "mm", 1, "section"),
            ("bath", "quenching bath", "", 0, "bath"),
            ("quench_temperature_C", "temperature that the quench reaches", "°C", 0, "quench_temperature"),
            ("temper_temperature_C", "temperature of the temper", "°C", 0, "temper"),
            ("temper_time_h", "time of the temper", "h", 2, "temper_time"),
            ("depth_scatter_mm", "what the furnace holds the depth to, ±", "mm", 3, "depth_scatter"),
            ("cold_temperature_C", "temperature of the cold treatment", "°C", 0, "cold"),
            ("cold_delay_h", "delay before the cold treatment", "h", 2, "cold_delay"),
            ("tempered_before_cold", "tempered before the cold treatment", "", 0, "tempered_before_cold"),
            ("austenite_percent", "retained austenite measured", "%", 1, "austenite"),
            ("surface_carbon_wt", "carbon wanted at the surface", "%", 3, "surface_carbon"),
        )
    },
    **{
        ("grinding", name): Leaf(label, unit, digits, ("gear", "grinding", key))
        for name, label, unit, digits, key in (
            ("equivalent_diameter_mm", "equivalent diameter of the wheel", "mm", 1, "equivalent_diameter"),
            ("depth_of_cut_mm", "depth of cut", "mm", 4, "depth_of_cut"),
            ("work_speed_mm_s", "work speed", "mm/s", 1, "work_speed"),
            ("specific_energy_J_mm3", "specific energy of grinding", "J/mm³", 1, "specific_energy"),
            ("flux", "heat over the contact of the wheel", "", 0, "flux"),
            ("work_temperature_C", "temperature before the pass", "°C", 0, "work_temperature"),
            ("runout_mm", "runout of the teeth as treated", "mm", 3, "runout"),
            ("centring_mm", "eccentricity of the holding", "mm", 3, "centring"),
            ("indexing_mm", "standard deviation of indexing and pitch", "mm", 4, "indexing"),
            ("shift_mm", "shift of the wheel towards the left flank", "mm", 3, "shift"),
        )
    },
    **{
        ("mask", name): Leaf(label, unit, digits, ("gear", "mask", key))
        for name, label, unit, digits, key in (
            ("practice", "practice that asks for the plate of the mask", "", 0, "practice"),
            ("plate_um", "least plate of the mask", "µm", 0, "plate"),
            ("distance_mm", "distance of the mask from what must stay soft", "mm", 2, "distance"),
            ("edge_tolerance_mm", "tolerance of the edge of the mask", "mm", 2, "edge_tolerance"),
            ("soft_carbon_wt", "carbon that must not come where the gear stays soft", "%", 3, "soft_carbon"),
        )
    },
    **{
        ("grinding", f"superfinish_{end}_mm"): Leaf(
            f"{word} removal by superfinishing", "mm", 4, ("gear", "grinding", "superfinish", place)
        )
        for place, (end, word) in enumerate((("min", "least"), ("max", "largest")))
    },
    ("subsurface", "friction"): Leaf("friction of the flanks", "", 3, ("gear", "subsurface", "friction")),
    ("subsurface", "inclusion_root_area_um"): Leaf(
        "largest inclusion, root of its area", "µm", 0, ("gear", "subsurface", "inclusion")
    ),
    ("subsurface", "residual_stress"): Leaf(
        "residual stress of the case", key=("gear", "subsurface", "residual_stress")
    ),
    ("subsurface", "hardness_scatter_HV"): Leaf(
        "scatter of the hardness, standard deviation", "HV", 0, ("gear", "subsurface", "hardness_scatter")
    ),
    ("subsurface", "load_scatter"): Leaf(
        "scatter of the load, share of it", "", 3, ("gear", "subsurface", "load_scatter")
    ),
    ("required", "least_backlash_mm"): Leaf("least backlash agreed", "mm", 3, ("required", "least_backlash")),
    ("required", "greatest_backlash_mm"): Leaf(
        "greatest backlash agreed", "mm", 3, ("required", "greatest_backlash")
    ),
    ("required", "transmission_error_um"): Leaf(
        "largest transmission error, peak to peak", "µm", 1, ("required", "transmission_error")
    ),
    ("required", "pattern_margin_mm"): Leaf(
        "least distance of the contact pattern from the ends of the face",
        "mm",
        1,
        ("required", "pattern_margin"),
    ),
    ("methods", "contact_pressure"): Leaf(
        "contact pressure that the case depth rests on", key=("methods", "contact_pressure")
    ),
    ("methods", "stress"): Leaf("governing method for stress", key=("methods", "stress")),
    ("methods", "scuffing"): Leaf("governing method for scuffing", key=("methods", "scuffing")),
    ("methods", "case_depth"): Leaf("governing method for case depth", key=("methods", "case_depth")),
    ("methods", "accuracy"): Leaf("governing edition for accuracy", key=("methods", "accuracy")),
}


# of one entry below [inspection]: how it is called, and its key where that differs
_ENTRY: dict[str, tuple[str, str]] = {
    "operations": ("operation", "operation"),
    "characteristics": ("characteristic", "characteristic"),
    "strikes": ("struck characteristic", "strike"),
}
_ENTRY_LEAF = {
    "temperature_C": Leaf("temperature", "°C", 0, ("temperature",)),
    "hours": Leaf("time", "h", 2, ("time",)),
}


def leaf_of(place: Place) -> Leaf:
    """Return what is known of an input.

    Parameters
    ----------
    place : tuple
        Its place in a record, as `leaves` gives it.

    Returns
    -------
    Leaf
        With the place from the top of the gear file.

    Raises
    ------
    KeyError
        If a record has no such input.
    """
    match place:
        case ("furnace", "steps", int(number), str(name)):
            place = ("gear", "furnace", "step", number)
            return _below(FURNACE_STEP[name], f"of step {number + 1} of the furnace", place)
        case ("gear", *rest):
            return _below(GEAR[tuple(rest)], "of the gear", ("gear",))
        case ("meshes", int(number), "mate", *rest):
            return _below(GEAR[tuple(rest)], f"of mate {number + 1}", ("mesh", number, "mate"))
        case ("meshes", int(number), "shaft", str(name)):
            return _below(SHAFT[name], f"in mesh {number + 1}", ("mesh", number, "shaft"))
        case ("duty", "bins", int(number), str(name)):  # they may stand in a file of their own
            return _below(BIN[name], f"of step {number + 1} of the duty", ())
        case ("meshes", int(number), "backlash", str(name)):
            return _below(BACKLASH[name], f"in mesh {number + 1}", ("mesh", number, "backlash"))
        case ("meshes", int(number), "contact", str(name)):
            return _below(CONTACT[name], f"in mesh {number + 1}", ("mesh", number, "contact"))
        case ("meshes", int(number), str(name)):
            of = "" if number == 0 else f"in mesh {number + 1}"
            return _below(MESH[name], of, ("mesh", number))
        case ("inspection", str(name)):
            return Leaf(f"{name.replace('_', ' ')} of the inspection", key=place)
        case ("inspection", str(entries), int(number), str(name), *rest):
            called, section = _ENTRY[entries]
            key = "characteristic" if (entries, name) == ("strikes", "key") else name
            leaf = _ENTRY_LEAF.get(name, Leaf(name.replace("_", " "), digits=3, key=(key,)))
            label = f"{leaf.label} of {called} {number + 1}"
            below = ("inspection", section, number, *leaf.key, *rest)
            return Leaf(label, leaf.unit, leaf.digits, below)
        case ("fatigue", *rest):
            return fatigue_leaf(tuple(rest), TOOTH)
        case ("methods", "readings", str(name)):
            return Leaf(f"reading: {name.replace('_', ' ')}", key=place)
        case _:
            return WHOLE[place]


def _below(leaf: Leaf, whose: str, section: Place) -> Leaf:
    key = (*section, *leaf.key) if leaf.key else ()
    return Leaf(f"{leaf.label} {whose}".rstrip(), leaf.unit, leaf.digits, key)


def leaves(record: Record) -> dict[Place, Any]:
    """Return every input of a record that is given, evidence apart, by its place.

    Parameters
    ----------
    record : Record
        Without samples.

    Returns
    -------
    dict of tuple to value
        Numbers, and words as text.
    """
    return dict(_leaves(record, ()))


def _leaves(value: Any, place: Place) -> Iterator[tuple[Place, Any]]:
    if isinstance(value, SpecimenTable):  # its rows are evidence: the file tells them apart
        yield from (((*place, name), getattr(value, name)) for name in ("source", "sha256"))
    elif is_dataclass(value):
        for item in fields(value):
            given = getattr(value, item.name)
            unsaid = item.name in _UNSAID and given == _UNSAID[item.name]
            if item.name != "source_text" and not unsaid and (place or item.name not in _LEFT_OUT):
                yield from _leaves(given, (*place, item.name))
    elif isinstance(value, tuple):
        for number, item in enumerate(value):
            yield from _leaves(item, (*place, number))
    elif isinstance(value, bool):
        yield place, "yes" if value else "no"
    elif value is not None:
        number = isinstance(value, np.ndarray | float | int) and not isinstance(value, Enum)
        yield place, plain(value) if number else str(value)


def alike(one: Any, other: Any) -> bool:
    """Whether two inputs say the same, but for rounding in the last digits."""
    if isinstance(one, str) or isinstance(other, str) or one is None or other is None:
        return bool(one == other)
    return bool(abs(one - other) <= 1e-9 * max(abs(one), abs(other)))
