import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Level
from gearcheck.materials.hardness import HV_from_HRC
from gearcheck.materials.inputs import Quality, Steel, Treatment
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


def treated(treatment, surface_HV, *, grade="42CrMo4", quality="MQ", core_HV=None):
    return strength_limits(
        steel=Steel(
            grade=grade,
            quality=Quality(quality),
            surface_hardness_HV=surface_HV,
            core_hardness_HV=core_HV,
            treatment=Treatment(treatment),
        )
    )


def of_sheet(treatment, grade, quality, hardness):
    return treated(treatment, hardness, grade=grade, quality=quality)


@pytest.mark.parametrize("check", cases("strength", "gearcheck.materials.strength:strength_limits"), ids=str)
def test_limits(check):
    if "treatment" in check.inputs:
        rows = zip(*check.inputs.values(), strict=True)
        limits = [of_sheet(*row) for row in rows]
        assert all(found.notices == () for found in limits)
        holds(
            check,
            sigma_Hlim_MPa=np.array([found.flank_limit_MPa for found in limits]),
            sigma_Flim_MPa=np.array([found.root_limit_MPa for found in limits]),
        )
        return
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


KINDS = [
    (treatment, grade)
    for treatment in Treatment
    if treatment is not Treatment.CASE_CARBURISED
    for grade in ("C45E", "42CrMo4", "31CrMoV9")
    if (treatment, grade) != (Treatment.GAS_NITRIDED, "C45E")
]


@pytest.mark.parametrize(("treatment", "grade"), KINDS)
def test_limits_rise_with_hardness_and_quality_without_a_step(treatment, grade):
    hardness = np.linspace(100, 950, 8501)
    flank, root = [], []
    for quality in ("ML", "MQ", "ME"):
        limits = treated(treatment, hardness, grade=grade, quality=quality)
        for kept, name in ((flank, "flank_limit_MPa"), (root, "root_limit_MPa")):
            values = np.broadcast_to(getattr(limits, name), hardness.shape)
            assert np.all(np.isfinite(values))
            assert np.all((np.diff(values) >= 0) & (np.diff(values) < 0.3))
            kept.append(values)
    middle = (hardness >= limits.surface_hardness_min_HV) & (hardness <= limits.surface_hardness_max_HV)
    assert np.all(np.diff(np.array(flank)[:, middle], axis=0) >= 0)
    assert np.all(np.diff(np.array(root)[:, middle], axis=0) >= 0)


def test_the_hardness_of_a_root_is_that_of_the_core_where_the_whole_tooth_is_hardened():
    both = treated("through-hardened", 300, core_HV=260)
    assert both.flank_limit_MPa == treated("through-hardened", 300).flank_limit_MPa
    assert both.root_limit_MPa == treated("through-hardened", 260).root_limit_MPa
    assert treated("gas-nitrided", 600, core_HV=260).root_limit_MPa == 363
    assert both.treatment is Treatment.THROUGH_HARDENED
    assert limits_of("MQ", 320).treatment is Treatment.CASE_CARBURISED


def test_a_hardness_outside_its_line_is_a_caution_with_range_and_source():
    soft, hard = treated("through-hardened", 150), treated("through-hardened", 500)
    for limits in (soft, hard):
        assert {notice.level for notice in limits.notices} == {Level.CAUTION}
        flank, root = limits.notices
        assert "σ_Hlim of through-hardened alloy steel, MQ, from 200 to 360 HV" in flank.text
        assert "σ_Flim" in root.text
        assert "ISO 6336-5:2016" in root.text
    assert hard.flank_limit_MPa == treated("through-hardened", 360).flank_limit_MPa
    assert soft.flank_limit_MPa == pytest.approx(1.313 * 150 + 373)
    assert treated("through-hardened", 360).notices == ()


def test_a_steel_has_to_suit_its_treatment():
    with pytest.raises(InputError, match="42CrMo4"):
        treated("through-hardened", 300, grade="42CrMo5")
    with pytest.raises(InputError, match="42CrMo4"):
        treated("gas-nitrided", 500, grade="quite another thing")
    with pytest.raises(InputError, match="alloy or nitriding steel"):
        treated("gas-nitrided", 500, grade="C45E")
    assert set(steel_names(treatment=None)) > set(steel_names())
    assert known_steel("18crnimo7-6", treatment=None) == "18CrNiMo7-6"
    assert known_steel("sae4340", treatment=None) == "SAE 4340"


def test_only_a_through_hardened_tooth_is_soft_at_its_surface():
    assert [kind for kind in Treatment if not kind.hard_surface] == [Treatment.THROUGH_HARDENED]
