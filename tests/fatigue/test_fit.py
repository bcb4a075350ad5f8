"""Curves fitted to specimens: printed examples, other libraries' numbers, what has to hold of itself."""

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.fatigue.bootstrap import bootstrap_fits
from gearcheck.fatigue.compared import compared_fits
from gearcheck.fatigue.draws import likelihood_draws
from gearcheck.fatigue.fit import fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.life_line import LifeLine
from gearcheck.fatigue.likelihood_bounds import life_bounds, likelihood_bounds, strength_bounds
from gearcheck.fatigue.quantities import OfParameters
from tests.checks import cases, holds
from tests.fatigue.samples import SETS

CHECKS = cases("fatigue_fit", "gearcheck.fatigue.fit:fatigue_fit")
BOUNDS = cases("fatigue_fit", "gearcheck.fatigue.likelihood_bounds:likelihood_bounds")
LIFE = cases("fatigue_fit", "gearcheck.fatigue.likelihood_bounds:life_bounds")
STRENGTH = cases("fatigue_fit", "gearcheck.fatigue.likelihood_bounds:strength_bounds")
DRAWN = cases("fatigue_fit", "gearcheck.fatigue.bootstrap:bootstrap_fits")
WEIGHED = cases("fatigue_fit", "gearcheck.fatigue.draws:likelihood_draws")
COMPARED = cases("fatigue_fit", "gearcheck.fatigue.compared:compared_fits")


def sample(name, **more):
    given = SETS[name]
    cycles = np.array([*given["cycles"], *[given.get("run_out_cycles")] * given.get("run_outs", 0)], float)
    failed = np.array(given.get("failed", [1] * len(given["cycles"])) + [0] * given.get("run_outs", 0), bool)
    stress = np.array(given.get("stress", given.get("load", np.ones(cycles.size))), float)
    return FatigueData(stress_MPa=stress, cycles=cycles, failed=failed, **more)


def by_id(start):
    return [check for check in CHECKS if check.id.startswith(start)]


def plain_terms(fit):
    """The terms of the line at ln S, not about its centre."""
    *line, _ = fit.parameters
    c = fit.model.centre
    line = [*line, 0.0, 0.0][:3]
    full = [line[0] - line[1] * c + line[2] * c**2, line[1] - 2 * line[2] * c, line[2]]
    return full[: fit.parameters.size - 1]


@pytest.mark.parametrize("check", by_id("FATIGUE-WB"), ids=str)
def test_one_level_by_both_distributions(check):
    data = sample(check.inputs["sample"])
    weibull, normal = (
        fatigue_fit(data=data, curve=Curve.ONE_LEVEL, distribution=of)
        for of in (Distribution.WEIBULL, Distribution.LOGNORMAL)
    )
    assert weibull.converged
    assert normal.converged
    holds(
        check,
        weibull_life=np.exp(weibull.parameters[0]),
        weibull_shape=np.exp(-weibull.parameters[1]),
        median=normal.life_cycles(stress_MPa=1.0, failed_share=0.5),
        lognormal_scale=np.exp(normal.parameters[1]),
        weibull_log=weibull.log_likelihood,
        lognormal_log=normal.log_likelihood,
    )


@pytest.mark.parametrize("check", [*by_id("FATIGUE-SNML-03"), *by_id("FATIGUE-SNML-10")], ids=str)
def test_lines_of_weibull_lives(check):
    curve = Curve.CURVED if check.inputs["terms"] == 3 else Curve.STRAIGHT
    fit = fatigue_fit(data=sample(check.inputs["sample"]), curve=curve, distribution=Distribution.WEIBULL)
    found = {"b": plain_terms(fit), "scale": np.exp(fit.parameters[-1]), "log": fit.log_likelihood}
    holds(check, **{name: found[name] for name in check.expected})


def test_scatter_that_changes_with_stress():
    (check,) = by_id("FATIGUE-SNML-04")
    fit = fatigue_fit(data=sample("superalloy"), curve=Curve.SPREADING, distribution=Distribution.WEIBULL)
    b_0, b_1, b_2, g_0, g_1 = fit.parameters
    c = fit.model.centre
    holds(
        check,
        b=[b_0 - b_1 * c + b_2 * c**2, b_1 - 2 * b_2 * c, b_2],
        g=[g_0 - g_1 * c, g_1],
        log=fit.log_likelihood,
    )


