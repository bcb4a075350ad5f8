"""The service of the part as the fatigue room reads it: teeth, gears, transfers, what few gears leave."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.few_gears import FewGears, few_gears
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve, Place
from gearcheck.fatigue.service import Service
from gearcheck.fatigue.transfers import TransferChain
from gearcheck.materials.inputs import Treatment
from gearcheck.review.fatigue_inputs import FatigueTests, Rig
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain
from gearcheck.stress.inputs import LifeAt1e10
from gearcheck.stress.life import Damage, life_row, long_factor


@dataclass(frozen=True, kw_only=True)
class PartService:
    """What a service of the part is made of: record, closed forms, tests, and their transfers."""

    record: Record
    chain: Chain
    tests: FatigueTests
    transfers: TransferChain
    fit: FatigueFit

    def of(self, stress: Array, cycles: Array, *, hours: float, gears: int, failed_share: float) -> Service:
        """Return the service of so many gears under some stresses, for where such a share may fail."""
        bare = self._bare(stress, cycles, hours=hours, gears=gears)
        few = self.few(bare, failed_share)
        if few is None:
            return bare
        return replace(
            bare,
            log_factor=bare.log_factor + float(array(few.log_shift)),
            log_deviation=float(np.hypot(bare.log_deviation, array(few.log_deviation))),
        )

    def few(self, service: Service, failed_share: float) -> FewGears | None:
        """Return what is not known because specimens are teeth of few gears; None where nobody can say."""
        share, counts = self.tests.within_gear_share, Counter(self.fit.data.gears)
        if share is None or not counts:
            return None
        return few_gears(
            specimens_of_gear=list(counts.values()),
            within_share=share,
            log_deviation=self.log_deviation,
            quantile=service.specimen_quantile(failed_share),
        )

    @cached_property
    def log_deviation(self) -> float:
        """Scatter of the logarithm of the strength at the run-out life; 0 where the curve tells none."""
        if self.fit.curve is Curve.ONE_LEVEL:
            return 0.0
        found = float(self.fit.log_deviation(self.tests.run_out_cycles))
        return found if np.isfinite(found) else 0.0

    def required(self, stress: Array, cycles: Array) -> Service:
        """Return the service in the life required, of a set of gears."""
        required, fatigue = self.record.required, self.record.fatigue
        assert required is not None
        assert fatigue is not None
        hours, gears = float(array(required.life_h)), fatigue.gears_in_set
        share = 1.0 - float(required.reliability)
        return self.of(stress, cycles, hours=hours, gears=gears, failed_share=share)

    def few_in_life(self) -> FewGears | None:
        """Return what few gears leave open of the strength at the reliability required."""
        required, fatigue = self.record.required, self.record.fatigue
        assert required is not None
        assert fatigue is not None
        bare = self._bare(np.ones(1), np.ones(1), hours=1.0, gears=fatigue.gears_in_set)
        return self.few(bare, 1.0 - float(required.reliability))

    def _bare(self, stress: Array, cycles: Array, *, hours: float, gears: int) -> Service:
        teeth = 1.0
        if self.transfers.weakest_tooth:
            # a specimen is as weak as the weakest of its own teeth: only the more count
            teeth = max(float(array(self.record.gear.tooth.teeth)) / self._tested(), 1.0)
        share = self.tests.within_gear_share
        return Service(
            stress_MPa=stress,
            cycles=cycles,
            below_knee=below_run_out(self.record),
            run_out_cycles=self.tests.run_out_cycles,
            life_h=hours,
            teeth=teeth,
            within_share=1.0 if share is None else float(array(share)),
            gears=gears,
            log_factor=float(array(self.transfers.log_factor)),
            log_deviation=float(array(self.transfers.log_deviation)),
            long_slope=long_slope(self.tests.place),
        )

    def _tested(self) -> float:
        """How many teeth a specimen has under load."""
        if self.tests.rig is Rig.RUNNING and self.tests.gear is not None:
            return float(array(self.tests.gear.tooth.teeth))
        return float(self.tests.teeth_loaded)


def below_run_out(record: Record) -> BelowKnee:
    """Return the damage rule beyond the run-out life: of the duty, else of the reading of long life."""
    rule = BelowKnee.LONG_LIFE if record.duty is None else record.duty.below_knee
    assert record.methods is not None
    optimum = record.methods.readings.life_at_1e10 is LifeAt1e10.OPTIMUM
    return BelowKnee.NO_DAMAGE if optimum and rule is BelowKnee.LONG_LIFE else rule


def long_slope(place: Place) -> float:
    """Return the slope of the long-life factor of case-carburised gears, at root or flank."""
    row = life_row(Damage.ROOT if place is Place.ROOT else Damage.FLANK, Treatment.CASE_CARBURISED)
    decades = np.log(row["long_cycles"] / row["knee_cycles"])
    return float(decades / -np.log(long_factor(row, LifeAt1e10.LOWER)))
