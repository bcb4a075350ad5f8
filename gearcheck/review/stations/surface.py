"""Scuffing and micropitting of each mesh, where a safety against them is agreed."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.numbers import array
from gearcheck.requirements.types import Scale
from gearcheck.review.inputs import Record
from gearcheck.review.results import Line, MeshChain, stop_words
from gearcheck.review.spectrum import not_loaded
from gearcheck.review.surface import missing_film, missing_scuffing
from gearcheck.stress.inputs import ScuffingMethod
from gearcheck.stress.micropitting import Micropitting
from gearcheck.stress.scuffing_flash import FlashTemperature
from gearcheck.stress.scuffing_integral import IntegralTemperature

NAME = "stress"


def lines(record: Record, mesh: MeshChain) -> Iterator[Line]:
    """Yield scuffing and micropitting of one mesh, each where a safety is agreed."""
    agreed = record.required
    if agreed is None:
        return
    if agreed.scuffing_safety is not None:
        yield _scuffing(record, mesh, agreed.scuffing_safety)
    if agreed.micropitting_safety is not None:
        yield _micropitting(record, mesh, agreed.micropitting_safety, agreed.permissible_film)


def _scuffing(record: Record, mesh: MeshChain, least: float) -> Line:
    method = None if record.methods is None else record.methods.scuffing
    by_integral = method is ScuffingMethod.INTEGRAL
    hot, mean = mesh.flash, mesh.integral
    if by_integral:
        demand = None if mean is None else mean.integral_temperature_C
        capacity = None if mean is None else array(mean.scuffing_integral_C) / least
        native = ("S_intS", None if mean is None else mean.safety, least)
        words = ("integral temperature", "scuffing integral temperature over the safety agreed")
    else:
        demand = None if hot is None else hot.highest_contact_C
        capacity = None if hot is None else hot.permissible_C
        native = ("S_B", None if hot is None else hot.safety, least)
        words = ("highest contact temperature", "permissible contact temperature")
    steps = " at every step of the duty and at its highest torque" if mesh.duty_factors is not None else ""
    reason = mesh.missing or missing_scuffing(record.lubricant) or not_loaded(record)
    reason = reason or stop_words(mesh.pair, mesh.factors, mesh.duty_factors, hot)
    return Line(
        key=f"stress.scuffing.{mesh.name}",
        station=NAME,
        title=f"Scuffing, the gear with {mesh.name}",
        sentence="The flanks stay cool enough for the oil to keep them apart at the agreed safety against "
        f"scuffing{steps}.",
        demand=demand,
        capacity=capacity,
        demand_words=words[0],
        capacity_words=words[1],
        unit="°C",
        method=IntegralTemperature.method if by_integral else FlashTemperature.method,
        scale=Scale.TORQUE,
        native=native,
        reason=reason or ("[methods] scuffing missing" if method is None else ""),
    )


def _micropitting(record: Record, mesh: MeshChain, least: float, permissible: float | None) -> Line:
    film = mesh.micropitting
    steps = " at every step of the duty" if mesh.duty_factors is not None else ""
    reason = mesh.missing or missing_film(record.lubricant) or not_loaded(record)
    reason = reason or stop_words(mesh.pair, mesh.factors, mesh.duty_factors, film)
    return Line(
        key=f"stress.micropitting.{mesh.name}",
        station=NAME,
        title=f"Micropitting, the gear with {mesh.name}",
        sentence="The oil film over the roughness reaches what the reference test of the lubricant asks for, "
        f"at the agreed safety{steps}.",
        demand=None if permissible is None else permissible * least,
        capacity=None if film is None else film.least_film,
        demand_words="specific film of the reference test, times the safety agreed",
        capacity_words="least specific film on the path",
        unit="",
        method=Micropitting.method,
        scale=Scale.TORQUE,
        native=("S_λ", None if film is None else film.safety, least),
        reason=reason or ("[required] permissible_film missing" if permissible is None else ""),
    )
