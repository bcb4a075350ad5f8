"""What the tests of specimens say of the gear: the curve, what leads to the part, the life under its duty."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array
from gearcheck.basics.results import Result
from gearcheck.fatigue.checks import LevelTable, level_table
from gearcheck.fatigue.draws import LikelihoodDraws, likelihood_draws
from gearcheck.fatigue.endurance import EnduranceTest
from gearcheck.fatigue.few_gears import FewGears
from gearcheck.fatigue.fit import FatigueFit, fatigue_fit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.pedigree import Pedigree, pedigree
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.transfers import TransferChain, transferred
from gearcheck.review.fatigue_inputs import FatigueTests
from gearcheck.review.inputs import Record
from gearcheck.review.part_service import PartService, long_slope
from gearcheck.review.remembered import remembered
from gearcheck.review.results import Chain, stop_words
from gearcheck.review.specimen_ratio import ratio_of_part, ratio_of_tests
from gearcheck.review.specimen_stress import SpecimenStress, specimen_stress, without_excluded
from gearcheck.review.supported import Supported, endurance_of, passing, supported_of

DRAWS = 3000
"""So many draws of the parameters carry what is not sure of a curve."""
SEED = 7
"""One seed: the same tests give the same numbers."""


@dataclass(frozen=True, kw_only=True)
class FatigueLife:
    """What the tests of one place, root or flank, say.

    Parameters
    ----------
    tests : FatigueTests
        As in the gear file.
    stress : SpecimenStress
        The stress of each test, excluded ones too, in the order of the file.
    levels : LevelTable or None
        What counts, by level; its `data` is what is fitted. None where there is no stress.
    fit : FatigueFit or None
        The curve that governs; None where nothing can be fitted.
    draws : LikelihoodDraws or None
        What is not sure of it; None where it did not converge.
    transfers : TransferChain
        From specimen to part.
    pedigree : Pedigree
        What differs, and what answers it.
    few_gears : FewGears or None
        What is not sure because specimens are teeth of few gears; None where nobody says how much of the
        scatter lies within a gear, or which share one.
    supported : tuple of Supported
        What the gear bears and what the tests support of it, by mesh: of two directions the worse.
    endurance : Service or None
        The long test that is planned, as one of its gears bears it in the mesh that is worst; None where
        none is planned.
    passing : EnduranceTest or None
        How likely its gears pass it; None where none is planned.
    reason : str
        Why nothing is supported; empty otherwise.
    """

    tests: FatigueTests
    stress: SpecimenStress
    levels: LevelTable | None
    fit: FatigueFit | None
    draws: LikelihoodDraws | None
    transfers: TransferChain
    pedigree: Pedigree
    few_gears: FewGears | None = None
    supported: tuple[Supported, ...] = ()
    endurance: Service | None = None
    passing: EnduranceTest | None = None
    reason: str = ""

    def results(self) -> tuple[tuple[str, Result], ...]:
        """Return what it follows from, each with its title, in reading order."""
        where = f"{self.tests.place} tests"
        named = (
            *self.stress.steps,
            ("Tests by level", self.levels),
            (f"Curve, {self.tests.curve}", self.fit),
            ("Draws of its parameters", self.draws),
            ("Pedigree", self.pedigree),
            ("Transfers", self.transfers),
            ("Teeth of few gears", self.few_gears),
            *((f"Stress supported, the gear with {one.mesh}", one.stress) for one in self.supported),
            ("Endurance test planned", self.passing),
        )
        return tuple((f"{title}, {where}", found) for title, found in named if found is not None)


def fatigue_lives(record: Record, chain: Chain, *, with_reserves: bool = True) -> tuple[FatigueLife, ...]:
    """Work out what the tests of specimens say of the gear.

    Parameters
    ----------
    record : Record
        Without samples.
    chain : Chain
        Its closed forms.
    with_reserves : bool
        Whether the torque reserves are found too.

    Returns
    -------
    tuple of FatigueLife
        One for each entry of the tests; none without.
    """
    if record.fatigue is None:
        return ()
    return tuple(_life(record, chain, tests, with_reserves=with_reserves) for tests in record.fatigue.tests)


def _life(record: Record, chain: Chain, tests: FatigueTests, *, with_reserves: bool) -> FatigueLife:
    found = _fitted_tests(_begun(record, chain, tests))
    fit, draws = found.fit, found.draws
    if found.reason or record.required is None or record.methods is None:
        return found
    if stopped := stop_words(found.transfers):
        return replace(found, reason=stopped)
    assert fit is not None
    assert draws is not None
    part = PartService(record=record, chain=chain, tests=tests, transfers=found.transfers, fit=fit)
    found = replace(found, few_gears=part.few_in_life())
    if stopped := stop_words(found.few_gears):
        return replace(found, reason=stopped)
    found = replace(found, supported=tuple(supported_of(part, fit, draws, with_reserves=with_reserves)))
    return _with_test(found, part, fit, draws) if with_reserves else found


def _with_test(found: FatigueLife, part: PartService, fit: FatigueFit, draws: LikelihoodDraws) -> FatigueLife:
    """The same with the long test that is planned, and how likely its gears pass it."""
    test, fatigue = endurance_of(part), part.record.fatigue
    planned = None if fatigue is None else fatigue.endurance
    if test is None or planned is None or fit.curve is Curve.ONE_LEVEL:
        return replace(found, endurance=test)
    return replace(found, endurance=test, passing=passing(fit, draws, test, planned.gears))


def _begun(record: Record, chain: Chain, tests: FatigueTests) -> FatigueLife:
    """Stresses, transfers and pedigree; nothing is fitted yet."""
    stress = specimen_stress(record, tests)
    tested, of_part = ratio_of_tests(tests), ratio_of_part(tests, chain)
    # what does not say its ratio is taken for a load that goes back to nothing
    of_tests = 0.0 if tested is None else tested
    return FatigueLife(
        tests=tests,
        stress=stress,
        levels=None,
        fit=None,
        draws=None,
        transfers=transferred(transfers=tests.transfers, test_ratio=of_tests, part_ratio=of_part),
        pedigree=pedigree(
            differences=tests.differences,
            transfers=tests.transfers,
            test_ratio=tested,
            part_ratio=of_part,
        ),
        reason=stress.reason,
    )


def _fitted_tests(begun: FatigueLife) -> FatigueLife:
    """With levels and curve, or why there is none."""
    tests, stress = begun.tests, begun.stress
    if stress.stress_MPa is None:
        return begun
    levels = _levels(tests, stress.stress_MPa, stress.notices)
    if stopped := stop_words(levels):
        return replace(begun, levels=levels, reason=stopped)
    fit, draws = _fitted(levels.data, tests.curve, tests.distribution, long_slope(tests.place))
    reason = stop_words(fit)
    if not reason and draws is None:
        reason = (
            f"the likelihood of the {tests.curve} has no summit: the tests do not tell its parameters apart"
        )
    return replace(begun, levels=levels, fit=fit, draws=draws, reason=reason)


def _levels(tests: FatigueTests, stress: Array, told: tuple[Notice, ...]) -> LevelTable:
    """What counts of the tests, with what is told of those that do not."""
    counted, of_counted = without_excluded(tests, stress)
    table = counted.table
    data = FatigueData(
        stress_MPa=of_counted,
        cycles=table.cycles,
        failed=table.failed,
        sound_cycles=table.sound_cycles,
        specimens=table.specimen,
        # a tooth whose gear is not told shares it with no other
        gears=tuple(gear or name for gear, name in zip(table.gear, table.specimen, strict=True))
        if any(table.gear)
        else (),
        batches=table.batch if any(table.batch) else (),
    )
    found = level_table(
        data=data,
        run_out_cycles=tests.run_out_cycles,
        teeth=table.tooth,
        also_loaded=_also_loaded(counted),
        stress_ratio=table.stress_ratio,
        modes=table.mode,
        mode=tests.mode,
        retest_of=table.retest_of,
    )
    return replace(found, notices=(*found.notices, *told, *_of_excluded(tests), *_of_gears(tests, found)))


def _also_loaded(tests: FatigueTests) -> tuple[str, ...]:
    """The tooth at the other end of the span of each test, where the jaws load both alike."""
    gear = tests.gear
    if gear is None or gear.span_teeth is None or tests.teeth_loaded == 1:
        return ()
    last, teeth = gear.span_teeth - 1, int(array(gear.tooth.teeth))
    return tuple(
        str((int(tooth) + last - 1) % teeth + 1) if tooth.isdecimal() else tooth
        for tooth in tests.table.tooth
    )


def _of_gears(tests: FatigueTests, levels: LevelTable) -> tuple[Notice, ...]:
    """A caution where specimens share a gear and nobody says how much of the scatter its teeth share."""
    gears = levels.data.gears
    if tests.within_gear_share is not None or len(set(gears)) == len(gears):
        return ()
    text = (
        f"{len(gears)} specimens are of {len(set(gears))} gears and count as if they shared nothing: the "
        "bound is too sure. Give within_gear_share, the share of the variance between teeth of one gear."
    )
    return (Notice(Level.CAUTION, "fatigue.gears_shared", text),)


def _of_excluded(tests: FatigueTests) -> tuple[Notice, ...]:
    if not tests.excluded:
        return ()
    total = len(tests.table.specimen)
    each = "; ".join(f"{one.specimen}: {one.reason.rstrip('.')}" for one in tests.excluded)
    text = f"Left out with a reason: {len(tests.excluded)} of {total} specimens. {each}."
    return (Notice(Level.CAUTION, "fatigue.excluded", text),)


def _fit(
    data: FatigueData, curve: Curve, distribution: Distribution, slope: float
) -> tuple[FatigueFit, LikelihoodDraws | None]:
    fit = fatigue_fit(data=data, curve=curve, distribution=distribution, long_slope=slope)
    if fit.stops or not fit.converged or not np.isfinite(array(fit.covariance)).all():
        return fit, None
    return fit, likelihood_draws(fit=fit, draws=DRAWS, generator=np.random.default_rng(SEED))


_fitted = remembered(_fit)
"""It is done once for the same specimens, whatever else of a record moves."""
