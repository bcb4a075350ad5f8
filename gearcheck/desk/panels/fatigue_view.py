"""The fatigue tests that the sheet shows, and what its own sliders ask of them, which are no draft."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import traitlets

from gearcheck.basics.numbers import Array, array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.state import Sheet
from gearcheck.fatigue.curve_band import BandCurves, CurveBand, band_curves, curve_band
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.service import Service
from gearcheck.figures.fatigue_tests import bare_service, cycles_drawn
from gearcheck.review.fatigue import FatigueLife
from gearcheck.review.supported import Supported

RELIABILITY = 0.99
"""Where none is required."""
PASSING = 0.9
"""The chance of passing that makes an endurance test worth starting, as the sheet begins."""
_KEPT = 8


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """What is asked: reliability and confidence, and what-ifs of scatter and strength."""

    reliability: float
    confidence: float
    scatter: float = 1.0
    transfer: float = 1.0
    passing: float = PASSING


class FatigueView(traitlets.HasTraits):
    """What is known of the tests that are shown.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    place : callable
        Gives the place of the tests that are shown.
    say : Say
        Where trouble is told.

    Attributes
    ----------
    moved : int
        How often something new was there to be drawn.
    refits : ndarray or None
        Parameters of the bootstrap, once it has run for the tests that are shown; it tells who uses them.
    """

    moved = traitlets.Int(0)
    refits: Array | None = traitlets.Any(None)

    def __init__(self, state: Sheet, place: Callable[[], int], say: Say) -> None:
        super().__init__()
        self.state, self._place = state, place
        self._given: Wanted | None = None
        self._drawn: dict[tuple[int, float], tuple[object, BandCurves]] = {}
        state.observe(guarded(lambda _: self.follow(), say), ["shown", "settled"])

    def follow(self) -> None:
        """Draw again, as when other tests are chosen."""
        self.moved += 1

    def ask(self, **values: float) -> None:
        """Move what is asked."""
        self._given = replace(self.wanted, **values)
        self.follow()

    def forget(self) -> None:
        """Ask what the record asks."""
        self._given = None
        self.follow()

    @property
    def life(self) -> FatigueLife | None:
        """The tests that are shown; None before the slower work has run, and without tests."""
        found = self.state.drawn.fatigue
        return found[min(self._place(), len(found) - 1)] if found else None

    @property
    def agreed(self) -> Wanted:
        """What the record asks."""
        required = self.state.record.required
        tests = self.state.record.fatigue
        if tests is None or not tests.tests:
            return Wanted(reliability=RELIABILITY, confidence=0.9)
        confidence = tests.tests[min(self._place(), len(tests.tests) - 1)].confidence
        reliability = RELIABILITY if required is None else float(required.reliability)
        return Wanted(reliability=reliability, confidence=confidence)

    @property
    def wanted(self) -> Wanted:
        """What is asked now."""
        return self._given or self.agreed

    @property
    def moved_away(self) -> bool:
        """Whether that is not what the record asks."""
        return self.wanted != self.agreed

    @property
    def supported(self) -> Supported | None:
        """What the gear bears in the mesh that the tests support least."""
        life = self.life
        if life is None or not life.supported:
            return None
        return min(life.supported, key=_factor)

    @property
    def service(self) -> Service | None:
        """Its spectrum; None where the rating lacks something."""
        worst = self.supported
        return None if worst is None else worst.service

    @property
    def cycles(self) -> Array:
        """Where the curves are drawn: around the run-out life, to the cycles of the duty."""
        life, service = self.life, self.service
        assert life is not None
        return cycles_drawn(life.tests.run_out_cycles, service)

    def band(self, wanted: Wanted) -> CurveBand | None:
        """The curves that are argued over; None where nothing was fitted over several levels."""
        life = self.life
        if life is None or life.fit is None or life.draws is None or life.fit.curve is Curve.ONE_LEVEL:
            return None
        drawn = self._curves(life, wanted.scatter)
        return curve_band(
            drawn=drawn,
            cycles=self.cycles,
            reliability=wanted.reliability,
            confidence=wanted.confidence,
            transfer=wanted.transfer,
        )

    def _curves(self, life: FatigueLife, scatter: float) -> BandCurves:
        """The curves of all draws: they stay while neither fit, service nor scatter moves."""
        service = self.service or bare_service(life)
        key = (id(life.draws), scatter)
        known = self._drawn.get(key)
        if known is not None and known[0] is service:
            return known[1]
        assert life.fit is not None
        assert life.draws is not None
        found = band_curves(
            fit=life.fit,
            parameters=life.draws.parameters,
            weights=life.draws.weights,
            service=service,
            scatter=scatter,
        )
        while len(self._drawn) >= _KEPT:
            self._drawn.pop(next(iter(self._drawn)))
        self._drawn[key] = (service, found)
        return found


def _factor(one: Supported) -> float:
    factor = float(array(one.stress.factor))
    return factor if np.isfinite(factor) else 0.0