@pytest.mark.parametrize("check", by_id("FATIGUE-SNML-09"), ids=str)
def test_a_fixed_limit(check):
    fit = fatigue_fit(data=sample("superalloy"), curve=Curve.FIXED_LIMIT)
    b_0, b_1, s_0, s_1, limit = fit.parameters
    c = fit.model.centre
    thousands = np.log(1000.0)
    found = {
        "b": [b_0 - b_1 * c + thousands, b_1],
        "s": [s_0 - s_1 * c, s_1],
        "limit": np.exp(limit + c),
        "log": fit.log_likelihood,
    }
    holds(check, **{name: found[name] for name in check.expected})


@pytest.mark.parametrize("check", LIFE, ids=str)
def test_bounds_of_a_life(check):
    fit = fatigue_fit(data=sample("bearings"), curve=Curve.ONE_LEVEL, distribution=Distribution.WEIBULL)
    found = life_bounds(fit=fit, stress_MPa=1.0, failed_share=0.1, confidence=check.inputs["confidence"])
    holds(check, life=found.estimate, bounds=[found.low, found.high])


@pytest.mark.parametrize("check", BOUNDS, ids=str)
def test_bounds_of_a_parameter(check):
    if check.inputs["sample"] == "bearings":
        fit = fatigue_fit(data=sample("bearings"), curve=Curve.ONE_LEVEL, distribution=Distribution.WEIBULL)
        quantity = OfParameters(lambda theta: np.exp(-theta[:, 1]))
    else:
        fit = fatigue_fit(data=sample("superalloy"), curve=Curve.FIXED_LIMIT)
        quantity = OfParameters(lambda theta: np.exp(theta[:, 4] + fit.model.centre))
    found = likelihood_bounds(fit=fit, quantity=quantity, confidence=check.inputs["confidence"])
    holds(check, bounds=[float(found.low[0]), float(found.high[0])])


@pytest.mark.parametrize("check", STRENGTH, ids=str)
def test_bounds_of_a_strength_with_many_specimens(check):
    given = check.inputs
    half = given["specimens"] // 2
    z = (
        np.tile([-1.0, 1.0], half) * given["scale"]
    )  # two lives a stress, so that nothing is lost to the slope
    stress = np.repeat(given["centre"] * np.exp(np.linspace(-0.1, 0.1, half)), 2)
    lives = given["cycles_at_centre"] * np.exp(given["slope"] * np.log(stress / given["centre"]) + z)
    data = FatigueData(stress_MPa=stress, cycles=lives, failed=np.full(stress.size, True))
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    found = strength_bounds(fit=fit, cycles=given["cycles_at_centre"], failed_share=0.5, confidence=0.95)
    holds(check, half_width=0.5 * np.log(found.high / found.low))


@pytest.mark.parametrize("check", DRAWN, ids=str)
def test_a_bootstrap_knows_the_deviation_of_a_mean(check):
    fit = fatigue_fit(data=sample("bearings"), curve=Curve.ONE_LEVEL)
    *_, found = bootstrap_fits(
        fit=fit, generator=np.random.default_rng(5), replicates=check.inputs["replicates"], at_once=1000
    )
    holds(check, deviation=np.std(found.usable[:, 0]))


@pytest.mark.parametrize("check", WEIGHED, ids=str)
def test_draws_average_as_the_exact_integral_does(check):
    fit = fatigue_fit(data=sample("bearings"), curve=Curve.ONE_LEVEL)
    found = likelihood_draws(fit=fit, generator=np.random.default_rng(7), draws=check.inputs["draws"])
    alive = 1 - fit.model.failed_share(
        found.parameters[:, None], stress_MPa=np.array(1.0), cycles=np.array(check.inputs["cycles"])
    )
    heavy = found.weights[:, None]
    holds(check, one=(heavy * alive).sum(axis=0), all_of_four=(heavy * alive**4).sum(axis=0))


@pytest.mark.parametrize("curve", list(Curve)[1:], ids=str)
def test_share_life_and_strength_are_one_curve(curve):
    fit = fatigue_fit(data=sample("tooth_bending"), curve=curve)
    assert fit.converged
    share = np.array([0.01, 0.1, 0.5, 0.9])
    strength = fit.strength_MPa(cycles=1e6, failed_share=share)
    assert fit.failed_share(stress_MPa=strength, cycles=1e6) == pytest.approx(share, rel=1e-5)
    assert fit.life_cycles(stress_MPa=strength, failed_share=share) == pytest.approx(1e6, rel=1e-5)
    assert np.all(np.diff(strength) > 0)


