"""The stress below a line contact, against integration, tables and limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize

from gearcheck.contact.field import axis_shear, stress_field
from tests.checks import cases, holds

FIELD = "gearcheck.contact.field:stress_field"


def largest(value, start, **options):
    """The largest `value` of the field and its place, from the neighbourhood of `start`."""

    def negative(place):
        return -getattr(stress_field(x_over_b=place[0], z_over_b=abs(place[1]), **options), value)

    found = minimize(negative, start, method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-13})
    return -found.fun, found.x


def shear_below(friction):
    x, z = np.linspace(-0.2, 1.1, 131), np.linspace(0.02, 1.2, 119)
    coarse = stress_field(x_over_b=x, z_over_b=z[:, None], friction=friction).tau_in_plane
    row, column = np.unravel_index(coarse.argmax(), coarse.shape)
    return largest("tau_in_plane", (x[column], z[row]), friction=friction)


def _orthogonal():
    value, (x, z) = largest("tau_xz", (-0.8, 0.45))
    both = stress_field(x_over_b=[-x, x], z_over_b=z).tau_xz
    return {"largest": value, "x": abs(x), "z": z, "range": float(np.ptp(both))}


def _mises(check):
    value, (_, z) = largest("von_mises", (0.0, 0.7), poisson=check.inputs["poisson"])
    return {"von_mises": value, "z": z}


def _axis(check):
    field = stress_field(x_over_b=0, z_over_b=check.inputs["z_over_b"])
    return {name: getattr(field, name) for name in check.expected}


def _orthogonal_by_depth(check):
    x = np.concatenate((np.linspace(-3, -0.9, 6001), np.linspace(-1.1, -0.5, 20001)))
    x = np.concatenate((x, np.linspace(-12, 0, 6001)))
    field = stress_field(x_over_b=x, z_over_b=np.array(check.inputs["z_over_b"])[:, None])
    return {"largest": field.tau_xz.max(axis=-1)}


def _sweep(check):
    found = [shear_below(mu) for mu in check.inputs["friction"]]
    return {
        "largest": [value for value, _ in found],
        "x": [place[0] for _, place in found],
        "z": [place[1] for _, place in found],
    }


def _traction(check):
    x, z = np.linspace(-1.2, 1.2, 481), np.linspace(0, 1, 201)[:, None]
    fields = [stress_field(x_over_b=x, z_over_b=z, friction=mu) for mu in check.inputs["friction"]]
    return {
        "von_mises": [field.von_mises.max() for field in fields],
        "sigma_x_least": [field.sigma_x.min() for field in fields],
    }


def _point(check):
    return {"sigma_x": stress_field(**check.inputs).sigma_x}


def _friction_shift(check):
    found = [shear_below(mu) for mu in check.inputs["friction"]]
    stress, depth = np.array([(value, place[1]) for value, place in found]).T
    still, (_, z) = shear_below(0)
    return {"stress_percent": 100 * (stress / still - 1), "depth_percent": 100 * (depth / z - 1)}


def _integrated(check):
    given_values = check.inputs
    field = stress_field(
        x_over_b=given_values["x"], z_over_b=given_values["z"], friction=given_values["friction"]
    )
    return {name: getattr(field, name) for name in ("sigma_x", "sigma_z", "tau_xz")}


WAYS = {
    "HERTZ-02": lambda check: _orthogonal(),
    "HERTZ-03": _mises,
    "HERTZ-03b": _mises,
    "HERTZ-04": _axis,
    "HERTZ-04-ORTHOGONAL": _orthogonal_by_depth,
    "HERTZ-06": _sweep,
    "HERTZ-06-TRACTION": _traction,
    "HERTZ-08": _point,
    "CASE-14": _friction_shift,
    "HERTZ-QUAD": _integrated,
}


@pytest.mark.parametrize("check", cases("contact", FIELD), ids=str)
def test_cited_stresses(check):
    holds(check, **WAYS[check.id](check))


@pytest.mark.parametrize("check", cases("contact", "gearcheck.contact.field:axis_shear"), ids=str)
def test_shear_on_the_load_line(check):
    if check.inputs:
        holds(check, shear=axis_shear(z_over_b=check.inputs["z_over_b"]))
        return
    z = np.linspace(0.7, 0.9, 200001)
    shear = axis_shear(z_over_b=z)
    holds(check, largest=shear.max(), place=z[shear.argmax()])


def integrated(x, z, mu):
    """Flamant's line load, integrated over the elliptic pressure and its traction."""

    def over_contact(kernel):
        def scaled(angle):
            return kernel(x - np.sin(angle)) * np.cos(angle) ** 2

        return quad(scaled, -np.pi / 2, np.pi / 2, limit=400, epsabs=1e-11)[0]

    def part(pressure, traction):
        return -2 / np.pi * over_contact(lambda d: (pressure(d) + mu * traction(d)) / (d * d + z * z) ** 2)

    return (
        part(lambda d: z * d * d, lambda d: d**3),
        part(lambda d: z**3, lambda d: d * z * z),
        part(lambda d: z * z * d, lambda d: d * d * z),
    )


