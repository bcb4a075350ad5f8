"""What the flanks feel along the path of contact of one mesh: each quantity with its places and its worst."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.path import ContactPath, contact_path
from gearcheck.materials.inputs import Lubricant
from gearcheck.review.bins import step_words
from gearcheck.review.inputs import Record
from gearcheck.review.pressure import POINTS, heaviest, pressure_along
from gearcheck.review.results import MeshChain, stop_words
from gearcheck.review.surface import missing_film, missing_scuffing


@dataclass(frozen=True, kw_only=True)
class Course:
    """One quantity along the path.

    Parameters
    ----------
    key, title, unit : str
        Its name, what it is with its symbol, and its unit.
    position_mm, value : ndarray
        Distance from the start A, and the quantity there.
    worst : str
        Whether the ``largest`` or the ``smallest`` value is the worst.
    limit : float or None
        What it may come to, in the same unit.
    limit_words : str
        What that limit is.
    digits : int
        Decimals shown.
    at_step : str
        Under a duty, the step at which it is drawn.
    """

    key: str
    title: str
    unit: str
    position_mm: Array
    value: Array
    worst: str = "largest"
    limit: float | None = None
    limit_words: str = ""
    digits: int = 0
    at_step: str = ""

    @property
    def at_worst(self) -> int:
        """The place of its worst value."""
        pick = np.nanargmax if self.worst == "largest" else np.nanargmin
        return int(pick(self.value))


@dataclass(frozen=True, kw_only=True)
class Courses:
    """All that is known along the path of one mesh.

    Parameters
    ----------
    marks_mm : mapping of str to float
        The points A to E.
    known : tuple of Course
        In reading order.
    missing : tuple of str
        A sentence for each quantity that is not known, with the reason.
    loads : tuple of str
        Under a duty, a sentence for each step at which something is drawn.
    """

    marks_mm: Mapping[str, float]
    known: tuple[Course, ...]
    missing: tuple[str, ...] = ()
    loads: tuple[str, ...] = ()


def courses(record: Record, mesh: MeshChain) -> Courses | None:
    """Return what is known along the path of one mesh.

    Parameters
    ----------
    record : Record
        The inputs, without arrays of samples.
    mesh : MeshChain
        One of its meshes.

    Returns
    -------
    Courses or None
        None where the pair has no path.
    """
    path = contact_path(pair=mesh.pair, points=POINTS)
    marks = {letter: getattr(path, f"mark_{letter}_mm") for letter in "ABCDE"}
    if any(value is None for value in marks.values()):
        return None
    if mesh.factors is None or stop_words(mesh.factors, mesh.duty_factors):
        why = mesh.missing or "a stop leaves no load factors"
        return Courses(marks_mm=marks, known=(), missing=(f"Pressure and sliding speed: {why}.",))
    pressed = pressure_along(mesh)
    known = (
        Course(
            key="pressure",
            title="Hertz pressure p₀",
            unit="MPa",
            position_mm=array(pressed.position_mm),
            value=array(pressed.pressure_MPa),
        ),
        _sliding(mesh, path),
        *_film(record, mesh),
        *_temperature(mesh),
    )
    return Courses(
        marks_mm=marks,
        known=tuple(_stepped(record, mesh, one) for one in known if np.isfinite(one.value).any()),
        missing=_missing(mesh, record.lubricant),
        loads=_loads(record, mesh),
    )


def _missing(mesh: MeshChain, lubricant: Lubricant | None) -> tuple[str, ...]:
    """What is not known of the oil, under the reason that it shares."""
    told = (
        ("oil film", mesh.micropitting, missing_film(lubricant)),
        ("contact temperature", mesh.flash, missing_scuffing(lubricant)),
    )
    by_reason: dict[str, list[str]] = {}
    for what, found, why in told:
        if found is None and why:
            by_reason.setdefault(why, []).append(what)
    return tuple(f"Not known: {' and '.join(names)}; {why}." for why, names in by_reason.items())


def _stepped(record: Record, mesh: MeshChain, course: Course) -> Course:
    """The course with the step of the duty at which it is drawn."""
    steps = {
        "film": mesh.thinnest_step,
        "specific film": mesh.thinnest_step,
        "temperature": mesh.hottest_step,
    }
    return replace(course, at_step=step_words(record, steps.get(course.key, mesh.heaviest_step)))


def _loads(record: Record, mesh: MeshChain) -> tuple[str, ...]:
    """At which step of a duty each quantity is drawn: that which is worst for it."""
    told = (
        ("The pressure is largest at {}; the sliding speed is that of the same load.", mesh.heaviest_step),
        ("The film is thinnest at {}.", mesh.thinnest_step),
        ("The contact is hottest at {}.", mesh.hottest_step),
    )
    return tuple(said.format(step_words(record, step)) for said, step in told if step is not None)


def _film(record: Record, mesh: MeshChain) -> Iterator[Course]:
    """The oil film and the specific film, where micropitting was rated; no load leaves no film to tell of."""
    found = mesh.micropitting
    if found is None or found.film_um is None:
        return
    position = array(found.position_mm)
    film, specific = (
        np.where(np.isfinite(array(value)), array(value), np.nan)
        for value in (found.film_um, found.specific_film)
    )
    yield Course(
        key="film",
        title="oil film h",
        unit="µm",
        position_mm=position,
        value=film,
        worst="smallest",
        digits=3,
    )
    limit, least = (
        found.permissible_film,
        None if record.required is None else record.required.micropitting_safety,
    )
    # as for the temperature: the line where the requirement turns
    agreed = None if limit is None or least is None else float(array(limit) * least)
    yield Course(
        key="specific film",
        title="specific film λ",
        unit="",
        position_mm=position,
        value=specific,
        worst="smallest",
        limit=agreed,
        limit_words="with the safety agreed at least",
        digits=3,
    )


def _temperature(mesh: MeshChain) -> Iterator[Course]:
    """The contact temperature, bulk and flash, against what is permissible."""
    found = mesh.flash
    if found is None or found.contact_temperature_C is None:
        return
    limit = found.permissible_C
    yield Course(
        key="temperature",
        title="contact temperature, bulk and flash",
        unit="°C",
        position_mm=array(found.position_mm),
        value=array(found.contact_temperature_C),
        limit=None if limit is None else float(limit),
        limit_words="with the safety agreed at most",
    )


def _sliding(mesh: MeshChain, path: ContactPath) -> Course:
    """The sliding speed is that per unit of the speed at the working pitch circle."""
    assert mesh.factors is not None
    pinion = mesh.pair.pinion
    at_pitch = array(heaviest(mesh).pitch_line_velocity_m_s) * (
        array(pinion.working_pitch_diameter_mm) / array(pinion.reference_diameter_mm)
    )
    return Course(
        key="sliding",
        title="sliding speed",
        unit="m/s",
        position_mm=array(path.position_mm),
        value=np.abs(array(path.sliding_speed) * at_pitch),
        digits=2,
    )
