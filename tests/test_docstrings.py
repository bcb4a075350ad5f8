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

MEMBERS = [
    pytest.param(member, id=f"{module_name(file)}:{name}")
    for file in room_files()
    for name, member in public_members(file)
]
FUNCTIONS = [item for item in MEMBERS if inspect.isfunction(item.values[0])]
CLASSES = [item for item in MEMBERS if inspect.isclass(item.values[0])]
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


@pytest.mark.parametrize("function", FUNCTIONS)
def test_a_function_says_what_goes_in_and_what_comes_out(function):
    found = sections(function)
    assert re.match(r".+\.(\n\n|\s*$)", found[""], flags=re.DOTALL), "it begins with one sentence"
    if has_method(function) or "Parameters" in found:
        assert documented(function) == set(inspect.signature(function).parameters)
        assert found.keys() & {"Returns", "Yields"}


@pytest.mark.parametrize("cls", CLASSES)
def test_a_class_says_what_it_is(cls):
    assert sections(cls)[""].strip().endswith(".")
    if dataclasses.is_dataclass(cls) and not issubclass(cls, Result | Enum):
        missing = {item.name for item in dataclasses.fields(cls)} - documented(cls)
        assert not missing


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


@pytest.mark.parametrize("function", FUNCTIONS)
def test_every_check_named_exists(function):
    known = {check.id for check in all_checks()}
    assert not [name for name in checked_ids(function) if name not in known]
