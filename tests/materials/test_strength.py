import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.materials.hardness import HV_from_HRC
from gearcheck.materials.inputs import Quality, Steel
from gearcheck.materials.steels import known_steel, steel_names
from gearcheck.materials.strength import strength_limits
from tests.checks import cases, holds


def limits_of(quality, core_HV, surface_HV=690, grade="18CrNiMo7-6", hardenability_HRC=None):
    return strength_limits(
        steel=Steel(
            grade=grade,
            quality=Quality(quality),
            surface_hardness_HV=surface_HV,
            core_hardness_HV=core_HV,
            hardenability_HRC=hardenability_HRC,
        )
    )


@pytest.mark.parametrize("check", cases("strength", "gearcheck.materials.strength:strength_limits"), ids=str)
def test_limits(check):
    found = [
        limits_of(quality, HV_from_HRC(hardness_HRC=core).hardness_HV, hardenability_HRC=hardenability)
        for quality, core, hardenability in zip(
            *(check.inputs[name] for name in ("quality", "core_hardness_HRC", "hardenability_HRC")),
            strict=True,
        )
    ]
    computed = {
        "sigma_Hlim_MPa": np.array([limits.flank_limit_MPa for limits in found]),
        "sigma_Flim_MPa": np.array([limits.root_limit_MPa for limits in found]),
        "sigma_FE_MPa": np.array([limits.unnotched_limit_MPa for limits in found]),
        "core_hardness_min_HRC": np.array([limits.core_hardness_min_HRC for limits in found]),
    }
    holds(check, **{name: computed[name] for name in check.expected})


def test_bending_line_starts_exactly_at_its_core_hardness():
    start = np.array([HV_from_HRC(hardness_HRC=core).hardness_HV for core in (25, 30)])
    assert limits_of("MQ", start, hardenability_HRC=28).root_limit_MPa.tolist() == [461, 500]
    assert limits_of("MQ", start - 1e-9, hardenability_HRC=28).root_limit_MPa.tolist() == [425, 461]


def test_a_soft_core_and_a_soft_or_brittle_surface_are_cautions():
    assert {notice.key for notice in limits_of("MQ", 250, 650).notices} == {
        "iso6336_5.core_hardness",
        "iso6336_5.surface_hardness",
    }
    assert [notice.level for notice in limits_of("ME", 320, 801).notices] == [Level.CAUTION]
    assert limits_of("ME", 320, 800).notices == ()
    assert limits_of("ML", 320, 900).notices == ()


@pytest.mark.parametrize("hardenability_HRC", [None, 27.999])
def test_the_middle_bending_line_wants_its_hardenability(hardenability_HRC):
    found = limits_of("MQ", 280, hardenability_HRC=hardenability_HRC)
    (notice,) = found.notices
    assert found.root_limit_MPa == 425
    assert notice.level is Level.NOTE
    assert "461" in notice.text
    assert limits_of("MQ", 280, hardenability_HRC=28).root_limit_MPa == 461
    assert limits_of("MQ", 280, hardenability_HRC=28).notices == ()


def test_hardenability_is_sampled_with_the_core():
    core, hardenability = np.array([[280.0], [320.0]]), np.array([20.0, np.nan, 40.0])
    found = limits_of("MQ", core, hardenability_HRC=hardenability)
    assert found.root_limit_MPa.tolist() == [[425, 425, 461], [500, 500, 500]]
    assert len(found.notices) == 1


@pytest.mark.parametrize("quality", ["ML", "MQ", "ME"])
def test_hardenability_counts_for_the_middle_line_only(quality):
    for core in (250, 320):
        with_it = limits_of(quality, core, hardenability_HRC=40)
        assert with_it.root_limit_MPa == limits_of(quality, core).root_limit_MPa
        assert "iso6336_5.hardenability" not in {notice.key for notice in limits_of(quality, core).notices}


def test_the_lowest_line_without_an_upper_limit():
    limits = limits_of("ML", 320)
    assert limits.surface_hardness_max_HV is None
    assert (limits.surface_hardness_min_HV, limits.core_hardness_min_HV) == (600, 243)


def test_elastic_constants():
    limits = limits_of("MQ", 320)
    assert (limits.elastic_modulus_MPa, limits.poisson_ratio, limits.density_kg_mm3) == (206000, 0.3, 7.83e-6)


def test_no_core_hardness_no_bending_limit():
    assert limits_of("MQ", None).root_limit_MPa is None


def test_an_unknown_grade_names_the_nearest():
    with pytest.raises(InputError, match="18CrNiMo7-6"):
        limits_of("MQ", 320, grade="18CrNiM7-6")
    with pytest.raises(InputError, match="table of steels"):
        known_steel("quite another thing")


@pytest.mark.parametrize("name", steel_names())
def test_each_grade_is_known_however_it_is_written(name):
    assert known_steel(f" {name.lower()} ") == name
