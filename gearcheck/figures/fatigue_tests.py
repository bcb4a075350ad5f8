"""The stress-cycle chart of a record: its specimens, its curve as it is agreed, and the duty of the gear."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import Array, array
from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.curve_band import CurveBand, band_curves, curve_band
from gearcheck.fatigue.inputs import Curve
from gearcheck.fatigue.service import Service
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.fatigue_curve import CurveLine, DutyMark, Mark, SpecimenMarks, Weight, curve_drawing
from gearcheck.review.fatigue import FatigueLife

_DECADES = (4.0, 1.5)  # before and beyond the run-out life
_POINTS = 31
_FURTHEST = 1e12


def tests_drawing(life: FatigueLife, reliability: float) -> Drawing | None:
    """Draw the tests of one place with what they support, as the record asks.

    Parameters
    ----------
    life : FatigueLife
        The tests.
    reliability : float
        That of the record.

    Returns
    -------
    Drawing or None
        None where the tests have no stress.
    """
    if life.levels is None or life.stress.stress_MPa is None:
        return None
    service = least_supported(life)
    cycles = cycles_drawn(life.tests.run_out_cycles, service)
    lines: list[CurveLine] = []
    if life.fit is not None and life.draws is not None and life.fit.curve is not Curve.ONE_LEVEL:
        curves = band_curves(
            fit=life.fit,
            parameters=life.draws.parameters,
            weights=life.draws.weights,
            service=service or bare_service(life),
        )
        confidence = life.tests.confidence
        band = curve_band(drawn=curves, cycles=cycles, reliability=reliability, confidence=confidence)
        lines += band_lines(band, reliability, confidence, gear=service is not None)
    return curve_drawing(
        specimen_marks(life),
        lines,
        run_out_cycles=life.tests.run_out_cycles,
        duty=duty_marks(service),
        to_cycles=float(cycles[-1]),
    )


def least_supported(life: FatigueLife) -> Service | None:
    """Return what the gear bears in the mesh that the tests support least; None where it is not known."""
    if not life.supported:
        return None

    def factor(one: float) -> float:
        return one if np.isfinite(one) else 0.0

    return min(life.supported, key=lambda one: factor(float(array(one.stress.factor)))).service


def cycles_drawn(run_out_cycles: float, service: Service | None) -> Array:
    """Return where the curves are drawn: around the run-out life, to the cycles of the duty."""
    low, high = run_out_cycles / 10.0 ** _DECADES[0], run_out_cycles * 10.0 ** _DECADES[1]
    if service is not None:
        high = min(max(high, float(array(service.cycles).max())), _FURTHEST)
    return np.union1d(np.geomspace(low * 1.001, high, _POINTS), run_out_cycles)


def bare_service(life: FatigueLife) -> Service:
    """Return that of the specimens alone, where it is not known what the gear bears."""
    one = np.ones(1)
    return Service(
        stress_MPa=one,
        cycles=one,
        below_knee=BelowKnee.LONG_LIFE,
        run_out_cycles=life.tests.run_out_cycles,
    )


def percent(share: float) -> str:
    """Return a share as it is spoken of: 99 %, 99.9999 %."""
    return f"{100 * share:.7g}\u00a0%"


def specimen_marks(life: FatigueLife) -> SpecimenMarks:
    """Return every test of the file with what became of it."""
    table, tests = life.tests.table, life.tests
    assert life.stress.stress_MPa is not None
    out = {one.specimen for one in tests.excluded}
    marks = []
    for name, failed, mode, again in zip(
        table.specimen, table.failed, table.mode, table.retest_of, strict=True
    ):
        counts = bool(failed) and (not tests.mode or mode in (tests.mode, ""))
        mark = Mark.FAILED if counts else Mark.RAN_OUT
        marks.append(Mark.LEFT_OUT if name in out else Mark.AGAIN if again else mark)
    return SpecimenMarks(
        stress_MPa=life.stress.stress_MPa, cycles=table.cycles, marks=tuple(marks), names=table.specimen
    )


def band_lines(band: CurveBand, reliability: float, confidence: float, *, gear: bool) -> Iterator[CurveLine]:
    """Yield the curves that are argued over, with their names."""
    survive, sure = percent(reliability), percent(confidence)
    lines = [
        ("median", band.median_MPa, Weight.SPECIMENS),
        (f"{survive} survive", band.reliable_MPa, Weight.SPECIMENS),
        (f"{survive}, with {sure} confidence", band.low_MPa, Weight.BOUND),
    ]
    if gear:
        lines.append((f"the gear: {survive}, with {sure} confidence", band.gear_MPa, Weight.GEAR))
    for label, stress, weight in lines:
        yield CurveLine(label=label, cycles=array(band.cycles), stress_MPa=array(stress), weight=weight)


def duty_marks(service: Service | None) -> list[DutyMark]:
    """Return the stresses of a service, none where it is not known."""
    if service is None:
        return []
    each = zip(array(service.stress_MPa).ravel(), array(service.cycles).ravel(), strict=True)
    return [
        DutyMark(
            stress_MPa=float(stress),
            label=f"duty {stress:.0f} MPa, {number_text(float(cycles), 2)} cycles",
        )
        for stress, cycles in each
        if cycles > 0
    ]
