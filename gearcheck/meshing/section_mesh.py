"""The mesh of one gear's section: three teeth in detail on a ring that closes on itself."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from gearcheck.basics.numbers import Array
from gearcheck.meshing.section import Section

TEETH = 3
EDGE, OF_LAYER = 0.8, 0.4
"""Depth below the root circle down to which the columns become even: in modules, and at most of the layer."""
FIRST = 0.6
"""Height in modules of the first row below that; in pitches the width of the first column without teeth."""
STANDING = 0.2
"""Height in modules that stands for the teeth left out: so the ring moves as one with all its teeth."""
DEEPER = 0.7
"""Rows of a layer for each doubling of its depth over that of the first row."""
SOFTEST = 2.2
"""Largest power by which the columns without teeth become wider."""


@dataclass(frozen=True, kw_only=True)
class Counts:
    """How many elements a mesh has.

    Parameters
    ----------
    across : int
        Across a tooth, even.
    flank, fillet : int
        Along the flank, and along the part of the fillet that belongs to the tooth.
    root : int
        Along the rest of the fillet and half the root land.
    edge, layer : int
        Rows from the root to the even columns, and in each layer of the body below; a deep layer has more.
    smooth : int
        Columns of the ring without teeth, even.
    """

    across: int = 4
    flank: int = 4
    fillet: int = 1
    root: int = 2
    edge: int = 2
    layer: int = 3
    smooth: int = 12


@dataclass(frozen=True, kw_only=True)
class Layer:
    """A ring of the body.

    Parameters
    ----------
    end_mm : float
        Radius at which it ends.
    share : float
        Share that it has of the stiffness of the full width.
    """

    end_mm: float
    share: float


@dataclass(frozen=True, kw_only=True)
class SectionMesh:
    """Nodes and elements of the section; the nodes at which it is held come last.

    Parameters
    ----------
    nodes_mm : array
        Shape (nodes, 2).
    elements : array of int
        Shape (elements, 8): corners, then the middles of the sides.
    share : array
        Share that each element has of its stiffness.
    free : int
        Number of nodes that can move.
    flank : array of int
        Nodes of the right flank of each tooth, from the tip down, shape (3, points).
    middle : array of int
        Nodes of the middle of the upright tooth and below it, from the tip down, shape (points,).
    along_mm, height_mm : array
        Length along the outline at the nodes of a flank; distance from the axis at those of the middle.
    """

    nodes_mm: Array
    elements: NDArray[np.intp]
    share: Array
    free: int
    flank: NDArray[np.intp]
    middle: NDArray[np.intp]
    along_mm: Array
    height_mm: Array


def section_mesh(section: Section, layers: tuple[Layer, ...], counts: Counts) -> SectionMesh:
    """Return the mesh of one gear.

    Parameters
    ----------
    section : Section
        Half a tooth.
    layers : tuple of Layer
        The body from the root on; the gear is held at the end of the last.
    counts : Counts
        Numbers of elements.

    Returns
    -------
    SectionMesh
        Three teeth, the second one upright, and the ring.
    """
    tooth, along = _tooth(section, counts)
    pitch = 2 * section.half_pitch
    places = [_turned(tooth[:-1], turn * pitch) for turn in (-1, 0, 1)]
    radii, share = _rows(section, layers, counts)
    ring = _ring(section, tooth[-1], radii, counts)
    in_ring = np.arange(ring.size // 2).reshape(len(radii), -1)
    middles, feet = _columns(counts)
    count, size = in_ring.size, places[0].size // 2
    in_teeth = [count + turn * size + np.arange(size).reshape(len(along) - 1, -1) for turn in range(TEETH)]
    grids = [np.concatenate([grid, in_ring[:1, foot]]) for grid, foot in zip(in_teeth, feet, strict=True)]
    elements = np.concatenate([_elements(np.hstack([in_ring, in_ring[:, :1]])), *map(_elements, grids)])
    columns = in_ring.shape[1] // 2
    shares = np.concatenate([np.repeat(share, columns), np.ones(len(elements) - len(share) * columns)])
    held = in_ring[-1]
    used = np.unique(elements)
    order = np.concatenate([np.setdiff1d(used, held), held])
    place = np.zeros(count + TEETH * size, dtype=np.intp)
    place[order] = np.arange(len(order))
    nodes = np.concatenate([part.reshape((-1, 2)) for part in (ring, *places)])[order]
    middle = place[np.concatenate([grids[1][:, counts.across], in_ring[1:-1, middles[1]]])]
    return SectionMesh(
        nodes_mm=nodes,
        elements=place[elements],
        share=shares,
        free=len(order) - len(held),
        flank=place[np.array([grid[:, -1] for grid in grids])],
        middle=middle,
        along_mm=along,
        height_mm=np.hypot(*nodes[middle].T),
    )


def _columns(counts: Counts) -> tuple[list[int], list[slice]]:
    """Return the column in the middle of each tooth, and the columns on which each tooth stands."""
    pitch = 2 * (2 * counts.root + counts.across)
    middle = [pitch * turn + pitch // 2 for turn in range(TEETH)]
    return middle, [slice(at - counts.across, at + counts.across + 1) for at in middle]


def _tooth(section: Section, counts: Counts) -> tuple[Array, Array]:
    """Return the nodes (rows, columns, 2) of an upright tooth from the tip down, and the outline's length."""
    marks = section.along_mm[[section.join, section.foot]]
    flank = np.linspace(0.0, marks[0], 2 * counts.flank + 1)
    fillet = np.linspace(marks[0], marks[1], 2 * counts.fillet + 1)
    along = np.concatenate([flank, fillet[1:]])
    x, y = section.at(along)
    across = np.linspace(-1.0, 1.0, 2 * counts.across + 1)
    return np.stack([x[:, None] * across, np.broadcast_to(y[:, None], (len(y), len(across)))], axis=-1), along


