"""The public calculations and the rooms that calculate."""

from __future__ import annotations

import inspect
from importlib import import_module
from pathlib import Path

import gearcheck

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "gearcheck"
ROOMS = ("duty", "materials", "gear", "contact", "stress", "hardening", "accuracy", "meshing", "fatigue")


def room_files() -> list[Path]:
    """Return the modules of the calculation rooms."""
    return [file for room in ROOMS for file in sorted((PACKAGE / room).glob("*.py"))]


def module_name(file: Path) -> str:
    """Return the dotted name of a module of the package."""
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def calculations() -> list[str]:
    """Return the public calculations as ``module:callable``: functions of the calculation rooms."""
    homes = gearcheck._HOMES
    return [
        f"{module}:{name}"
        for name, module in homes.items()
        if module.split(".")[1] in ROOMS and not module.endswith(".inputs")
    ]


def public_members(file: Path) -> list[tuple[str, object]]:
    """Return the public functions and classes that a module defines."""
    module = import_module(module_name(file))
    return [
        (name, member)
        for name, member in vars(module).items()
        if not name.startswith("_")
        and (inspect.isfunction(member) or inspect.isclass(member))
        and member.__module__ == module.__name__
    ]