@pytest.mark.parametrize("curve", list(Curve)[1:], ids=str)
def test_the_slopes_of_a_likelihood_are_its_differences(curve):
    """Analytic derivatives against central differences, with a failure between two inspections too."""
    from gearcheck.fatigue.model import points_of  # beside what it checks

    data = sample("tooth_bending", sound_cycles=np.r_[4e5, np.full(30, np.nan)])
    fit = fatigue_fit(data=data, curve=curve)
    theta, points = fit.parameters + 0.01, points_of(data)
    h = 1e-5
    for place, found in enumerate(fit.model.scored(theta[None], points).scores[0].T):
        by = np.zeros_like(theta)
        by[place] = h
        up, down = (fit.model.scored((theta + way * by)[None], points).log_likelihood[0] for way in (1, -1))
        assert found == pytest.approx((up - down) / (2 * h), abs=2e-4 * np.abs(found).max())


@pytest.mark.parametrize("curve", list(Curve), ids=str)
def test_the_order_of_the_specimens_does_not_matter(curve):
    data = sample("tooth_bending")
    order = np.random.default_rng(3).permutation(data.count)
    mixed = FatigueData(
        stress_MPa=data.stress_MPa[order], cycles=data.cycles[order], failed=data.failed[order]
    )
    one, other = (fatigue_fit(data=of, curve=curve) for of in (data, mixed))
    assert other.parameters == pytest.approx(one.parameters, rel=1e-5, abs=1e-5)


@pytest.mark.parametrize("curve", list(Curve), ids=str)
def test_a_run_out_is_no_failure(curve):
    """Taken for failures, run-outs lower life and strength; failures taken for run-outs raise them."""
    data = sample("tooth_bending")
    low = data.stress_MPa == 1180.0  # all failed there

    def reached(failed):
        of = FatigueData(stress_MPa=data.stress_MPa, cycles=data.cycles, failed=failed)
        fit = fatigue_fit(data=of, curve=curve)
        if curve is Curve.ONE_LEVEL:
            return float(fit.life_cycles(stress_MPa=1180.0, failed_share=0.5))
        return float(fit.strength_MPa(cycles=6e6, failed_share=0.5))

    right = reached(data.failed)
    assert reached(np.full(data.count, True)) < right < reached(data.failed & ~low)


@pytest.mark.parametrize("curve", list(Curve), ids=str)
def test_an_interval_that_closes_is_a_life(curve):
    data = sample("tooth_bending")
    near = FatigueData(
        stress_MPa=data.stress_MPa,
        cycles=data.cycles * np.where(data.failed, 1.0005, 1.0),
        failed=data.failed,
        sound_cycles=np.where(data.failed, data.cycles * 0.9995, np.nan),
    )
    one, other = (fatigue_fit(data=of, curve=curve) for of in (data, near))
    assert other.parameters == pytest.approx(one.parameters, rel=2e-3, abs=2e-3)


def test_a_bound_widens_with_confidence_and_one_side_is_nearer():
    fit = fatigue_fit(data=sample("tooth_bending"), curve=Curve.RANDOM_LIMIT)

    def low(confidence, **more):
        return float(
            strength_bounds(fit=fit, cycles=6e6, failed_share=0.01, confidence=confidence, **more).low
        )

    assert low(0.95) < low(0.9) < float(fit.strength_MPa(cycles=6e6, failed_share=0.01))
    assert low(0.95, both_sides=False) == pytest.approx(low(0.9), rel=1e-6)


def test_teeth_of_one_gear_are_drawn_together():
    """Gears that differ: drawn whole they scatter more than tooth by tooth."""
    random = np.random.default_rng(2)
    gears = np.repeat(np.arange(12), 6)
    lives = np.exp(14.0 + 0.5 * random.standard_normal(12)[gears] + 0.1 * random.standard_normal(72))
    names = tuple(f"G{gear}" for gear in gears)
    data = FatigueData(stress_MPa=np.ones(72), cycles=lives, failed=np.full(72, True), gears=names)
    fit = fatigue_fit(data=data, curve=Curve.ONE_LEVEL)

    def deviation(clustered):
        *_, found = bootstrap_fits(
            fit=fit, generator=np.random.default_rng(1), replicates=300, clustered=clustered
        )
        return float(np.std(found.usable[:, 0]))

    assert deviation(True) > 2.0 * deviation(False)
    assert deviation(None) == deviation(True)