def _turned(points: Array, angle: float) -> Array:
    """Return points turned about the axis of the gear, towards the right flank of the upright tooth."""
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    return np.asarray(points @ turn)


def _rows(section: Section, layers: tuple[Layer, ...], counts: Counts) -> tuple[Array, Array]:
    """Return the radii of the rows of nodes below the root, and the share of each row of elements."""
    thickness = abs(layers[0].end_mm - section.root_radius_mm)
    depth = min(EDGE * section.module_mm, OF_LAYER * thickness)
    start = section.root_radius_mm - section.side * depth
    ends = [start, *(layer.end_mm for layer in layers)]
    radii, rows = [np.linspace(section.root_radius_mm, start, 2 * counts.edge + 1)], []
    for one, two in pairwise(ends):
        first = abs(two - one) / (FIRST * section.module_mm)
        rows.append(max(counts.layer, round(DEEPER * float(np.log2(max(first, 1.0))))))
        power = max(1.0, np.log(first) / np.log(rows[-1]))
        graded = one + (two - one) * np.linspace(0.0, 1.0, rows[-1] + 1) ** power
        radii.append(_with_middles(graded)[1:])
    rows[0] += counts.edge
    return np.concatenate(radii), np.repeat([layer.share for layer in layers], rows)


def _ring(section: Section, foot: Array, radii: Array, counts: Counts) -> Array:
    """Return the nodes (rows, columns, 2) of the ring, clockwise from the space before the first tooth."""
    start, end = section.along_mm[[section.foot, -1]]
    beside = np.stack(section.at(np.linspace(start, end, 2 * counts.root + 1)[1:]), axis=-1)
    top = np.concatenate([(beside * [-1.0, 1.0])[::-1], foot, beside])
    pitch = 2 * section.half_pitch
    edge = np.concatenate([_turned(top[:-1], turn * pitch) for turn in (-1, 0, 1)])
    even = np.linspace(-1.5, 1.5, len(edge) + 1)[:-1] * pitch
    half = np.pi - 1.5 * pitch
    power = np.log(max(half / (FIRST * pitch), 1.0)) / np.log(counts.smooth / 2)
    to_middle = np.linspace(-1.0, 1.0, counts.smooth + 1)
    grown = np.sign(to_middle) * (1 - (1 - np.abs(to_middle)) ** np.clip(power, 1.0, SOFTEST))
    smooth = np.pi + half * _with_middles(grown)[:-1]
    top = np.concatenate([edge, _without_teeth(section, len(smooth))[:, None] * _around(smooth)])
    round_ = _around(np.concatenate([even, smooth]))
    last = 2 * counts.edge
    share = np.linspace(0.0, 1.0, last + 1)[:, None, None]
    above = top + share * (radii[last] * round_ - top)
    return np.concatenate([above, radii[last + 1 :, None, None] * round_])


def _without_teeth(section: Section, count: int) -> Array:
    """Return the radii of the ring's edge away from the teeth: from the root circle up within a column."""
    from_end = np.minimum(np.arange(count), count - np.arange(count))
    height = section.side * STANDING * section.module_mm
    return section.root_radius_mm + height * np.minimum(from_end / 2, 1.0)


def _with_middles(corners: Array) -> Array:
    """Return places with the middles between them: at an uneven middle an element would fold."""
    both = np.empty(2 * len(corners) - 1)
    both[::2], both[1::2] = corners, (corners[1:] + corners[:-1]) / 2
    return both


def _around(angle: Array) -> Array:
    return np.stack([np.sin(angle), np.cos(angle)], axis=-1)


def _elements(grid: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the elements on a grid of nodes, whose every second row and column holds corners."""
    low, high, middle = slice(None, -2, 2), slice(2, None, 2), slice(1, None, 2)
    places = [(low, low), (low, high), (high, high), (high, low)]
    places += [(low, middle), (middle, high), (high, middle), (middle, low)]
    return np.stack([grid[row, column].ravel() for row, column in places], axis=-1)
