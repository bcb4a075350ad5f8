"""Whether the indents of a hardness traverse stand far enough apart, and near enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.basics.tables import table
from gearcheck.hardening.traverse import checked_indents

INDENTS = Method(
    key="iso18203.indents",
    title="Spacing of the indents of a traverse",
    source="ISO 18203, ISO 6507-1",
    edition="2016, 2018",
    clause="distance between indents and from the edge",
    status=Status.FROM_MEMORY,
    valid=(Range("test_force_kgf", "F", 0.1, 1.0, "kgf"),),
    implements=(
        "diagonal of an indent from force and hardness, as Vickers hardness is defined",
        "at least 2.5 diagonals between indents, and from the first of them to the surface",
        "at most 0.1 mm from one depth to the next",
    ),
    leaves_out=("the diagonals as they were measured",),
    departures=(
        "Of two neighbours the larger diagonal counts.",
        "Indents that are offset sideways stand in two rows: each is held against its neighbour in the other "
        "row and against the next in its own.",
        "A step of more than 0.1 mm counts only down to where the case ends, the last indent above 450 HV.",
    ),
)

_CASE_HV = 450.0


@dataclass(frozen=True, kw_only=True)
class IndentSpacing(Result):
    """Diagonals and distances of the indents of one traverse; indents on the last axis."""

    method: ClassVar[Method] = INDENTS
    test_force_kgf: Number = term("Test force", "F", "kgf")
    hardness_HV: Number = term("Hardness", "HV", "HV")
    sideways_mm: Number = term("Offset of neighbouring indents sideways", "y_s", "mm")
    diagonal_mm: Number = term("Diagonal of each indent", "d", "mm", "(1.8544·F/HV)^0.5")
    first_mm: Number = term("Depth of the first indent", "z_1", "mm", words="from the traverse")
    first_in_diagonals: Number = term(
        "Distance of the first indent from the surface in its diagonals",
        "n_1",
        "",
        words="depth of the first indent over its diagonal",
    )
    tightest_in_diagonals: Number = term(
        "Least distance of two indents in diagonals",
        "n_s",
        "",
        words="least of (Δz² + y_s²)^0.5/d between the rows and Δz/d along a row",
    )
    largest_step_mm: Number = term(
        "Largest step in depth within the case", "Δz", "mm", words="from the traverse"
    )


def indent_spacing(
    *, depth_mm: Number, hardness_HV: Number, test_force_kgf: Number, sideways_mm: Number = 0.0
) -> IndentSpacing:
    """Return whether the indents of a traverse stand far enough apart for their size.

    d = (1.8544 F/HV)^0.5, s = (Δz² + y²)^0.5 ≥ 2.5 d, z_1 ≥ 2.5 d

    Parameters
    ----------
    depth_mm, hardness_HV : array
        Depth of each indent in mm, rising, and its hardness, shape (indents) each.
    test_force_kgf : float
        F in kgf, the number behind HV: 0.5 for HV 0.5.
    sideways_mm : float
        y: how far neighbouring indents are offset sideways in a zigzag, mm; 0 for one straight row.

    Returns
    -------
    IndentSpacing
        Diagonals and distances, with a caution and its numbers where they are too small, and a note where the
        steps in depth are wide.

    Raises
    ------
    InputError
        Fewer than two indents, depths that do not rise, lists of different length, a hardness or force of 0
        or less, or an offset below 0.

    Notes
    -----
    Source: ISO 6507-1, definition; ISO 18203, distances; all from memory.
    Valid for: F 0.1 to 1 kgf; a caution beyond.
    Departures: the larger diagonal of two neighbours counts.
    Checked: INDENT-01 to INDENT-03.

    Examples
    --------
    >>> found = indent_spacing(depth_mm=[0.1, 0.2, 0.3], hardness_HV=[700, 690, 640], test_force_kgf=1)
    >>> found.diagonal_mm.round(4).tolist(), round(found.tightest_in_diagonals, 2)
    ([0.0515, 0.0518, 0.0538], 1.86)
    """
    depth, hardness = checked_indents(depth_mm, hardness_HV)
    force, sideways = float(array(test_force_kgf)), float(array(sideways_mm))
    faults = Faults()
    faults.need(bool((hardness > 0).all()), "hardness_HV", hardness_HV, "hardnesses above 0 HV")
    faults.need(force > 0, "test_force_kgf", force, "a force above 0 kgf")
    faults.need(sideways >= 0, "sideways_mm", sideways, "an offset of 0 mm or more")
    faults.check()
    diagonal = np.sqrt(table("traverse_rules").value("Vickers constant") * force / hardness)
    tightest = float(np.concatenate([*_distances(depth, diagonal, sideways)]).min())
    inside = np.flatnonzero(hardness > _CASE_HV)
    steps = np.diff(depth)[: max(inside.max() + 1, 1) if inside.size else 1]
    return IndentSpacing(
        test_force_kgf=force,
        hardness_HV=hardness,
        sideways_mm=sideways,
        diagonal_mm=diagonal,
        first_mm=depth[0],
        first_in_diagonals=depth[0] / diagonal[0],
        tightest_in_diagonals=tightest,
        largest_step_mm=float(steps.max()),
        notices=(*INDENTS.outside(test_force_kgf=force), *_notices(depth, diagonal, tightest, steps)),
    )


def _distances(depth: Array, diagonal: Array, sideways: float) -> Iterator[Array]:
    """Distances in diagonals: to the neighbour, and in a zigzag to the next of the same row."""
    larger = np.maximum(diagonal[1:], diagonal[:-1])
    yield np.hypot(np.diff(depth), sideways) / larger
    if sideways > 0:
        yield (depth[2:] - depth[:-2]) / np.maximum(diagonal[2:], diagonal[:-2])


def _notices(depth: Array, diagonal: Array, tightest: float, steps: Array) -> Iterator[Notice]:
    rule = table("traverse_rules").value
    edge, apart, step = (
        rule(name)
        for name in (
            "least distance from the edge in diagonals",
            "least spacing in diagonals",
            "largest step in depth",
        )
    )
    if depth[0] < edge * diagonal[0] * (1 - 1e-9):
        text = (
            f"The first indent stands {depth[0]:.3f} mm below the surface, {depth[0] / diagonal[0]:.1f} of "
            f"its diagonals of {diagonal[0]:.3f} mm: {edge:g} are asked, {edge * diagonal[0]:.3f} mm; "
            "near an edge it reads too soft."
        )
        yield Notice(Level.CAUTION, "iso18203.indents.edge", text)
    if tightest < apart * (1 - 1e-9):
        text = (
            f"Two indents stand {tightest:.1f} diagonals apart, {apart:g} are asked: the metal between them "
            "is worked hard, the reading is unsure; a smaller force or a zigzag helps."
        )
        yield Notice(Level.CAUTION, "iso18203.indents.near", text)
    if steps.max() > step * (1 + 1e-9):
        text = (
            f"Within the case the depth steps by up to {steps.max():.2f} mm; {step:g} mm at most are asked, "
            "so that the course is seen."
        )
        yield Notice(Level.NOTE, "iso18203.indents.wide", text)
