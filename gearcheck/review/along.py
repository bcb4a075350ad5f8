"""What the flanks feel along the path of contact of one mesh: each quantity with its places and its worst."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.path import ContactPath, contact_path
from gearcheck.review.pressure import POINTS, pressure_along
from gearcheck.review.results import MeshChain


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
    """

    marks_mm: Mapping[str, float]
    known: tuple[Course, ...]
    missing: tuple[str, ...] = ()


def courses(mesh: MeshChain) -> Courses | None:
    """Return what is known along the path of one mesh.

    Parameters
    ----------
    mesh : MeshChain
        Without arrays of samples.

    Returns
    -------
    Courses or None
        None where the pair has no path.
    """
    path = contact_path(pair=mesh.pair, points=POINTS)
    marks = {letter: getattr(path, f"mark_{letter}_mm") for letter in "ABCDE"}
    if any(value is None for value in marks.values()):
        return None
    if mesh.factors is None or mesh.factors.stops:
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
    )
    return Courses(marks_mm=marks, known=tuple(one for one in known if not np.isnan(one.value).all()))


def _sliding(mesh: MeshChain, path: ContactPath) -> Course:
    """The sliding speed is that per unit of the speed at the working pitch circle."""
    assert mesh.factors is not None
    pinion = mesh.pair.pinion
    at_pitch = array(mesh.factors.pitch_line_velocity_m_s) * (
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
