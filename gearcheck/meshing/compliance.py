"""How far the teeth of one gear give way under load: along the face, and from tooth to tooth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, ClassVar

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.gear.gear import GearGeometry
from gearcheck.gear.pair import PairGeometry
from gearcheck.meshing.body_layers import body_layers, need_body
from gearcheck.meshing.chebyshev import places_between, weights_between
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.probes import probes
from gearcheck.meshing.section import section_of
from gearcheck.meshing.section_mesh import Counts, section_mesh
from gearcheck.meshing.wave_solver import wave_compliance

COMPLIANCE = Method(
    key="finite_strips.compliance",
    title="Compliance of the teeth of one gear",
    source="Zienkiewicz and Taylor, The Finite Element Method",
    edition="",
    clause="semi-analytical elements: trigonometric series along a prismatic body",
    status=Status.FROM_MEMORY,
    valid=(Range("virtual_teeth", "z_n", 5, np.inf, "", Level.STOP),),
    implements=(
        "bending, shear and foundation of the tooth on its body, from the outline with its fillet",
        "coupling along the face, and of a tooth with the next two through the body",
        "plane strain at the wave number 0",
    ),
    leaves_out=(
        "the flattening of the flank down to the middle of the tooth, which the Hertz approach adds",
        "chamfers, and flanks that do not reach over the whole face",
    ),
    departures=(
        "A helical gear is a spur gear of z_n teeth: heights above and below the root circle are kept, "
        "angles go with the number of teeth, the tooth is narrower by cos β at the reference circle.",
        "Cosine series along the tooth: each end of the face is a mirror. It is free of shear, but its axial "
        "strain is held as in plane strain: a free end is softer, by up to 15 % where the load stands at it.",
        "So a narrow face is too stiff against a lean, by 8 % at 5 modules and a third at 2.5: its K_Hβ is "
        "too large.",
        "For the teeth beyond the three in detail the ring ends 0.2 modules above its root circle.",
        "The gear is held at its bore, without bore at 0.6 of the root diameter, a rim without web at its "
        "inside; an internal gear at the outside of its rim, without rim at 1.3 of the root diameter.",
        "The web has the stiffness of the full width times its share of the width: a rim that reaches over "
        "its web is softer at its ends than this.",
        "The loaded tooth is read in its middle, on the line of the load, the others on their flank. "
        "Exchange of load and reading would change the loaded tooth by 3 % of the largest: the mean stands.",
    ),
)
SHORTEST = 8.0
"""Largest wave number, times the module: what follows is below 2 % of the compliance, 4 % at a sharp tip."""
SOLVED, SCALE = 7, 0.5
"""Wave numbers above 0 that are solved, and the one, times the module, about which they lie densest."""
COARSE = Counts()


@dataclass(frozen=True, kw_only=True)
class GearCompliance(Result):
    """What the flanks of one gear give way, by the place of load and reading, for loads that go as cos(k·ζ).

    Heights go from the lowest contact to the tip; ζ is the way along the tooth from one end of the face.
    Tooth d stands on the side of the loaded flank; there contact is d base pitches of roll nearer to the tip.
    """

    method: ClassVar[Method] = COMPLIANCE
    virtual_teeth: Number = term("Virtual number of teeth", "z_n")
    base_radius_mm: Number = term("Radius of the base circle", "r_b", "mm", digits=6)
    tooth_length_mm: Number = term("Length of the tooth along its helix", "L", "mm")
    modulus_MPa: Number = term("Modulus of elasticity", "E", "MPa")
    poisson: Number = term("Poisson's ratio", "ν")
    held_radius_mm: Number = term(
        "Radius at which the section is held", "r_h", "mm", words="bore, or as the method says"
    )
    radius_mm: Number = term(
        "Radii at which the flank is loaded",
        "r_y",
        "mm",
        words="from the lowest contact to the tip",
        digits=6,
    )
    depth_mm: Number = term(
        "Way from the flank to the middle of the tooth", "h", "mm", words="along the normal of the flank"
    )
    wave_per_mm: Number = term("Wave numbers along the tooth", "k", "1/mm", words="m·π/L, m = 0, 1, ...")
    compliance: Number = term(
        "Compliance of tooth d at height b to a load at height a of the first tooth",
        "c",
        "mm²/N",
        words="amplitude along the normal of the flank, of the loaded tooth in its middle, for a load of "
        "cos(k·ζ) per mm; axes d, k, a, b",
    )

    def weights(self, radius_mm: Number) -> Array:
        """Return by which weights the values at `radius_mm` of the result give those at other radii.

        Parameters
        ----------
        radius_mm : float or array
            Transverse radii, mm, shape (...); beyond the ends the value of the end is taken.

        Returns
        -------
        ndarray of float
            Shape (..., heights): a polynomial in the roll length through all heights.
        """
        roll, asked = (
            np.sqrt(np.maximum(array(part) ** 2 - self.base_radius_mm**2, 0.0))
            for part in (self.radius_mm, radius_mm)
        )
        return weights_between(roll, np.clip(asked, roll.min(), roll.max()))


def gear_compliance(
    *,
    gear: GearGeometry,
    pair: PairGeometry,
    body: Body,
    face_width_mm: float,
    lowest_radius_mm: Number = None,
    heights: int = 8,
    waves: int | None = None,
    modulus_MPa: float = 206000.0,
    poisson: float = 0.3,
    counts: Counts = COARSE,
) -> GearCompliance:
    """Return the compliance of one gear from its outline.

    (K_0 + k K_1 + k² K_2) u = f at each wave number k = m π/L, L = b/cos β; c is what the middle of the
    loaded tooth, or the flank of another, moves along the normal of the flank

    Parameters
    ----------
    gear : GearGeometry
        The gear, without sample axes.
    pair : PairGeometry
        The pair that it belongs to; its stops go with the compliance.
    body : Body
        What is behind the teeth.
    face_width_mm : float
        b that carries, mm.
    lowest_radius_mm : float, optional
        Transverse radius from which on the flank is loaded, mm; without it the root form circle.
    heights : int
        Number of places along the flank, 3 or more.
    waves : int, optional
        Number of wave numbers, 2 or more; without it up to k = 8/m_n.
    modulus_MPa, poisson : float
        E and ν.
    counts : Counts
        Numbers of elements.

    Returns
    -------
    GearCompliance
        c in mm per N/mm, shape (3, waves, heights, heights): the loaded tooth, and the next two on the side
        of the loaded flank. By reciprocity the other side is the same with load and reading exchanged.

    Raises
    ------
    InputError
        Sample axes, a body that does not go with the gear, a lowest radius that is not on the flank.

    Notes
    -----
    Source: semi-analytical finite elements (Zienkiewicz and Taylor), from memory.
    Valid for: external and internal gears, 5 virtual teeth or more.
    Departures: normal section by the virtual gear; ends of the face as mirrors; three teeth in detail.
    Checked: MESH-TRIANGLES, MESH-BEAM, MESH-HALFSPACE, MESH-STIFF-16-24, MESH-STIFF-30-30, MESH-STIFF-17-60,
    MESH-STIFF-50-80, MESH-STIFF-100-100.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> gear = dict(teeth=30, profile_shift=0.0, tip_diameter_mm=128, face_width_mm=32, rack_dedendum=1.25,
    ...             rack_root_radius=0.38, protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...                      centre_distance_mm=120, pinion=Tooth(**gear), wheel=Tooth(**gear))
    >>> found = gear_compliance(gear=pair.pinion, pair=pair, body=Body(bore_diameter_mm=60), face_width_mm=32)
    >>> found.compliance.shape
    (3, 22, 8, 8)
    >>> at = found.weights(60.0)
    >>> round(float(1e6 * at @ found.compliance[0, 0] @ at), 1)
    24.3
    """
    _check(gear, pair, body, face_width_mm, heights, waves)
    _need_steel(modulus_MPa, poisson)
    length = float(face_width_mm) / np.cos(np.radians(float(array(pair.helix_angle_deg))))
    module, base = float(array(pair.normal_module_mm)), float(array(gear.base_diameter_mm)) / 2.0
    count = waves or max(2, int(np.ceil(SHORTEST * length / (np.pi * module))) + 1)
    given = {
        "virtual_teeth": gear.virtual_teeth,
        "base_radius_mm": base,
        "tooth_length_mm": length,
        "modulus_MPa": modulus_MPa,
        "poisson": poisson,
        "wave_per_mm": np.pi / length * np.arange(count),
    }
    notices = (*pair.stops, *COMPLIANCE.outside(virtual_teeth=gear.virtual_teeth))
    if any(notice.level is Level.STOP for notice in notices):
        return _nothing(given, heights, count, notices)
    section, form = section_of(gear, pair)
    layers = body_layers(section, gear, body, float(face_width_mm))
    radius = _radii(gear, form, lowest_radius_mm, base, heights)
    mesh = section_mesh(section, layers, counts)
    loads, readings = probes(section, mesh, radius)
    solved = _solved(given["wave_per_mm"], module)
    found = wave_compliance(
        mesh=mesh,
        loads=loads,
        readings=readings,
        wave_per_mm=solved,
        modulus_MPa=float(modulus_MPa),
        poisson=float(poisson),
    )
    return GearCompliance(
        **given,
        held_radius_mm=layers[-1].end_mm - section.raised_mm,
        radius_mm=radius,
        depth_mm=section.loaded(radius)[1],
        compliance=_at_all(_by_tooth(found, heights), solved, given["wave_per_mm"], module),
        notices=notices,
    )


def _check(
    gear: GearGeometry, pair: PairGeometry, body: Body, face_width: Number, heights: int, waves: int | None
) -> None:
    faults = Faults()
    axes = np.broadcast_shapes(*(array(part).shape for part in _whole(gear, pair, body, face_width)))
    faults.need(axes == (), "gear", f"samples of shape {axes}", "one gear at a time, no samples")
    faults.check()
    faults.need(bool(0.0 < array(face_width) < np.inf), "face_width_mm", face_width, "a face width over 0 mm")
    faults.need(heights >= 3, "heights", heights, "3 places along the flank or more")
    faults.need(waves is None or waves >= 2, "waves", waves, "2 wave numbers or more, or none")
    need_body(faults, gear, body, float(face_width))
    faults.check()


def _need_steel(modulus: float, poisson: float) -> None:
    faults = Faults()
    faults.need(bool(0.0 < modulus < np.inf), "modulus_MPa", modulus, "a modulus over 0 MPa")
    faults.need(bool(0.0 <= poisson < 0.5), "poisson", poisson, "from 0 to below 0.5")
    faults.check()


def _whole(gear: GearGeometry, pair: PairGeometry, body: Body, face_width: Number) -> tuple[Number, ...]:
    turned = (
        gear.teeth,
        gear.root_diameter_mm,
        gear.tip_diameter_mm,
        gear.tooth_thickness_mm,
        gear.stock_max_mm,
    )
    cut = (gear.stock_min_mm, gear.protuberance_mm, gear.rack_root_radius, pair.helix_angle_deg)
    behind = (body.bore_diameter_mm, body.rim_thickness_mm, body.web_thickness_mm)
    return (*turned, *cut, *behind, face_width, pair.normal_module_mm, pair.pressure_angle_deg)


def _nothing(given: dict[str, Any], heights: int, count: int, notices: tuple[Notice, ...]) -> GearCompliance:
    line = np.full(heights, np.nan)
    return GearCompliance(
        **given,
        held_radius_mm=None,
        radius_mm=line,
        depth_mm=line,
        compliance=np.full((3, count, heights, heights), np.nan),
        notices=notices,
    )


def _radii(gear: GearGeometry, form: float, lowest: Number, base: float, heights: int) -> Array:
    """Return the radii of the loads, such that a polynomial in the roll length follows the compliance."""
    tip = float(array(gear.tip_diameter_mm)) / 2.0
    start = form if lowest is None else float(array(lowest))
    slack, side = 1e-9 * tip, -1.0 if gear.internal else 1.0
    on_flank = side * form - slack <= side * start < side * tip
    faults = Faults()
    faults.need(on_flank, "lowest_radius_mm", start, f"a radius from {form:.6g} to below {tip:.6g} mm")
    faults.check()
    low, high = (float(np.sqrt(max(radius**2 - base**2, 0.0))) for radius in (start, tip))
    return np.hypot(base, places_between(low, high, heights))


def _solved(wave: Array, module: float) -> Array:
    """Return the wave numbers at which the elements are solved: 0, and few above it."""
    if len(wave) <= SOLVED + 1:
        return wave
    scaled = _scaled(wave[[1, -1]], module)
    place = places_between(scaled[0], scaled[1], SOLVED)
    return np.concatenate([[0.0], SCALE / module * place / (1.0 - place)])


def _scaled(wave: Array, module: float) -> Array:
    return wave * module / (wave * module + SCALE)


def _by_tooth(found: Array, heights: int) -> Array:
    """Return c of the loaded tooth, the next and the one after it, shape (3, waves, load, reading)."""
    # the second tooth is loaded and read; then the third is read; then the first is loaded instead
    own, next_ = found[:, :heights, :heights], found[:, heights:, :heights]
    both = np.stack([own, next_, found[:, heights:, heights:]]).swapaxes(-1, -2)
    both[0] = (both[0] + both[0].swapaxes(-1, -2)) / 2.0
    return both


def _at_all(values: Array, solved: Array, wave: Array, module: float) -> Array:
    """Return the compliance at every wave number from those that were solved."""
    if len(solved) == len(wave):
        return values
    weights = weights_between(_scaled(solved[1:], module), _scaled(wave[1:], module))
    above = np.einsum("mk,dkab->dmab", weights, values[:, 1:])
    return np.concatenate([values[:, :1], above], axis=1)
