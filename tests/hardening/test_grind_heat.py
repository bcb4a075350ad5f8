"""The heat of grinding: Jaeger's integral, its limits, the worked pass, and directions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import k0e

from gearcheck.basics.errors import InputError
from gearcheck.hardening.grind_heat import burn_energy_J_mm3, grind_heat, grind_temperature
from gearcheck.hardening.moving_band import (
    HeatFlux,
    band_constant,
    band_peak,
    band_rise,
    fast_constant,
    heated_depth,
    largest_heated,
)
from tests.checks import cases, holds
from tests.hardening.passes import PASS, heat_of

BAND = "gearcheck.hardening.moving_band"
HEAT = "gearcheck.hardening.grind_heat"
fluxes = st.sampled_from(list(HeatFlux))


@pytest.mark.parametrize("check", cases("grinding", f"{BAND}:band_peak"), ids=str)
def test_largest_rise_of_the_moving_band(check):
    flux = HeatFlux(check.inputs["flux"])
    constant, place = band_peak(peclet=check.inputs["peclet"], flux=flux)
    computed = {"constant": constant, "place": float(place) if place.ndim == 0 else place}
    holds(check, **{name: computed[name] for name in check.expected})
    if check.inputs["peclet"] != 10:
        assert band_constant(peclet=check.inputs["peclet"], flux=flux) == pytest.approx(constant, abs=1e-6)


@pytest.mark.parametrize("check", cases("grinding", f"{BAND}:fast_constant"), ids=str)
def test_limit_of_a_fast_band(check):
    holds(check, constant=[fast_constant(flux=HeatFlux(flux)) for flux in check.inputs["fluxes"]])
    for flux in HeatFlux:
        assert band_constant(peclet=[1e5, 1e9], flux=flux) == pytest.approx(
            fast_constant(flux=flux), rel=1e-4
        )


@pytest.mark.parametrize("check", cases("grinding", f"{BAND}:band_rise"), ids=str)
def test_the_triangle_the_wrong_way_round_is_hotter(check):
    place, L = np.linspace(-1, -0.9, 20001), np.array(check.inputs["peclet"])[:, None]
    # 1 - s is twice the uniform flux less 1 + s
    uniform = band_rise(place=place, peclet=L, flux=HeatFlux.UNIFORM)
    reversed_rise = 2 * uniform - band_rise(place=place, peclet=L, flux=HeatFlux.TRIANGULAR)
    holds(check, constant=reversed_rise.max(axis=-1))


def jaeger(place, L, flux):
    def part(low, high):
        def heat(s):
            w = L * (place - s)
            return (1 if flux is HeatFlux.UNIFORM else 1 + s) * np.exp(-2 * max(w, 0)) * k0e(abs(w))

        return quad(heat, low, high, limit=300)[0]

    return np.sqrt(L) / np.pi * (part(-1, place) + part(place, 1))


@settings(max_examples=50, deadline=None)
@given(place=st.floats(-0.99, 0.99), L=st.floats(-3, 2), flux=fluxes)
def test_closed_form_is_jaegers_integral(place, L, flux):
    found = float(band_rise(place=place, peclet=10**L, flux=flux))
    assert found == pytest.approx(jaeger(place, 10**L, flux), rel=1e-7, abs=1e-9)


def test_no_place_of_the_band_is_hotter_than_its_peak():
    place, L = np.linspace(-1, 1, 2001), 10.0 ** np.linspace(-3, 4, 29)
    for flux in HeatFlux:
        rise = band_rise(place=place, peclet=L[:, None], flux=flux)
        constant, _ = band_peak(peclet=L, flux=flux)
        assert np.isfinite(rise).all()
        assert (rise.max(axis=-1) <= constant + 1e-9).all()


@given(L=st.floats(-2.99, 4.9), flux=fluxes)
def test_the_table_of_the_constant_is_the_constant(L, flux):
    constant, _ = band_peak(peclet=10**L, flux=flux)
    assert float(band_constant(peclet=10**L, flux=flux)) == pytest.approx(float(constant), abs=1e-6)


def test_a_band_that_stands_has_no_constant():
    assert np.isnan(band_constant(peclet=[0.0, 5e-4], flux=HeatFlux.UNIFORM)).all()


@settings(max_examples=40, deadline=None)
@given(depth=st.floats(0.02, 3), time=st.floats(0.05, 5), flux=fluxes)
def test_rise_below_the_band_is_the_integral_of_greens_function(depth, time, flux):
    def heat(root):  # √(t - τ), so that the integrand stays finite
        strength = 1.0 if flux is HeatFlux.UNIFORM else 2 * (1 - (time - root**2))
        return 2 * strength * np.exp(-((depth / (2 * root)) ** 2)) if root else 0.0

    expected = quad(heat, np.sqrt(max(time - 1, 0)), np.sqrt(time), limit=300)[0] / np.sqrt(np.pi)
    assert float(heated_depth(depth=depth, time=time, flux=flux)) == pytest.approx(expected, abs=1e-8)


@given(depth=st.floats(0, 4), flux=fluxes)
def test_no_time_is_hotter_than_the_largest(depth, flux):
    over_time = heated_depth(depth=depth, time=np.linspace(0, 12, 1201), flux=flux) / fast_constant(flux=flux)
    largest = float(largest_heated(depth=depth, flux=flux))
    assert over_time.max() <= largest + 1e-9
    assert largest <= float(largest_heated(depth=0.95 * depth, flux=flux)) + 1e-9


@pytest.mark.parametrize("check", cases("grinding", f"{HEAT}:burn_energy_J_mm3"), ids=str)
def test_line_of_burn(check):
    holds(check, energy=burn_energy_J_mm3(**check.inputs))


def _worked(check):
    heat = heat_of(**check.inputs)
    return {
        "length_mm": heat.contact_length_mm,
        "time_s": heat.contact_time_s,
        "all_flux": heat.flux_W_mm2 / heat.partition,
        "partition": heat.partition,
        "peclet": heat.peclet,
        "rise_1_13": heat.fast_rise_K * 1.13 / heat.fast_constant,
        "rise": heat.rise_K,
    }


def _on_the_line(check):
    line = burn_energy_J_mm3(**{name: check.inputs[name] for name in list(check.inputs)[:3]})
    heat = heat_of(**check.inputs, specific_energy_J_mm3=line)
    return {"rise": heat.fast_rise_K * 1.13 / heat.fast_constant}


def _not_burnt_yet_tempered(check):
    heat = heat_of(**check.inputs)
    keys = [notice.key for notice in heat.notices]
    pass_K, pass_h = heat.surface_temperature_C + 273.15, heat.contact_time_s / 3600
    softens = pass_K * (20 + np.log10(pass_h)) > 453.15 * (20 + np.log10(2))
    return {
        "burn_share": heat.burn_share,
        "burns": "jaeger.grind_heat.burn" in keys,
        "softens": bool(softens),
    }


def _exact(check):
    return {"surface_temperature_C": heat_of(**check.inputs).surface_temperature_C}


WAYS = {
    "GRIND-05": _on_the_line,
    "GRIND-06": _worked,
    "GRIND-06-EXACT": _exact,
    "GRIND-07": _not_burnt_yet_tempered,
}


@pytest.mark.parametrize("check", cases("grinding", f"{HEAT}:grind_heat"), ids=str)
def test_worked_pass(check):
    holds(check, **WAYS[check.id](check))


@pytest.mark.parametrize("check", cases("grinding", f"{HEAT}:grind_temperature"), ids=str)
def test_temperature_over_depth(check):
    heats = {flux.name.lower(): heat_of(flux=flux) for flux in HeatFlux}
    found = {name: grind_temperature(heat=heat, **check.inputs) for name, heat in heats.items()}
    if "share" in check.expected:
        holds(check, share=found["uniform"].end_rise_K / heats["uniform"].rise_K)
    else:
        holds(check, **{name: below.largest_rise_K / heats[name].rise_K for name, below in found.items()})


@given(
    name=st.sampled_from(
        ("depth_of_cut_mm", "work_speed_mm_s", "specific_energy_J_mm3", "work_temperature_C")
    ),
    cut=st.floats(0.002, 0.05),
    speed=st.floats(20, 500),
    energy=st.floats(10, 80),
    flux=fluxes,
)
def test_a_harder_pass_is_hotter(name, cut, speed, energy, flux):
    changed = {
        "depth_of_cut_mm": cut,
        "work_speed_mm_s": speed,
        "specific_energy_J_mm3": energy,
        "flux": flux,
    }
    here = heat_of(**changed)
    harder = heat_of(**{**PASS, **changed, name: 1.05 * {**PASS, **changed}[name]})
    assert harder.surface_temperature_C > here.surface_temperature_C
    assert heat_of(**changed, conductivity_W_mK=40).rise_K < here.rise_K
    assert heat_of(**changed, partition=0.5 * here.partition).rise_K == pytest.approx(0.5 * here.rise_K)


@given(depth=st.floats(0, 2), flux=fluxes)
def test_it_is_cooler_further_down_and_never_cooler_than_at_the_end_of_contact(depth, flux):
    below = grind_temperature(heat=heat_of(flux=flux), depth_mm=[depth, depth + 0.01])
    assert below.largest_temperature_C[0] > below.largest_temperature_C[1] - 1e-6
    assert (below.largest_rise_K >= below.end_rise_K - 1e-6).all()
    assert (below.largest_temperature_C >= 20 - 1e-9).all()


def test_one_call_equals_many():
    cut, energy = np.array([0.01, 0.02, 0.04]), np.array([[30.0], [60.0]])
    whole = heat_of(depth_of_cut_mm=cut, specific_energy_J_mm3=energy)
    below = grind_temperature(heat=whole, depth_mm=[0.0, 0.1])
    for row, column in np.ndindex(2, 3):
        one = heat_of(depth_of_cut_mm=cut[column], specific_energy_J_mm3=energy[row, 0])
        assert whole.rise_K[row, column] == pytest.approx(one.rise_K)
        single = grind_temperature(heat=one, depth_mm=[0.0, 0.1]).largest_temperature_C
        assert below.largest_temperature_C[row, column] == pytest.approx(single)


def test_what_the_chip_carries_off_leaves_no_temperature():
    heat = heat_of(specific_energy_J_mm3=[6.0, 40.0])
    assert np.isnan(heat.surface_temperature_C).tolist() == [True, False]
    assert [notice.key for notice in heat.stops] == ["jaeger.grind_heat.chip"]
    assert "6 J/mm³" in heat.stops[0].text


def test_notices_of_burn_of_a_slow_band_and_of_a_share_above_1():
    burnt = heat_of(specific_energy_J_mm3=60)
    assert burnt.burn_share > 1
    assert [notice.key for notice in burnt.notices] == ["jaeger.grind_heat.burn"]
    assert [notice.key for notice in heat_of(work_speed_mm_s=50).notices] == ["jaeger.grind_heat.slow"]
    wrong = heat_of(partition=1.2)
    assert wrong.surface_temperature_C is None
    assert "ε = 1.2" in wrong.stops[0].text


def test_what_is_not_above_0_is_refused():
    with pytest.raises(InputError) as refused:
        grind_heat(**{**PASS, "depth_of_cut_mm": 0, "conductivity_W_mK": -1})
    assert [fault.field for fault in refused.value.faults] == ["depth_of_cut_mm", "conductivity_W_mK"]
    with pytest.raises(InputError, match="depth_mm"):
        grind_temperature(heat=heat_of(), depth_mm=[-0.1])
