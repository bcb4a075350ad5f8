"""Curves whose parameters are given, so that what follows from them can be worked out by hand."""

import numpy as np

from gearcheck.duty.damage import BelowKnee
from gearcheck.fatigue.fit import FatigueFit
from gearcheck.fatigue.inputs import Curve, Distribution, FatigueData
from gearcheck.fatigue.model import model_of
from gearcheck.fatigue.service import Service


def known_fit(theta, curve=Curve.STRAIGHT, distribution=Distribution.LOGNORMAL, centre=500.0, **options):
    """A fit as if the tests had said so."""
    model = model_of(curve, distribution=distribution, centre=float(np.log(centre)), **options)
    data = FatigueData(stress_MPa=np.full(10, centre), cycles=np.full(10, 3e6), failed=np.full(10, True))
    return FatigueFit(
        curve=curve,
        distribution=distribution,
        model=model,
        data=data,
        parameters=np.array(theta, dtype=float),
        covariance=np.eye(len(theta)),
        converged=True,
        specimens=10,
        failures=10,
        count=len(theta),
        log_likelihood=0.0,
        akaike=0.0,
        steps=1,
        decrement=0.0,
    )


def line(slope, deviation, stress=500.0, cycles=3e6):
    """A straight line through a stress at a life."""
    return known_fit([np.log(cycles), -slope, np.log(deviation)], centre=stress)


def service(stress, cycles, below_knee=BelowKnee.SAME_SLOPE, run_out_cycles=3e6, **options):
    """A spectrum."""
    return Service(
        stress_MPa=np.array(stress, dtype=float),
        cycles=np.array(cycles, dtype=float),
        below_knee=below_knee,
        run_out_cycles=run_out_cycles,
        **options,
    )