@settings(max_examples=40, deadline=None)
@given(x=st.floats(-4, 4), z=st.floats(0.1, 6), mu=st.floats(-0.5, 0.5))
def test_closed_form_is_the_integral(x, z, mu):
    field = stress_field(x_over_b=x, z_over_b=z, friction=mu)
    assert (field.sigma_x, field.sigma_z, field.tau_xz) == pytest.approx(integrated(x, z, mu), abs=1e-8)


@given(x=st.floats(-3, 3), z=st.floats(0, 50), mu=st.floats(0, 0.5), nu=st.floats(0, 0.5))
def test_shear_over_all_planes_is_that_of_the_principal_stresses(x, z, mu, nu):
    field = stress_field(x_over_b=x, z_over_b=z, friction=mu, poisson=nu)
    tensor = [
        [field.sigma_x, 0, field.tau_xz],
        [0, field.sigma_y, 0],
        [field.tau_xz, 0, field.sigma_z],
    ]
    principal = np.linalg.eigvalsh(tensor)
    assert field.tau_all_planes == pytest.approx(np.ptp(principal) / 2, abs=1e-12)
    deviator = principal - principal.mean()
    assert field.von_mises == pytest.approx(np.sqrt(1.5 * (deviator**2).sum()), abs=1e-12)
    assert field.tau_in_plane <= field.tau_all_planes


@given(x=st.floats(0, 3), z=st.floats(0, 20), mu=st.floats(0, 0.5))
def test_turning_the_friction_mirrors_the_field(x, z, mu):
    one = stress_field(x_over_b=x, z_over_b=z, friction=mu)
    other = stress_field(x_over_b=-x, z_over_b=z, friction=-mu)
    assert other.sigma_x == pytest.approx(one.sigma_x, abs=1e-13)
    assert other.sigma_z == pytest.approx(one.sigma_z, abs=1e-13)
    assert other.tau_xz == pytest.approx(-one.tau_xz, abs=1e-13)


@given(x=st.floats(-3, 3), mu=st.floats(0, 0.5))
def test_the_surface_carries_pressure_and_traction_only(x, mu):
    field = stress_field(x_over_b=x, z_over_b=0, friction=mu)
    pressure = np.sqrt(max(0.0, 1 - x * x))
    assert field.sigma_z == pytest.approx(-pressure, abs=1e-12)
    assert field.tau_xz == pytest.approx(-mu * pressure, abs=1e-12)


def test_the_pressure_is_held_up_at_every_depth():
    x = np.linspace(-400, 400, 400001)
    for z in (0.3, 1.0, 3.0):
        field = stress_field(x_over_b=x, z_over_b=z, friction=0.1)
        assert np.trapezoid(field.sigma_z, x) == pytest.approx(-np.pi / 2, rel=1e-4)
        assert np.trapezoid(field.tau_xz, x) == pytest.approx(-0.1 * np.pi / 2, rel=1e-2)


def test_far_below_it_is_a_line_load():
    z = np.array([30.0, 100.0, 1000.0])
    field = stress_field(x_over_b=0, z_over_b=z)
    assert field.sigma_z * z == pytest.approx(np.full(3, -1.0), rel=2e-3)


def test_the_load_line_governs_from_0_58_half_widths():
    # the criterion of case crushing takes the shear on the load line: what it leaves out must not matter
    x, z = np.linspace(0, 1.5, 1501), np.linspace(0, 3, 601)
    axis = axis_shear(z_over_b=z)
    for measure in ("tau_in_plane", "tau_all_planes"):
        everywhere = getattr(stress_field(x_over_b=x, z_over_b=z[:, None], poisson=0.3), measure).max(axis=-1)
        assert everywhere[z >= 0.58] == pytest.approx(axis[z >= 0.58], rel=1e-9)
        assert everywhere.max() <= axis_shear(z_over_b=0.78615) + 1e-9
        assert (everywhere >= axis - 1e-12).all()


@given(z=st.floats(0, 1e6))
def test_axis_shear_is_the_field_on_the_axis(z):
    shear = float(axis_shear(z_over_b=z))
    assert 0 <= shear <= min(0.30029, z, 0.5 / z if z else 1)
    if z < 1e3:
        assert stress_field(x_over_b=0, z_over_b=z).tau_in_plane == pytest.approx(shear, abs=1e-12)


def test_outside_the_body_and_of_no_material_it_stops():
    above = stress_field(x_over_b=[0, 0], z_over_b=[-0.1, 0.5])
    assert np.isnan(above.tau_in_plane).tolist() == [True, False]
    assert above.stops[0].key == "johnson.line_field.z_over_b"
    assert stress_field(x_over_b=0, z_over_b=1, poisson=0.6).von_mises is None


def test_one_call_equals_many():
    x, z, mu = np.array([-1.0, 0.0, 0.4]), np.array([[0.0], [0.6]]), np.array([[[0.0]], [[0.2]]])
    whole = stress_field(x_over_b=x, z_over_b=z, friction=mu)
    for i, j, k in np.ndindex(2, 2, 3):
        one = stress_field(x_over_b=x[k], z_over_b=z[j, 0], friction=mu[i, 0, 0])
        for name in ("sigma_x", "sigma_y", "sigma_z", "tau_xz", "tau_all_planes", "von_mises"):
            assert getattr(whole, name)[i, j, k] == pytest.approx(getattr(one, name), abs=1e-15)
