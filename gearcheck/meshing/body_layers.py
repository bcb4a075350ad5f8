"""The body behind the teeth as rings of the mesh."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, array
from gearcheck.gear.gear import GearGeometry
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.section import Section
from gearcheck.meshing.section_mesh import Layer

SOLID, SOLID_INTERNAL = 0.6, 1.3
"""Where a body without bore or rim is held, in root radii: a choice of our own."""


def need_body(faults: Faults, gear: GearGeometry, body: Body, face_width_mm: float) -> None:
    """Note what is wrong with the body of one gear."""
    bore, rim, web = (float(part) for part in _numbers(body))
    root = float(array(gear.root_diameter_mm))
    for name, value in (("bore_diameter_mm", bore), ("rim_thickness_mm", rim), ("web_thickness_mm", web)):
        faults.need(not value <= 0.0, f"body.{name}", value, "a length over 0 mm, or none")
    faults.need(not web > face_width_mm, "body.web_thickness_mm", web, "a web no wider than the face")
    faults.need(
        np.isnan(web) or not np.isnan(rim), "body.rim_thickness_mm", None, "a rim, where a web is given"
    )
    if gear.internal:
        faults.need(
            np.isnan(web), "body.web_thickness_mm", web, "no web: an internal gear is held at its outside"
        )
        return
    faults.need(
        not bore >= root, "body.bore_diameter_mm", bore, f"a bore below the root circle of {root:.6g} mm"
    )
    inside = root - 2.0 * rim
    faults.need(not inside <= 0.0, "body.rim_thickness_mm", rim, f"a rim below half of {root:.6g} mm")
    within = bore <= inside * (1.0 + 1e-6) or np.isnan(bore + inside)
    needed = f"a bore inside of the rim, at most {inside:.6g} mm"
    faults.need(bool(within), "body.bore_diameter_mm", bore, needed)


def body_layers(section: Section, gear: GearGeometry, body: Body, face_width_mm: float) -> tuple[Layer, ...]:
    """Return the rings between the root and the place at which the gear is held.

    Distances from the root circle are those of the transverse section.

    Parameters
    ----------
    section : Section
        The normal section.
    gear : GearGeometry
        The gear.
    body : Body
        What is behind its teeth, as `need_body` takes it.
    face_width_mm : float
        Face width, mm.

    Returns
    -------
    tuple of Layer
        One, or rim and web.
    """
    bore, rim, web = (float(part) for part in _numbers(body))
    root = float(array(gear.root_diameter_mm)) / 2.0
    raised = section.root_radius_mm - root
    held = (SOLID_INTERNAL if gear.internal else SOLID) * root
    if not gear.internal and not np.isnan(bore):
        held = bore / 2.0
    if np.isnan(rim):
        return (Layer(end_mm=held + raised, share=1.0),)
    inside = root - section.side * rim
    ring = Layer(end_mm=inside + raised, share=1.0)
    if np.isnan(web) or held >= inside * (1.0 - 1e-3):
        return (ring,)
    return ring, Layer(end_mm=held + raised, share=web / face_width_mm)


def _numbers(body: Body) -> tuple[Array, Array, Array]:
    return array(body.bore_diameter_mm), array(body.rim_thickness_mm), array(body.web_thickness_mm)
