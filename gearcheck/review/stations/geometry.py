"""Geometry: clean involute down to the end of the active flank, a size that can be measured, and backlash."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.numbers import array
from gearcheck.gear.backlash import BACKLASH
from gearcheck.gear.form import InternalFormClearance
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Mesh, Record, Required
from gearcheck.review.results import Chain, Line, MemberChain, MeshChain, stop_words
from gearcheck.review.size import ToothSize

NAME = "geometry"


def lines(record: Record, chain: Chain) -> Iterator[Line]:
    """Yield the root form clearance of both gears of each mesh, and size and backlash where given."""
    for mesh in chain.meshes:
        yield _clearance(mesh, mesh.gear, "gear", f"the gear against {mesh.name}")
        yield _clearance(mesh, mesh.mate, "mate", mesh.name)
    size = chain.meshes[0].gear.size
    if size is not None:
        yield _size(size)
    for given, mesh in zip(record.meshes, chain.meshes, strict=True):
        yield from _backlash(record.required, given, mesh)


def _clearance(mesh: MeshChain, member: MemberChain, role: str, subject: str) -> Line:
    result = member.clearance
    if isinstance(result, InternalFormClearance):
        return _internal(mesh, result, role, subject)
    return Line(
        key=f"geometry.form.{mesh.name}.{role}",
        station=NAME,
        title=f"Root form clearance, {subject}",
        sentence=(
            f"The active profile of {subject} starts above the root form circle "
            "for the smallest and the largest grinding stock."
        ),
        demand=result.form_diameter_mm,
        capacity=result.start_of_active_profile_mm,
        demand_words="largest root form diameter d_Ff",
        capacity_words="start of active profile d_Nf",
        unit="mm",
        method=result.method,
        scale=Scale.WORDS,
        reason=stop_words(mesh.pair, result),
    )


def _internal(mesh: MeshChain, result: InternalFormClearance, role: str, subject: str) -> Line:
    """The root of an internal gear lies outside: its active profile must end below the form circle."""
    return Line(
        key=f"geometry.form.{mesh.name}.{role}",
        station=NAME,
        title=f"Root form clearance, {subject}",
        sentence=(
            f"The active profile of {subject} ends inside the root form circle that its pinion cutter leaves."
        ),
        demand=result.start_of_active_profile_mm,
        capacity=result.form_diameter_mm,
        demand_words="end of active profile d_Nf",
        capacity_words="root form diameter d_Ff",
        unit="mm",
        method=result.method,
        scale=Scale.WORDS,
        reason=stop_words(mesh.pair, result),
    )


def _size(size: ToothSize) -> Line:
    """What is measured has to touch the flank where it is an involute."""
    return Line(
        key="geometry.size",
        station=NAME,
        title="Tooth size can be measured",
        sentence=f"Measured as {size.name}, anvils or bodies touch the involute between form and tip circle.",
        demand=array(size.clear_mm) * 0.0,
        capacity=size.clear_mm,
        demand_words="touching on the form or tip circle",
        capacity_words="least distance on the diameter from both",
        unit="mm",
        method=size.thickest.method,
        scale=Scale.WORDS,
        reason=stop_words(size.thinnest, size.thickest),
    )


def _backlash(required: Required | None, given: Mesh, mesh: MeshChain) -> Iterator[Line]:
    """The least backlash, where it is given or agreed, and the greatest, where it is agreed."""
    least, most = (
        None if required is None else getattr(required, f"{end}_backlash_mm") for end in ("least", "greatest")
    )
    if given.backlash is None and least is None and most is None:
        return
    found = mesh.backlash
    reason = mesh.missing_backlash
    if found is not None:
        reason = stop_words(*(end for one in found.states for end in (one.least, one.greatest)))
    state = "" if found is None else f", {found.tightest[0]}"
    agreed = "some normal backlash" if least is None else "the normal backlash agreed, or more,"
    yield Line(
        key=f"geometry.backlash.{mesh.name}",
        station=NAME,
        title=f"Least backlash against {mesh.name}",
        sentence=(
            f"The thickest teeth on the closest axes, cold or warm, leave {agreed} against {mesh.name}."
        ),
        demand=0.0 if least is None else least,
        capacity=None if found is None else found.least_mm,
        demand_words="more than none" if least is None else "least normal backlash agreed",
        capacity_words=f"least normal backlash{state}",
        unit="mm",
        method=BACKLASH,
        brief=("needed", "least"),
        scale=Scale.SHARE,
        reason=reason,
    )
    if most is not None:
        yield _most(mesh, most, reason)


def _most(mesh: MeshChain, most: float, reason: str) -> Line:
    """The greatest backlash, where it is agreed."""
    found = mesh.backlash
    widest = "" if found is None else f", {found.widest[0]}"
    return Line(
        key=f"geometry.backlash.{mesh.name}.most",
        station=NAME,
        title=f"Greatest backlash against {mesh.name}",
        sentence=(
            f"The thinnest teeth on the widest axes, cold or warm, leave no more normal backlash against "
            f"{mesh.name} than was agreed."
        ),
        demand=None if found is None else found.greatest_mm,
        capacity=most,
        demand_words=f"greatest normal backlash{widest}",
        capacity_words="greatest normal backlash agreed",
        unit="mm",
        method=BACKLASH,
        brief=("greatest", "allowed"),
        scale=Scale.SHARE,
        reason=reason,
    )