@pytest.mark.parametrize("check", COMPARED, ids=str)
def test_forms_side_by_side_at_one_level(check):
    found = compared_fits(data=sample(check.inputs["sample"]), cycles=200.0)
    assert [fit.distribution for fit in found.fits] == list(Distribution)
    holds(check, above=found.above_best[1])


def test_forms_side_by_side_say_what_they_differ_by():
    data = sample("tooth_bending")
    found = compared_fits(data=data, cycles=6e6)
    assert {fit.curve for fit in found.fits} == set(Curve) - {Curve.ONE_LEVEL}
    best = found.fits[int(np.nanargmin(found.akaike))]
    assert np.nanmin(found.above_best) == 0
    assert float(best.akaike) == pytest.approx(np.nanmin(found.akaike))
    (said,) = found.notices
    near = np.asarray(found.strength_MPa)[np.asarray(found.above_best) < 2]
    assert f"{near.min():.4g} to {near.max():.4g} MPa" in said.text


STRESS = np.array([900.0, 900.0, 800.0, 800.0, 700.0, 700.0])
LIVES = np.array([1e5, 2e5, 4e5, 6e5, 2e6, 3e6])


@pytest.mark.parametrize(
    ("rows", "failed", "curve", "key"),
    [
        (slice(None), False, Curve.STRAIGHT, "all_run_outs"),
        (slice(0, 2), True, Curve.STRAIGHT, "one_level"),
        (slice(0, 1), True, Curve.ONE_LEVEL, "one_specimen"),
        (slice(0, 4), True, Curve.RANDOM_LIMIT, "few_levels"),
        (slice(1, 6, 2), True, Curve.STRAIGHT, "few_specimens"),
    ],
)
def test_without_a_footing_there_is_no_number(rows, failed, curve, key):
    data = FatigueData(stress_MPa=STRESS[rows], cycles=LIVES[rows], failed=np.full(STRESS[rows].size, failed))
    fit = fatigue_fit(data=data, curve=curve)
    assert [notice.key for notice in fit.stops] == [f"fatigue_fit.{key}"]
    assert np.isnan(fit.parameters).all()
    assert fit.log_likelihood is None
    assert not fit.converged


def test_one_failure_has_no_scatter():
    data = FatigueData(stress_MPa=np.ones(4), cycles=np.full(4, 1e6), failed=np.array([1, 0, 0, 0], bool))
    assert fatigue_fit(data=data, curve=Curve.ONE_LEVEL).stops


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"cycles": LIVES * np.array([1, 1, -1, 1, 1, 1])}, "cycles"),
        ({"stress_MPa": STRESS * 0}, "stress_MPa"),
        ({"failed": np.full(3, True)}, "whether it failed"),
        ({"sound_cycles": LIVES}, "sound_cycles"),
        ({"sound_cycles": np.array([1e4])}, "sound_cycles"),
    ],
)
def test_what_is_no_test_is_refused(change, words):
    given = {"stress_MPa": STRESS, "cycles": LIVES, "failed": np.full(6, True), **change}
    with pytest.raises(InputError, match=words):
        fatigue_fit(data=FatigueData(**given), curve=Curve.STRAIGHT)


def test_what_has_no_summit_is_neither_drawn_nor_bounded():
    """Lives that lie on a line without any scatter."""
    lives = 1e6 * (STRESS / 800.0) ** -8.0
    fit = fatigue_fit(
        data=FatigueData(stress_MPa=STRESS, cycles=lives, failed=np.full(6, True)), curve=Curve.STRAIGHT
    )
    assert not fit.converged
    assert [notice.key for notice in fit.notices] == ["fatigue_fit.no_summit"]
    with pytest.raises(InputError, match="no summit"):
        likelihood_draws(fit=fit, generator=np.random.default_rng(1))
    with pytest.raises(InputError, match="no summit"):
        next(bootstrap_fits(fit=fit, generator=np.random.default_rng(1)))
    assert strength_bounds(fit=fit, cycles=1e6, failed_share=0.5, confidence=0.9).low is None


