"""Holds the tables of a gear file against its sections and says every fault at once."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import UnionType
from typing import Any, get_args

from pydantic import BaseModel, BeforeValidator, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from gearcheck.accuracy.grade import class_range
from gearcheck.accuracy.inputs import AccuracyEdition, Group
from gearcheck.basics.errors import Fault, InputError
from gearcheck.materials.inputs import Treatment
from gearcheck.materials.steels import known_steel, steel_names
from gearcheck.review.file_furnace import between_furnace_keys
from gearcheck.review.file_model import GearFile
from gearcheck.review.file_places import Place, line_of, place_words
from gearcheck.review.file_size import between_size_keys
from gearcheck.review.file_values import Kind, shown
from gearcheck.review.file_words import close_name

MOST_FAULTS = 50
MATES = range(3, 8)
"""The numbers of planets for which there is a mesh load factor."""


def checked(tables: Mapping[str, Any], lines: Mapping[Place, int]) -> tuple[GearFile | None, list[Fault]]:
    """Return the file as a model, and the faults in the order of its lines.

    Parameters
    ----------
    tables : mapping
        What the TOML text holds.
    lines : mapping of Place to int
        The line of each key.

    Returns
    -------
    model : GearFile or None
        None where anything is wrong with a section or a value.
    faults : list of Fault
        At most 50, then how many more.
    """
    model, found = None, list(_between_keys(tables))
    uncounted = 0
    try:
        model = GearFile.model_validate(tables)
    except ValidationError as error:
        details = error.errors(include_url=False, include_input=True)
        found += [pair for item in details[: 4 * MOST_FAULTS] for pair in _faults(item)]
        uncounted = len(details[4 * MOST_FAULTS :])
    found.sort(key=lambda pair: line_of(pair[0], lines) or 0)
    faults = [
        Fault(place_words(place, lines), item.given, item.needed, item.why)
        for place, item in found[:MOST_FAULTS]
    ]
    more = len(found) - MOST_FAULTS + uncounted
    if more > 0:
        faults.append(Fault("gear file", f"{more} more faults", "the above mended first"))
    return model, faults


def _between_keys(tables: Mapping[str, Any]) -> Iterator[tuple[Place, Fault]]:
    """Yield the faults that lie between keys."""
    gear = tables.get("gear")
    if isinstance(gear, dict):
        given = [name for name in ("normal_module", "normal_diametral_pitch") if name in gear]
        if len(given) != 1:
            words = "both normal_module and normal_diametral_pitch" if given else ""
            needed = (
                'exactly one of normal_module, such as "5 mm", and normal_diametral_pitch, such as "5 1/in"'
            )
            place: Place = ("gear", given[-1]) if given else ("gear", "normal_module")
            yield place, Fault("", words, needed)
        yield from between_furnace_keys(gear)
        yield from _class_of_edition(gear, ("gear",))
        yield from between_size_keys(gear, ("gear",))
    meshes = tables.get("mesh")
    names: set[str] = set()
    for index, mesh in enumerate(meshes if isinstance(meshes, list) else []):
        name = mesh.get("name") if isinstance(mesh, dict) else None
        if isinstance(name, str) and name.strip().lower() in names:
            yield ("mesh", index, "name"), Fault("", shown(name), "another name for each mesh")
        if isinstance(name, str):
            names.add(name.strip().lower())
        if isinstance(mesh, dict):
            yield from _one_face_load(mesh, index)
            yield from _mesh_load(mesh, index)
            yield from _steel_of(mesh, index)
            yield from _cutter_of(mesh, index)
            if isinstance(mesh.get("mate"), dict):
                yield from _class_of_edition(mesh["mate"], ("mesh", index, "mate"))
                yield from between_size_keys(mesh["mate"], ("mesh", index, "mate"))
    duty = tables.get("duty")
    if isinstance(duty, dict) and ("file" in duty) == bool(duty.get("bin")):
        words = "both file and [[duty.bin]]" if "file" in duty else ""
        needed = 'exactly one of file, such as "duty.csv", and one section [[duty.bin]] for each step'
        yield ("duty", "file"), Fault("", words, needed)


def _steel_of(mesh: Mapping[str, Any], index: int) -> Iterator[tuple[Place, Fault]]:
    """A steel of a mate has to be meant for its heat treatment."""
    mate = mesh.get("mate")
    steel = mate.get("steel") if isinstance(mate, dict) else None
    grade = steel.get("grade") if isinstance(steel, dict) else None
    given = steel.get("treatment", Treatment.CASE_CARBURISED) if isinstance(steel, dict) else None
    known = {name.lower() for name in steel_names(treatment=None)}
    if (
        not isinstance(grade, str)
        or given not in list(Treatment)
        or grade.replace(" ", "").lower() not in known
    ):
        return  # said where the sections are checked
    try:
        known_steel(grade[:60], treatment=Treatment(given))
    except InputError as error:
        why = f"the treatment is {given}"
        yield ("mesh", index, "mate", "steel", "grade"), Fault("", shown(grade), error.faults[0].needed, why)


def _class_of_edition(gear: Mapping[str, Any], place: Place) -> Iterator[tuple[Place, Fault]]:
    """A class has to be one of the edition that it is drawn by."""
    accuracy = gear.get("accuracy")
    edition = accuracy.get("edition") if isinstance(accuracy, dict) else None
    if not isinstance(accuracy, dict) or edition not in list(AccuracyEdition):
        return  # said where the sections are checked
    first, *_, last = class_range(AccuracyEdition(edition))
    for name in ("class", *(f"{group}_class" for group in Group)):
        given = accuracy.get(name)
        if type(given) is int and 0 <= given <= 12 and not first <= given <= last:
            needed = f"a class of {edition}: a whole number from {first:g} to {last:g}"
            yield (*place, "accuracy", name), Fault("", str(given), needed)


def _cutter_of(mesh: Mapping[str, Any], index: int) -> Iterator[tuple[Place, Fault]]:
    """A pinion cutter makes an internal mate only."""
    mate = mesh.get("mate")
    if isinstance(mate, dict) and "cutter" in mate and mate.get("internal") is not True:
        needed = "internal = true beside it: the pinion cutter is that of an internal mate"
        yield ("mesh", index, "mate", "cutter"), Fault("", "a pinion cutter", needed)


def _mesh_load(mesh: Mapping[str, Any], index: int) -> Iterator[tuple[Place, Fault]]:
    mates = mesh.get("mates", 1)
    known = mates in MATES if isinstance(mates, int) else False
    if "mesh_load_factor" not in mesh and not known:
        few, many = MATES[0], MATES[-1]
        needed = (
            f"a number such as 1.0; only where {few} to {many} mates share the torque it follows from them"
        )
        yield ("mesh", index, "mesh_load_factor"), Fault("", "", needed)


def _one_face_load(mesh: Mapping[str, Any], index: int) -> Iterator[tuple[Place, Fault]]:
    if ("face_load_factor" in mesh) == ("shaft" in mesh):
        words = "both face_load_factor and [mesh.shaft]" if "shaft" in mesh else ""
        needed = "exactly one of face_load_factor, such as 1.2, and [mesh.shaft], from which it follows"
        yield ("mesh", index, "face_load_factor"), Fault("", words, needed)


def _faults(item: ErrorDetails) -> Iterator[tuple[Place, Fault]]:
    place: Place = item["loc"]
    error = item.get("ctx", {}).get("error")
    if isinstance(error, InputError):
        for fault in error.faults:
            yield place, fault
        return
    section = _section_at(place[:-1])
    given, kind = shown(item["input"]), item["type"]
    if kind == "missing":
        yield place, Fault("", "", _missing(section, place))
    elif kind == "extra_forbidden":
        names = _names(section)
        why = ", ".join(filter(None, ("no such key here", close_name(place[-1], names))))
        yield place, Fault("", given, f"one of the keys {', '.join(names)}", why)
    elif kind in ("model_type", "dict_type", "model_attributes_type"):
        yield place, Fault("", given, f"a section [{_bare(place)}]")
    elif kind in ("list_type", "too_short"):
        yield place, Fault("", given, f"one section [[{_bare(place)}]] for each entry")
    else:
        yield place, Fault("", given, item["msg"])


def section_faults(
    section: type[BaseModel], data: Mapping[str, Any], place: Place
) -> list[tuple[Place, Fault]]:
    """Return what is wrong with one section that stands in another file, each fault with its place.

    Parameters
    ----------
    section : type
        What it has to be.
    data : mapping
        Its keys and values.
    place : tuple
        Where such a section stands in a gear file.

    Returns
    -------
    list of tuple
        Places begin with `place`.
    """
    try:
        section.model_validate(data)
    except ValidationError as error:
        details = error.errors(include_url=False, include_input=True)
        return [pair for item in details for pair in _faults({**item, "loc": (*place, *item["loc"])})]
    return []


def _bare(place: Place) -> str:
    return ".".join(part for part in place if isinstance(part, str))


def _names(section: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in section.model_fields.items()]


def _field(section: type[BaseModel], key: str | int) -> FieldInfo | None:
    for name, field in section.model_fields.items():
        if key in (name, field.alias):
            return field
    return None


def _section_at(place: Place) -> type[BaseModel]:
    section: type[BaseModel] = GearFile
    for key in place:
        field = _field(section, key)
        if field is not None:
            section = _inner(field.annotation) or section
    return section


def _inner(annotation: Any) -> type[BaseModel] | None:
    """Return the section inside an optional or a list of sections."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    if isinstance(annotation, UnionType) or get_args(annotation):
        return next((found for part in get_args(annotation) if (found := _inner(part))), None)
    return None


def _missing(section: type[BaseModel], place: Place) -> str:
    field = _field(section, place[-1])
    for mark in field.metadata if field else ():
        if isinstance(mark, BeforeValidator) and isinstance(mark.func, Kind):
            return mark.func.needed
    return f"the section [{_bare(place)}]"
