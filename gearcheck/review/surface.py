"""Scuffing and micropitting of one mesh at its nominal load, as far as the lubricant is known."""

from __future__ import annotations

from dataclasses import replace

from gearcheck.gear.path import contact_path
from gearcheck.materials.inputs import Lubricant
from gearcheck.review.inputs import Record
from gearcheck.review.pressure import POINTS, pressure_along
from gearcheck.review.rating import lacking, of_member
from gearcheck.review.results import MeshChain
from gearcheck.stress.inputs import Member
from gearcheck.stress.micropitting import micropitting
from gearcheck.stress.scuffing_flash import flash_temperature
from gearcheck.stress.scuffing_integral import integral_temperature


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
        Rated at the nominal load.

    Returns
    -------
    MeshChain
        As it was where the lubricant is not known well enough, or where a stop stands before.
    """
    if rated.missing or rated.factors is None or missing_film(record.lubricant) or rated.factors.stops:
        return rated
    assert record.lubricant is not None
    factors, agreed = rated.factors, record.required
    both = {
        "pair": rated.pair,
        "path": contact_path(pair=rated.pair, points=POINTS),
        "along": pressure_along(rated),
        "speed_rpm": factors.speed_rpm,
        "lubricant": record.lubricant,
    }
    rough = {
        "pinion_roughness_um": _roughness(rated, Member.PINION),
        "wheel_roughness_um": _roughness(rated, Member.WHEEL),
        "pitch_line_velocity_m_s": factors.pitch_line_velocity_m_s,
    }
    film = micropitting(**both, **rough, permissible_film=None if agreed is None else agreed.permissible_film)
    if missing_scuffing(record.lubricant):
        return replace(rated, micropitting=film)
    safety = None if agreed is None else agreed.scuffing_safety
    hot = flash_temperature(**both, **rough, required_safety=safety, mates=_meshes(record, rated.name))
    return replace(rated, micropitting=film, flash=hot, integral=integral_temperature(**both, flash=hot))


def _meshes(record: Record, name: str) -> int:
    """Number of meshes of the gear under review or of this mate, whichever heats it more."""
    (mesh,) = (mesh for mesh in record.meshes if mesh.name == name)
    return max(sum(each.mates for each in record.meshes), mesh.mate_contacts + mesh.mate_idler)


def _roughness(rated: MeshChain, member: Member) -> object:
    finish = of_member(rated, member).data.finish
    assert finish is not None
    return finish.flank_roughness_um
