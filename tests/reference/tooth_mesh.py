"""A tooth on a solid body as a mesh of quadrilaterals, right half and its mirror image.

Rays run from the outline to the middle of the tooth and, from the deeper part of the fillet on, to an arc
deep in the body.
"""

from __future__ import annotations

import numpy as np

from gearcheck.gear.outline import tooth_outline

DEEP, WIDE = 5.0, 8.0  # modules below the root circle, and beside the space, to the fixed border
TURN = 0.55  # the share of the fillet, from its deepest point, whose rays end in the body
LAYERS, FLANK, FILLET, ROOT = 20, 40, 100, 24
GRADING = 1.22  # each layer is thicker by this than the one before, from the outline inwards
POINTS = 4000


def tooth_mesh(gear, pair):
    """Nodes (2, n), quadrilaterals (4, m), and the numbers of the nodes of the right outline, tip first."""
    (x, y), inner = _right_side(gear, pair)
    ends = _ends(x, y, inner)
    steps = np.concatenate([[0.0], np.cumsum(GRADING ** np.arange(LAYERS))])
    share = (steps / steps[-1])[None, :]
    right = [start[:, None] + (end - start)[:, None] * share for start, end in zip((x, y), ends, strict=True)]
    rows, columns = right[0].shape
    number = np.arange(rows * columns).reshape(rows, columns)
    quads = np.stack([number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]]).reshape(4, -1)
    points = np.stack([part.ravel() for part in right])
    quads = np.hstack([quads, quads[::-1] + points.shape[1]])
    points = np.hstack([points, points * np.array([[-1.0], [1.0]])])
    # the nodes on the middle of the tooth belong to both halves
    rounded = np.round(points / np.abs(points).max(), 10)
    _, first, back = np.unique(rounded, axis=1, return_index=True, return_inverse=True)
    back = back.ravel()
    return np.ascontiguousarray(points[:, first]), back[quads], back[number[:, 0]]


def _right_side(gear, pair):
    """Points from the tip corner down the flank and the fillet, then along the root circle; inner radius."""
    module = float(pair.normal_module_mm)
    outline = tooth_outline(gear=gear, pair=pair, points=POINTS)
    x, y = (value[POINTS // 2 :] for value in (outline.x_mm, outline.y_mm))
    radii = np.hypot(x, y)
    corner = int(np.flatnonzero(radii < radii.max() - 1e-9)[0]) - 1
    join = POINTS // 2 - 1 - outline.join
    bottom = int(np.argmin(radii > radii.min() + 1e-9))
    flank = _even(x[corner : join + 1], y[corner : join + 1], FLANK)
    fillet = _even(x[join : bottom + 1], y[join : bottom + 1], FILLET)
    start = np.arctan2(x[bottom], y[bottom])
    angles = start + np.linspace(0.0, 1.0, ROOT + 1) ** 1.6 * WIDE * module / radii[bottom]
    root = radii[bottom] * np.sin(angles), radii[bottom] * np.cos(angles)
    whole = tuple(np.concatenate([flank[i], fillet[i][1:], root[i][1:]]) for i in (0, 1))
    return whole, radii[bottom] - DEEP * module


def _even(x, y, count):
    """The same curve with points at even steps of its length."""
    length = _length(x, y)
    at = np.linspace(0.0, length[-1], count + 1)
    return np.interp(at, length, x), np.interp(at, length, y)


def _length(x, y):
    return np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])


def _ends(x, y, inner):
    """Where each ray ends: on the middle of the tooth, then on the inner arc."""
    turn = FLANK + round((1.0 - TURN) * FILLET)
    length = _length(x, y)
    down = y[0] + (inner - y[0]) * (length[: turn + 1] / length[turn]) ** 1.3
    angle = np.arctan2(x[-1], y[-1]) * (length[turn + 1 :] - length[turn]) / (length[-1] - length[turn])
    return (
        np.concatenate([0.0 * down, inner * np.sin(angle)]),
        np.concatenate([down, inner * np.cos(angle)]),
    )
