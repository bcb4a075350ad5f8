"""Docstrings are data sheets: what goes in with its unit, what comes out, and where it comes from."""

import dataclasses
import inspect
import re
from enum import Enum
from importlib import import_module

import pytest

from gearcheck.basics.methods import Method
from gearcheck.basics.results import Result
from tests.checks import all_checks
from tests.public import calculations, module_name, public_members, room_files

MEMBERS = {
    f"{module_name(file)}:{name}": member for file in room_files() for name, member in public_members(file)
}
FUNCTIONS = {name: member for name, member in MEMBERS.items() if inspect.isfunction(member)}
CLASSES = {name: member for name, member in MEMBERS.items() if inspect.isclass(member)}
NOTES = ("Source:", "Valid for:", "Departures:", "Checked:")
CHECK_ID = re.compile(r"\b[A-Z][A-Z0-9]*(?:-[A-Za-z0-9]+)+\b")


def sections(member):
    """The sections of a numpydoc text by their heading; what stands before the first under ""."""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}$", inspect.getdoc(member) or "", flags=re.MULTILINE)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def documented(member):
    """The parameters named in a docstring."""
    lines = re.findall(r"^([\w*][\w*, ]*) : ", sections(member).get("Parameters", ""), flags=re.MULTILINE)
    return {name.strip().lstrip("*") for line in lines for name in line.split(",")}


def checked_ids(member):
    notes = sections(member).get("Notes", "")
    after = notes.partition("Checked:")[2]
    return CHECK_ID.findall(re.split(r"^[A-Z]\w*[\w ]*:", after, flags=re.MULTILINE)[0])


def has_method(member):
    return any(isinstance(item, Method) for item in vars(import_module(member.__module__)).values())


def faults_of_function(function):
    found = sections(function)
    if not re.match(r".+\.(\n\n|\s*$)", found[""], flags=re.DOTALL):
        yield "it begins with one sentence"
    if has_method(function) or "Parameters" in found:
        if others := documented(function) ^ {*inspect.signature(function).parameters}:
            yield f"documented or there, not both: {others}"
        if not found.keys() & {"Returns", "Yields"}:
            yield "it says what comes out"


def faults_of_class(cls):
    if not sections(cls)[""].strip().endswith("."):
        yield "it says in sentences what it is"
    plain = dataclasses.is_dataclass(cls) and not issubclass(cls, Result | Enum)
    if plain and (missing := {item.name for item in dataclasses.fields(cls)} - documented(cls)):
        yield f"not documented: {missing}"


def of_all(members, faults):
    """Over a thousand members in one test: a test of each would take longer than what it looks at."""
    assert len(members) > 100
    return [f"{name}: {fault}" for name, member in members.items() for fault in faults(member)]


def test_a_function_says_what_goes_in_and_what_comes_out():
    assert not of_all(FUNCTIONS, faults_of_function)


def test_a_class_says_what_it_is():
    assert not of_all(CLASSES, faults_of_class)


@pytest.mark.parametrize("name", calculations())
def test_a_public_calculation_is_a_data_sheet(name):
    module, _, function = name.partition(":")
    member = getattr(import_module(module), function)
    found = sections(member)
    assert not [line for line in NOTES if line not in found.get("Notes", "")]
    assert checked_ids(member), "Checked: names at least one check"
    assert ">>>" in found.get("Examples", "")
    parameters = inspect.signature(member).parameters.values()
    assert all(item.kind is item.KEYWORD_ONLY for item in parameters), "arguments by keyword only"


def test_every_check_named_exists():
    known = {check.id for check in all_checks()}
    assert not of_all(FUNCTIONS, lambda function: {*checked_ids(function)} - known)