def test_a_line_that_rises_is_none():
    data = FatigueData(
        stress_MPa=np.array([900.0, 900, 800, 800, 700, 700]),
        cycles=np.array([3e6, 2e6, 4e5, 9e5, 5e5, 2e5]),
        failed=np.full(6, True),
    )
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    assert [notice.key for notice in fit.stops] == ["fatigue_fit.does_not_fall"]
    assert np.isnan(fit.parameters).all()


def test_a_slope_that_may_be_none_leaves_a_strength_open():
    """Hardly any fall of life with stress: the likelihood does not close before the slope is 0."""
    data = FatigueData(
        stress_MPa=np.array([820.0, 820, 800, 800, 780, 780]),
        cycles=np.array([3e5, 9e5, 4e5, 8e5, 5e5, 9e5]),
        failed=np.full(6, True),
    )
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    found = strength_bounds(fit=fit, cycles=1e5, failed_share=0.5, confidence=0.95)
    assert found.high is None
    assert [notice.key for notice in found.notices] == ["likelihood_bounds.open"]
    drawn = likelihood_draws(fit=fit, generator=np.random.default_rng(1))
    rising = drawn.parameters[:, 1] >= 0
    assert rising.any()
    assert not drawn.weights[rising].any()
    *_, again = bootstrap_fits(fit=fit, generator=np.random.default_rng(1), replicates=100)
    assert (again.usable[:, 1] < 0).all()
    assert again.lost


def test_a_level_is_as_close_as_a_rig_comes():
    """A load that is met within 0.15 % is one level: no slope is fitted to it."""
    random = np.random.default_rng(4)
    stress = 1000.0 * (1 + random.uniform(-0.0015, 0.0015, 24))
    data = FatigueData(
        stress_MPa=stress, cycles=np.exp(13 + 0.3 * random.standard_normal(24)), failed=np.full(24, True)
    )
    fit = fatigue_fit(data=data, curve=Curve.STRAIGHT)
    assert [notice.key for notice in fit.stops] == ["fatigue_fit.one_level"]


@pytest.mark.parametrize("without", range(0, 31, 5))
def test_a_summit_is_seen_through_the_rounding_of_the_integrals(without):
    """Leaving out any one specimen leaves a summit: none is lost to the last digits of the integrals."""
    data = sample("tooth_bending").some(np.arange(31) != without)
    fit = fatigue_fit(data=data, curve=Curve.RANDOM_LIMIT)
    assert fit.converged


def test_lives_of_six_failures():
    (check,) = by_id("FATIGUE-RANK-02")
    lives = np.array(check.inputs["cycles"], float)
    data = FatigueData(stress_MPa=np.ones(6), cycles=lives, failed=np.full(6, True))
    fit = fatigue_fit(data=data, curve=Curve.ONE_LEVEL, distribution=Distribution.WEIBULL)
    holds(check, weibull_shape=np.exp(-fit.parameters[1]), weibull_life=np.exp(fit.parameters[0]))


def test_far_quantiles_rest_on_the_distribution():
    (check,) = by_id("FATIGUE-DIST-01")
    weibull, normal = (
        fatigue_fit(data=sample("alloy"), curve=Curve.ONE_LEVEL, distribution=of).life_cycles(
            stress_MPa=1.0, failed_share=check.inputs["failed_share"]
        )
        for of in (Distribution.WEIBULL, Distribution.LOGNORMAL)
    )
    holds(check, weibull=weibull, lognormal=normal)


def test_a_curve_that_turns_round_has_no_strength_there():
    """Where scatter and bend turn life round, the stress at which a share fails is not one of rising life."""
    model = LifeLine(Curve.SPREADING, Distribution.LOGNORMAL, 0.0)
    theta = np.array([15.0, -6.0, 9.0, -0.5, -2.0]) + np.random.default_rng(8).normal(0, 1, (200, 5))
    found = model.strength_MPa(theta, cycles=np.array(2e6), failed_share=np.array(0.01))
    known = np.isfinite(found)
    assert 20 < known.sum() < 180
    more = model.failed_share(theta, stress_MPa=found * 1.001, cycles=np.array(2e6))
    assert (more[known] > 0.01).all()
