"""Scuffing and micropitting of one mesh, as far as the lubricant is known: nominal load or worst step."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np

from gearcheck.basics.methods import Notice
from gearcheck.basics.numbers import Number, array
from gearcheck.gear.path import ContactPath, contact_path
from gearcheck.materials.inputs import Lubricant
from gearcheck.review.bins import step_note
from gearcheck.review.inputs import Record
from gearcheck.review.pressure import POINTS, PathLoad, load_of, pressure_of
from gearcheck.review.rating import lacking, of_member
from gearcheck.review.results import MeshChain
from gearcheck.review.spectrum import beyond
from gearcheck.stress.inputs import Member, ScuffingMethod
from gearcheck.stress.micropitting import Micropitting, micropitting
from gearcheck.stress.scuffing_flash import FlashTemperature, flash_temperature
from gearcheck.stress.scuffing_integral import IntegralTemperature, integral_temperature

COARSE = 9
"""Points of the path at which the steps of a duty are compared; the worst step is then worked out in full."""


def missing_film(lubricant: Lubricant | None) -> str:
    """Name what the oil film wants and the lubricant lacks."""
    if lubricant is None:
        return "[lubricant] missing"
    return lacking(
        {
            "[lubricant] viscosity_100C": lubricant.viscosity_100C_mm2_s,
            "density_15C": lubricant.density_15C_kg_m3,
            "oil_temperature": lubricant.oil_temperature_C,
            "kind": lubricant.kind,
            "supply": lubricant.supply,
        }
    )


def missing_scuffing(lubricant: Lubricant | None) -> str:
    """Name what scuffing wants and the lubricant lacks."""
    missing = missing_film(lubricant)
    return missing or lacking({"[lubricant] fzg_stage": None if lubricant is None else lubricant.fzg_stage})


def with_surface(record: Record, rated: MeshChain) -> MeshChain:
    """Return a mesh with flash and integral temperature, and specific film, along its path.

    Parameters
    ----------
    record : Record
        The inputs.
    rated : MeshChain
        Rated at the nominal load, and under the duty where there is one.

    Returns
    -------
    MeshChain
        As it was where the lubricant is not known well enough, or where a stop stands before. Under a duty
        scuffing is that of the hottest step, and micropitting that of the step with the thinnest film;
        `hottest_step` and `thinnest_step` are their places. The highest torque counts for scuffing alone:
        micropitting takes load cycles.
    """
    if rated.missing or rated.factors is None or missing_film(record.lubricant) or rated.factors.stops:
        return rated
    steps = rated.duty_factors
    if steps is None:
        load = load_of(rated.factors)
        return _with_scuffing(record, _with_film(record, rated, load), load)
    if steps.stops:
        return rated
    path, whole = contact_path(pair=rated.pair, points=COARSE), load_of(steps)
    assert record.duty is not None
    lasting = array(whole.force_N).shape[0] - (1 if record.duty.times_highest else 0)
    films = _film(record, rated, whole, path)
    thinnest = np.asarray(array(films.least_film)[:lasting].argmin(axis=0))
    rated = _with_film(record, replace(rated, thinnest_step=thinnest), whole.at(thinnest), beyond(films))
    if missing_scuffing(record.lubricant):
        return rated
    flash, integral = _heat(record, rated, whole, path)
    by_integral = record.methods is not None and record.methods.scuffing is ScuffingMethod.INTEGRAL
    heat = array(integral.integral_temperature_C if by_integral else flash.highest_contact_C)
    hottest = np.asarray(heat.argmax(axis=0))
    rated = replace(rated, hottest_step=hottest)
    return _with_scuffing(record, rated, whole.at(hottest), beyond(flash))


def _with_film(
    record: Record, rated: MeshChain, load: PathLoad, others: tuple[Notice, ...] = ()
) -> MeshChain:
    """The film at one load; `others` is what the other steps find outside a range."""
    path = contact_path(pair=rated.pair, points=POINTS)
    film, told = (
        _film(record, rated, load, path),
        step_note(record, f"Oil film, {rated.name}", rated.thinnest_step),
    )
    said = tuple(dict.fromkeys((*film.notices, *others, *told)))
    return replace(rated, micropitting=replace(film, notices=said))


def _with_scuffing(
    record: Record, rated: MeshChain, load: PathLoad, others: tuple[Notice, ...] = ()
) -> MeshChain:
    """The heat at one load; `others` is what the other steps find outside a range."""
    if missing_scuffing(record.lubricant):
        return rated
    path = contact_path(pair=rated.pair, points=POINTS)
    flash, integral = _heat(record, rated, load, path)
    told = step_note(record, f"Scuffing, {rated.name}", rated.hottest_step)
    said = tuple(dict.fromkeys((*flash.notices, *others, *told)))
    return replace(rated, flash=replace(flash, notices=said), integral=integral)


def _film(record: Record, rated: MeshChain, load: PathLoad, path: ContactPath) -> Micropitting:
    agreed = record.required
    return micropitting(
        **_rubbing(record, rated, load, path),
        **_rough(rated, load),
        permissible_film=None if agreed is None else agreed.permissible_film,
    )


def _heat(
    record: Record, rated: MeshChain, load: PathLoad, path: ContactPath
) -> tuple[FlashTemperature, IntegralTemperature]:
    agreed, rubbing = record.required, _rubbing(record, rated, load, path)
    flash = flash_temperature(
        **rubbing,
        **_rough(rated, load),
        required_safety=None if agreed is None else agreed.scuffing_safety,
        mates=_meshes(record, rated.name),
    )
    return flash, integral_temperature(**rubbing, flash=flash)


def _rubbing(record: Record, rated: MeshChain, load: PathLoad, path: ContactPath) -> dict[str, Any]:
    return {
        "pair": rated.pair,
        "path": path,
        "along": pressure_of(rated, load, path),
        "speed_rpm": load.speed_rpm,
        "lubricant": record.lubricant,
    }


def _rough(rated: MeshChain, load: PathLoad) -> dict[str, Any]:
    return {
        "pinion_roughness_um": _roughness(rated, Member.PINION),
        "wheel_roughness_um": _roughness(rated, Member.WHEEL),
        "pitch_line_velocity_m_s": load.pitch_line_velocity_m_s,
    }


def _meshes(record: Record, name: str) -> int:
    """Number of meshes of the gear under review or of this mate, whichever heats it more."""
    (mesh,) = (mesh for mesh in record.meshes if mesh.name == name)
    return max(sum(each.mates for each in record.meshes), mesh.mate_contacts + mesh.mate_idler)


def _roughness(rated: MeshChain, member: Member) -> Number:
    finish = of_member(rated, member).data.finish
    assert finish is not None
    return finish.flank_roughness_um
