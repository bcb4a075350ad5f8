"""What the teeth of one gear give way: the standard's stiffness, finer meshes, what has to hold of itself."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.contact.hertz import hertz_line, line_approach
from gearcheck.gear.pair import pair_geometry
from gearcheck.meshing.body_layers import body_layers
from gearcheck.meshing.compliance import gear_compliance
from gearcheck.meshing.inputs import Body
from gearcheck.meshing.section import section_of
from gearcheck.meshing.section_mesh import Counts, section_mesh
from gearcheck.meshing.wave_elements import _at_points
from tests.checks import cases, holds
from tests.gear.gears import closed_pair, equal_pair, tooth
from tests.meshing.section_gears import helical, internal, spur

FINE = Counts(across=8, flank=12, fillet=4, root=5, edge=5, layer=8, smooth=30)
STEEL = {"modulus_MPa": 206000.0, "poisson": 0.3}


def found(pair, gear=None, **given):
    given = {"body": Body(), "face_width_mm": 40.0, **given}
    return gear_compliance(gear=gear or pair.pinion, pair=pair, **given)


def at(result, radius, other=None, tooth=0, wave=0):
    weights = result.weights(radius if other is None else other)
    return result.weights(radius) @ result.compliance[tooth, wave] @ weights


CHECKS = cases("meshing", "gearcheck.meshing.compliance:gear_compliance")
OF_PAIRS = [check for check in CHECKS if check.id.startswith("MESH-STIFF")]
TRIANGLES = next(check for check in CHECKS if check.id == "MESH-TRIANGLES")


@pytest.mark.parametrize("check", OF_PAIRS, ids=str)
def test_stiffness_of_a_pair_against_the_standard(check):
    """Both gears and both Hertz approaches at the pitch point, spur, plane strain."""
    given = check.inputs
    pair = closed_pair(
        module=given["module"], helix=0, teeth=given["teeth"], shifts=given["shifts"], rack_root_radius=0.38
    )
    gears, load = (pair.pinion, pair.wheel), given["line_load_N_mm"]
    angle = np.radians(pair.pinion.working_pressure_angle_deg)
    curved = [gear.working_pitch_diameter_mm / 2 * np.sin(angle) for gear in gears]
    contact = hertz_line(
        line_load_N_mm=load,
        reduced_radius_mm=1 / sum(1 / radius for radius in curved),
        modulus_1_MPa=206000.0,
        modulus_2_MPa=206000.0,
        poisson_1=0.3,
        poisson_2=0.3,
    )
    body, total = Body(rim_thickness_mm=given["held_modules"] * given["module"]), 0.0
    for gear in gears:
        one, pitch = found(pair, gear, body=body, waves=2), gear.working_pitch_diameter_mm / 2
        approach = line_approach(
            half_width_mm=contact.half_width_mm,
            pressure_MPa=contact.pressure_MPa,
            reference_depth_mm=one.weights(pitch) @ one.depth_mm,
            **STEEL,
        )
        total += at(one, pitch) + approach.approach_mm / load
    holds(check, stiffness=1e-3 / total)


def test_it_gives_way_as_triangles_over_the_whole_gear_say():
    given = TRIANGLES.inputs
    columns = (given[key] for key in ("module", "pinion_teeth", "wheel_teeth", "pinion_shift", "wheel_shift"))
    of_wheel, held = given["wheel_is_looked_at"], given["held_at_root_radii"]
    own, next_ = [], []
    for module, *teeth, first, second, wheel, share in zip(*columns, of_wheel, held, strict=True):
        pair = closed_pair(module=module, helix=0, teeth=tuple(teeth), shifts=(first, second))
        gear = pair.wheel if wheel else pair.pinion
        rim = (1.0 - share) * gear.root_diameter_mm / 2
        one = found(pair, gear, body=Body(rim_thickness_mm=rim), face_width_mm=20.0, waves=2)
        low, high = one.radius_mm[0], one.radius_mm[-1]
        radii = [low + part * (high - low) for part in (0.2, 0.5, 0.9)]
        own.append([1e6 * at(one, radius) for radius in radii])
        next_.append(1e6 * at(one, radii[1], tooth=1))
    holds(TRIANGLES, own=own, next=next_)


LARGE = closed_pair(module=4, helix=0, teeth=(30, 240), shifts=(0.4, 0.1))
BODIES = {
    "spur": (spur(), Body()),
    "helical": (helical(), Body()),
    "internal": (internal(15), Body()),
    "large with a small bore": (LARGE, Body(bore_diameter_mm=190.0)),
    "thin rim on a web": (spur(), Body(bore_diameter_mm=60.0, rim_thickness_mm=6.0, web_thickness_mm=8.0)),
}


USUAL = ("helical", "thin rim on a web")  # the others by hand: each takes seconds


@pytest.mark.parametrize(
    "name", [name if name in USUAL else pytest.param(name, marks=pytest.mark.slow) for name in BODIES]
)
def test_a_mesh_twice_as_fine_and_more_finds_the_same(name):
    pair, body = BODIES[name]
    coarse, fine = (found(pair, pair.wheel, body=body, waves=4, counts=counts) for counts in (Counts(), FINE))
    assert np.abs(coarse.compliance - fine.compliance).max() < 0.015 * fine.compliance.max()
    own = [np.diagonal(one.compliance[0, 0]) for one in (coarse, fine)]
    np.testing.assert_allclose(own[0], own[1], rtol=0.03)


@pytest.mark.parametrize(
    "body", [Body(), Body(rim_thickness_mm=8.0, web_thickness_mm=10.0)], ids=["solid", "web"]
)
def test_few_wave_numbers_stand_for_all(body):
    pair = spur()
    many = found(pair, pair.wheel, body=body, face_width_mm=80.0)
    few = found(pair, pair.wheel, body=body, face_width_mm=80.0, waves=8)  # each solved by itself
    assert many.compliance.shape[1] > 50
    difference = np.abs(many.compliance[:, :8] - few.compliance)
    assert difference.max() < 0.01 * few.compliance.max()
    assert 0.0 < many.compliance[0, -1].max() < 0.01 * many.compliance.max()


def test_few_heights_stand_for_all():
    pair = helical()
    few, many = (found(pair, heights=heights, waves=2) for heights in (8, 24))
    radii = np.linspace(few.radius_mm[0], few.radius_mm[-1], 17)
    ours, theirs = (one.weights(radii) @ one.compliance[0, 0] @ one.weights(radii).T for one in (few, many))
    assert np.abs(ours - theirs).max() < 0.005 * theirs.max()
    np.testing.assert_allclose(few.weights(radii) @ few.radius_mm, radii, rtol=1e-4)
    np.testing.assert_array_equal(few.weights(1.0), np.eye(8)[0])


def test_what_has_to_hold_of_itself():
    pair = spur()
    one = found(pair)
    own, next_, after = one.compliance[:, 0]
    np.testing.assert_allclose(one.compliance[0], one.compliance[0].swapaxes(-1, -2), rtol=0, atol=1e-20)
    assert np.linalg.eigvalsh(own).min() > -0.001 * own.max(), "no load moves a tooth against itself"
    assert (np.diff(np.diagonal(own)) > 0).all(), "the tip is softest"
    assert (own > next_).all(), "a neighbour moves with the loaded tooth, and less"
    assert (next_ > after).all()
    assert (after > 0).all()
    assert (np.diff(one.compliance[0].max(axis=(-1, -2))) < 0).all(), "what changes along the face is stiffer"
    assert (np.diff(one.depth_mm) < 0).all()


def test_the_body_is_softer_where_there_is_less_of_it():
    pair = spur()
    rims = [Body(rim_thickness_mm=thickness) for thickness in (16.0, 8.0, 4.0)]
    webs = [
        Body(bore_diameter_mm=60.0, rim_thickness_mm=8.0, web_thickness_mm=web) for web in (40.0, 10.0, 5.0)
    ]
    bores = [Body(bore_diameter_mm=bore) for bore in (110.0, 80.0, 40.0)]
    plain = found(pair, pair.wheel, body=Body(bore_diameter_mm=60.0), waves=2)
    full = found(pair, pair.wheel, body=webs[0], waves=2)
    np.testing.assert_allclose(full.compliance, plain.compliance, rtol=0.01)
    for bodies in (webs, bores, rims[::-1]):
        moved = [at(found(pair, pair.wheel, body=body, waves=2), 80.0) for body in bodies]
        assert moved[0] < moved[1] < moved[2]


def test_the_body_moves_the_mean_and_hardly_the_change_over_a_mesh():
    """One pair against two pairs that share, plain flanks, by the compliances of both gears alone."""
    pair = spur()
    means, changes = [], []
    for share in (0.4, 0.7):
        both = [
            found(pair, gear, body=Body(bore_diameter_mm=share * gear.root_diameter_mm), waves=2)
            for gear in (pair.pinion, pair.wheel)
        ]
        single, double = given_way(pair, both, 0.75), given_way(pair, both, 0.25)
        means.append((single + double) / 2)
        changes.append(single - double)
    assert means[0] > 1.15 * means[1]
    assert changes[0] == pytest.approx(changes[1], rel=0.05)


def test_neighbours_share_what_gives_way():
    """Without the coupling through the body one pair and two pairs would differ by more."""
    pair = spur()
    both = [found(pair, gear, waves=2) for gear in (pair.pinion, pair.wheel)]
    coupled, alone = (
        given_way(pair, both, 0.75) - given_way(pair, both, 0.25, coupling) for coupling in (1.0, 0.0)
    )
    assert 1.1 < alone / coupled < 1.4


def given_way(pair, both, place, coupling=1.0):
    """What both gears give way under 1 N/mm; `place` in pitches after the start of the path of contact."""
    pitch = pair.base_pitch_mm
    line = pair.centre_distance_mm * np.sin(np.radians(pair.pinion.working_pressure_angle_deg))
    steps = [place, place + 1] if (place + 1) * pitch <= pair.path_length_mm else [place]
    rolls = [line - pair.wheel.tip_radius_mm + step * pitch for step in steps]
    matrix = 2 * 9e-6 * np.eye(len(rolls))  # about the Hertz approach of both, at one load
    for gear, one, on_gear in (
        (pair.pinion, both[0], rolls),
        (pair.wheel, both[1], [line - x for x in rolls]),
    ):
        for i, first in enumerate(on_gear):
            for j, second in enumerate(on_gear):
                # the tooth on the side of the loaded flank is in contact nearer to its tip
                radii = np.hypot(gear.base_diameter_mm / 2, sorted((first, second)))
                matrix[i, j] += at(one, *radii, tooth=abs(i - j)) * (1.0 if i == j else coupling)
    return 1 / np.linalg.solve(matrix, np.ones(len(rolls))).sum()


def test_a_helix_that_vanishes_is_a_spur_gear():
    spur_pair, near = (
        closed_pair(module=4, helix=helix, teeth=(20, 40), shifts=(0.2, 0.1)) for helix in (0, 0.01)
    )
    np.testing.assert_allclose(found(near).compliance, found(spur_pair).compliance, rtol=0, atol=1e-10)


def test_the_section_of_a_helical_tooth_is_the_normal_one():
    pair = helical()
    section, form = section_of(pair.pinion, pair)
    reference = pair.pinion.reference_diameter_mm / 2
    x, _ = section.at(section.loaded(np.array([reference]))[0])
    assert 2 * x[0] == pytest.approx(pair.pinion.tooth_thickness_mm, rel=2e-3), "chord for arc"
    height = pair.pinion.tip_diameter_mm / 2 - pair.pinion.root_diameter_mm / 2
    assert np.hypot(section.x_mm[0], section.y_mm[0]) - section.root_radius_mm == pytest.approx(height)
    assert pair.pinion.root_diameter_mm / 2 < form < reference


def test_an_internal_gear():
    pair = internal()
    one = found(pair, pair.wheel, body=Body(rim_thickness_mm=12.0))
    assert (np.diff(one.radius_mm) < 0).all(), "from the lowest contact to the tip"
    own, next_, _ = one.compliance[:, 0]
    assert (np.diff(np.diagonal(own)) > 0).all()
    assert own.max() > next_.max() > 0
    assert one.held_radius_mm == pytest.approx(pair.wheel.root_diameter_mm / 2 + 12)
    thin = found(pair, pair.wheel, body=Body(rim_thickness_mm=4.0))
    assert at(thin, 140.0) < at(one, 140.0), "it is held at the outside of its rim"


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"face_width_mm": 0.0}, "face_width_mm"),
        ({"face_width_mm": np.array([30.0, 40.0])}, "gear"),
        ({"face_width_mm": np.inf}, "face_width_mm"),
        ({"modulus_MPa": np.nan}, "modulus_MPa"),
        ({"modulus_MPa": -1.0}, "modulus_MPa"),
        ({"poisson": 0.5}, "poisson"),
        ({"heights": 2}, "heights"),
        ({"waves": 1}, "waves"),
        ({"lowest_radius_mm": 30.0}, "lowest_radius_mm"),
        ({"lowest_radius_mm": 50.0}, "lowest_radius_mm"),
        ({"body": Body(bore_diameter_mm=72.0)}, "body.bore_diameter_mm"),
        ({"body": Body(bore_diameter_mm=-1.0)}, "body.bore_diameter_mm"),
        ({"body": Body(rim_thickness_mm=40.0)}, "body.rim_thickness_mm"),
        ({"body": Body(bore_diameter_mm=60.0, rim_thickness_mm=10.0)}, "body.bore_diameter_mm"),
        ({"body": Body(web_thickness_mm=10.0)}, "body.rim_thickness_mm"),
        ({"body": Body(rim_thickness_mm=10.0, web_thickness_mm=50.0)}, "body.web_thickness_mm"),
    ],
)
def test_input_that_cannot_be_used_is_named(changed, field):
    with pytest.raises(InputError) as caught:
        found(spur(), **changed)
    assert [fault.field for fault in caught.value.faults] == [field]


def test_an_internal_gear_has_no_web():
    pair = internal()
    with pytest.raises(InputError, match="outside"):
        found(pair, pair.wheel, body=Body(rim_thickness_mm=10.0, web_thickness_mm=10.0))


def test_samples_of_a_gear_are_refused():
    given = {"profile_shift": np.array([0.0, 0.1]), "tip_diameter_mm": 128.0, "teeth": 30}
    pair = equal_pair(pinion=tooth(**given), wheel=tooth(**given))
    with pytest.raises(InputError, match="no samples"):
        found(pair)


def test_a_pair_that_cannot_work_has_no_compliance():
    pair = pair_geometry(
        normal_module_mm=4.0,
        pressure_angle_deg=20.0,
        helix_angle_deg=0.0,
        centre_distance_mm=140.0,
        pinion=tooth(30, 0.0, 128.0),
        wheel=tooth(30, 0.0, 128.0),
    )
    one = found(pair)
    assert pair.stops
    assert one.stops == pair.stops
    assert np.isnan(one.compliance).all()
    assert one.compliance.shape[0] == 3


@pytest.mark.parametrize("teeth", [20, 60, 200])
@pytest.mark.parametrize(
    "body",
    [
        Body(),
        Body(bore_diameter_mm=20.0),
        Body(rim_thickness_mm=12.0, web_thickness_mm=10.0, bore_diameter_mm=20.0),
    ],
    ids=["solid", "bore", "web"],
)
def test_no_element_folds(teeth, body):
    """The middle of a side nearer to a corner than a quarter of it turns part of an element inside out."""
    pair = closed_pair(module=4, helix=0, teeth=(20, teeth), shifts=(0.2, -0.1))
    section, _ = section_of(pair.wheel, pair)
    mesh = section_mesh(section, body_layers(section, pair.wheel, body, 40.0), Counts())
    _, slopes, _ = _at_points()
    size = np.linalg.det(slopes @ mesh.nodes_mm[mesh.elements][:, None])
    assert (size * np.sign(size[0, 0]) > 0.1 * np.abs(size).max(axis=-1, keepdims=True)).all()
