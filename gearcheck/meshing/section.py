"""The normal section of one gear: a tooth of the spur gear that stands for a helical one."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.outline import tooth_outline
from gearcheck.gear.pair import PairGeometry

POINTS = 400
FOOT = 0.5
"""Share of the fillet, from the flank on, that belongs to the tooth; the rest is the edge of the body."""


@dataclass(frozen=True, kw_only=True)
class Section:
    """Half a tooth, tip up, axis of the gear at the origin; the other half is its mirror image.

    Parameters
    ----------
    x_mm, y_mm, along_mm : array
        The outline from the corner of the tip down to the middle of the space, and its length from the tip.
    join, foot : int
        Where fillet and flank meet, and where the tooth ends and the edge of the body begins.
    side : float
        1, and -1 of an internal gear.
    module_mm, half_pitch, root_radius_mm : float
        m_n; half the pitch angle in radians; radius of the root circle.
    raised_mm : float
        Radius in this section less radius in the transverse section.
    base_radius_mm : float
        Radius of the base circle of this section.
    """

    x_mm: Array
    y_mm: Array
    along_mm: Array
    join: int
    foot: int
    side: float
    module_mm: float
    half_pitch: float
    root_radius_mm: float
    raised_mm: float
    base_radius_mm: float

    def at(self, along_mm: Array) -> tuple[Array, Array]:
        """Return x and y at lengths along the outline.

        Parameters
        ----------
        along_mm : array
            From the corner of the tip, mm.

        Returns
        -------
        x_mm, y_mm : tuple of array
        """
        return np.interp(along_mm, self.along_mm, self.x_mm), np.interp(along_mm, self.along_mm, self.y_mm)

    def loaded(self, radius_mm: Array) -> tuple[Array, Array, Array]:
        """Return where and how the flank is loaded at transverse radii.

        Parameters
        ----------
        radius_mm : array
            Transverse radii, mm.

        Returns
        -------
        along_mm, depth_mm, angle : tuple of array
            Place on the outline; way along the flank's normal to the middle of the tooth; angle in radians
            between that normal and the direction across the tooth, positive where the load presses down.
        """
        radius = radius_mm + self.raised_mm
        radii = np.hypot(self.x_mm, self.y_mm)[: self.join + 1]
        along = np.interp(self.side * radius, self.side * radii[::-1], self.along_mm[: self.join + 1][::-1])
        x, y = self.at(along)
        pressure = np.arccos(np.minimum(self.base_radius_mm / radius, 1.0))
        angle = self.side * pressure - np.arctan2(x, y)
        return along, x / np.cos(angle), angle


def section_of(gear: GearGeometry, pair: PairGeometry) -> tuple[Section, float]:
    """Return the normal section of one gear, and the radius of its root form circle in the transverse one.

    Heights are kept, angles go with the number of teeth, the reference circle lies at z_n·m_n/2: at it the
    tooth is narrower by cos β than in the transverse section.

    Parameters
    ----------
    gear : GearGeometry
        The gear, without sample axes.
    pair : PairGeometry
        Its pair.

    Returns
    -------
    section, form_radius_mm : tuple
        The section, and the transverse radius at which fillet and involute meet.
    """
    outline = tooth_outline(gear=gear, pair=pair, points=POINTS)
    x, y = outline.x_mm[POINTS // 2 :], outline.y_mm[POINTS // 2 :]
    z, z_n = float(array(gear.teeth)), float(array(gear.virtual_teeth))
    module, reference = float(array(gear.normal_module_mm)), float(array(gear.reference_diameter_mm)) / 2
    raised = z_n * module / 2 - reference
    radius, angle = np.hypot(x, y) + raised, np.arctan2(x, y) * z / z_n
    on_tip = np.isclose(radius, radius[0], rtol=1e-12)
    corner = int(np.argmin(on_tip)) - 1
    x, y = (radius * part for part in (np.sin(angle), np.cos(angle)))
    x, y = x[corner:], y[corner:]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)))])
    join = outline.join - POINTS // 2 - corner
    last = int(np.argmax(np.isclose(radius[corner:], radius[-1], rtol=1e-12)))
    foot = int(np.searchsorted(along, along[join] + FOOT * (along[last] - along[join])))
    section = Section(
        x_mm=x,
        y_mm=y,
        along_mm=along,
        join=join,
        foot=foot,
        side=-1.0 if gear.internal else 1.0,
        module_mm=module,
        half_pitch=np.pi / z_n,
        root_radius_mm=float(radius[-1]),
        raised_mm=raised,
        base_radius_mm=z_n * module / 2 * np.cos(np.radians(float(array(gear.pressure_angle_deg)))),
    )
    return section, float(array(outline.form_diameter_mm)) / 2
