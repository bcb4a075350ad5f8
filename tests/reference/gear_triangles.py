"""A whole gear with all its teeth as a mesh of triangles: fine at three teeth, coarse around."""

from __future__ import annotations

import numpy as np
from scipy.spatial import Delaunay, cKDTree

from gearcheck.gear.outline import tooth_outline

POINTS = 1200
NEAR, AROUND, FAR = 0.16, 0.45, 1.0  # sizes in modules


def turned(points, angle):
    """Points turned clockwise."""
    c, s = np.cos(angle), np.sin(angle)
    return np.stack([points[:, 0] * c + points[:, 1] * s, points[:, 1] * c - points[:, 0] * s], axis=-1)


def spaced(line, step):
    """A curve with points at even steps of its length, without the last."""
    length = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    at = np.linspace(0.0, length[-1], max(2, round(length[-1] / step)) + 1)[:-1]
    return np.stack([np.interp(at, length, part) for part in line.T], axis=-1)


def outline(gear, pair):
    """The tooth from the space on its left to the space on its right."""
    found = tooth_outline(gear=gear, pair=pair, points=POINTS)
    return np.stack([found.x_mm, found.y_mm], axis=-1)


def inside(points, ring):
    """Whether points lie inside a closed polygon: rays to the right cross it an odd number of times."""
    (x1, y1), (x2, y2) = ring.T, np.roll(ring, -1, axis=0).T
    odd = np.zeros(len(points), dtype=bool)
    for part in np.array_split(np.arange(len(points)), max(1, len(points) * len(ring) // 10_000_000)):
        x, y = points[part, :1], points[part, 1:]
        crosses = (y1 > y) != (y2 > y)
        with np.errstate(divide="ignore", invalid="ignore"):
            at = x1 + (y - y1) * (x2 - x1) / (y2 - y1)
        odd[part] = (crosses & (x < at)).sum(axis=1) % 2 == 1
    return odd


def gear_triangles(gear, pair, held_mm, on_flank, in_tooth):
    """Nodes (n, 2), triangles (m, 3), and the nodes of the points on the flank and in the first tooth.

    `on_flank` and `in_tooth` are points of the upright tooth; they come back for it and its two neighbours.
    """
    module, pitch = float(pair.normal_module_mm), 2 * np.pi / float(gear.teeth)
    root = float(gear.root_diameter_mm) / 2
    tooth = outline(gear, pair)
    # the loaded points become nodes of the outline
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(tooth, axis=0).T))])
    fine = spaced(tooth, NEAR * module)
    fine = fine[cKDTree(on_flank).query(fine)[0] > 0.5 * NEAR * module]
    where = cKDTree(tooth).query(np.concatenate([fine, on_flank]))[1]
    fine = np.concatenate([fine, on_flank])[np.argsort(along[where], kind="stable")]
    coarse = spaced(tooth, AROUND * module)
    near = [-1, 0, 1]
    sequence = [
        turned(fine if turn in near else coarse, turn * pitch) for turn in range(-1, int(gear.teeth) - 1)
    ]
    ring = np.concatenate(sequence)
    angles = np.linspace(0, 2 * np.pi, max(60, round(2 * np.pi * held_mm / (FAR * module))), endpoint=False)
    held = held_mm * np.stack([np.sin(angles), np.cos(angles)], axis=-1)
    outer, hole = (held, ring) if gear.internal else (ring, held)
    points = np.concatenate([ring, held, *(turned(in_tooth, turn * pitch) for turn in near)])
    points = _filled(points, outer, hole, root, module, pitch)
    triangles = Delaunay(points).simplices
    middle = points[triangles].mean(axis=1)
    triangles = triangles[inside(middle, outer) & ~inside(middle, hole)]
    used, triangles = np.unique(triangles, return_inverse=True)
    points, tree = points[used], cKDTree(points[used])
    flank, read = (
        np.stack([tree.query(turned(part, turn * pitch))[1] for turn in near])
        for part in (on_flank, in_tooth)
    )
    return points, triangles.reshape(-1, 3), flank, read


def _filled(points, outer, hole, root, module, pitch):
    """Points and grids between them, each zone with its size, none nearer to another than 0.7 of it."""
    for size in (NEAR * module, AROUND * module, FAR * module):
        reach = np.hypot(*outer.T).max()
        count = int(1.7 * reach / size) + 1
        grid = np.stack(np.meshgrid(np.arange(-count, count + 1), np.arange(-count, count + 1)), -1).reshape(
            -1, 2
        )
        grid = grid @ np.array([[1.0, 0.0], [0.5, np.sqrt(0.75)]]) * size
        radius, angle = np.hypot(*grid.T), np.arctan2(*grid.T)
        depth = np.abs(radius - root)
        if size == NEAR * module:
            grid = grid[(depth < 2.6 * module) & (np.abs(angle) < 1.6 * pitch)]
        elif size == AROUND * module:
            grid = grid[depth < 4.0 * module]
        grid = grid[inside(grid, outer) & ~inside(grid, hole)]
        grid = grid[cKDTree(points).query(grid)[0] > 0.7 * size]
        points = np.concatenate([points, grid])
    return points
