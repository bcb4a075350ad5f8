"""What is to be said about a furnace cycle: carbides, ranges, low pressure."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from gearcheck.basics.methods import Level, Method, Notice, Range, Status
from gearcheck.basics.numbers import Array, array
from gearcheck.hardening.cycle import CarbonSteel, FluxBoost, GasStep, SaturatedBoost, Step, temperature_at
from gearcheck.hardening.diffusivity import DIFFUSIVITY

CARBURISING = Method(
    key="carburising.carbon_profile",
    title="Carbon over depth after a furnace cycle",
    source="Fick's second law with a diffusivity that grows with carbon",
    edition="",
    clause="finite volumes, implicit in time",
    status=Status.FROM_MEMORY,
    valid=(Range("transfer_m_s", "β", 0.8e-7, 4.5e-7, "m/s"),),
    implements=(
        "gas with a carbon potential and a transfer coefficient; low pressure by flux or at saturation",
        "sealed steps; ramps; flat, convex and concave surfaces; thin sections",
    ),
    leaves_out=(
        "carbides: carbon above saturation diffuses on as if it were dissolved",
        "edges: a tip corner takes carbon from two sides",
        "nitrogen, oxidation, the transfer coefficient's own dependence on the gas",
    ),
    departures=(
        "A flux at low pressure holds until the surface is saturated, from then on saturation does.",
        "The range of β is that of carburising gas, common practice: low pressure is no matter of a transfer "
        "coefficient.",
    ),
)


def furnace_notices(cycle: Sequence[Step], steel: CarbonSteel, surface_wt: Array) -> tuple[Notice, ...]:
    """Return what is to be said about a cycle and what came of it.

    Parameters
    ----------
    cycle : sequence of Step
        In the order of the furnace.
    steel : CarbonSteel
        The steel.
    surface_wt : ndarray
        Carbon of the surface after each step, steps on the last axis.

    Returns
    -------
    tuple of Notice
        Ranges of temperature and transfer, carbides by the gas and at the surface, low pressure.
    """
    ends = [temperature_at(step, share).ravel() for step in cycle for share in (0.0, 1.0)]
    found = list(DIFFUSIVITY.outside(temperature_C=np.concatenate(ends), carbon_wt=surface_wt))
    for number, step in enumerate(cycle):
        least = np.minimum(*(steel.saturation_wt(temperature_at(step, share)) for share in (0.0, 1.0)))
        after = steel.saturation_wt(temperature_at(step, 1.0))
        if isinstance(step, GasStep):
            beta = array(step.transfer_m_s)
            found += CARBURISING.outside(transfer_m_s=beta[np.isfinite(beta)])
            what = f"Step {number + 1}: a potential of {{:.3g}} % is above saturation, {{:.3g}} %: carbides."
            found += _above(array(step.carbon_potential_wt), least, "potential", what)
        if isinstance(step, SaturatedBoost | FluxBoost):
            text = (
                f"Step {number + 1} at low pressure is limited by flux or saturation, not by a transfer "
                "coefficient; a surface that stands at saturation grows carbides."
            )
            found.append(Notice(Level.NOTE, "carburising.carbon_profile.low_pressure", text))
        what = (
            f"After step {number + 1} the surface holds {{:.3g}} %, above saturation, {{:.3g}} %: carbides."
        )
        # what is held at saturation stands there to rounding
        found += _above(surface_wt[..., number], after + 1e-4, "surface", what)
    return tuple(found)


def _above(carbon: Array, most: Array, key: str, what: str) -> tuple[Notice, ...]:
    carbon, most = np.broadcast_arrays(carbon, most)
    wrong = carbon > most
    if not wrong.any():
        return ()
    text = what.format(carbon[wrong].flat[0], most[wrong].flat[0])
    return (Notice(Level.CAUTION, f"carburising.carbon_profile.{key}", text),)
