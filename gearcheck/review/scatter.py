"""How far the case depth needed scatters over many gears; drawn at random, on request."""

from __future__ import annotations

import numpy as np

from gearcheck.hardening.band import CaseDepthBand, case_depth_band
from gearcheck.review.criterion import flank_under_load
from gearcheck.review.inputs import NO_CASE, NO_STEEL, NO_SUBSURFACE, Record
from gearcheck.review.results import MeshChain, stop_words
from gearcheck.review.spectrum import not_loaded

SAMPLES = 200
SHARES = (0.05, 0.5, 0.95)
SEED = 20
"""The same gear has the same band each time it is drawn."""
NO_SCATTER = "[gear.subsurface] hardness_scatter and load_scatter missing"


def no_band(record: Record, mesh: MeshChain) -> str:
    """Say why no band can be drawn in one mesh; empty where it can."""
    asked = record.subsurface
    if asked is None:
        return NO_SUBSURFACE
    if asked.hardness_scatter_HV is None or asked.load_scatter is None:
        return NO_SCATTER
    if record.gear.steel is None or record.gear.case is None:
        return NO_STEEL if record.gear.steel is None else NO_CASE
    if record.required is None or mesh.factors is None:
        return mesh.missing or "[required] missing"
    return stop_words(mesh.pair, mesh.factors, mesh.duty_factors) or not_loaded(record)


def depth_band(record: Record, mesh: MeshChain) -> CaseDepthBand:
    """Draw gears at random and solve the case depth of each by every criterion.

    Parameters
    ----------
    record : Record
        Without arrays; `no_band` finds nothing missing.
    mesh : MeshChain
        One of its meshes.

    Returns
    -------
    CaseDepthBand
        Quantiles, and the share of gears that need more case than the least drawn.
    """
    asked, case = record.subsurface, record.gear.case
    assert asked is not None
    assert case is not None
    least, most = float(case.least_stock_mm), float(case.largest_stock_mm)
    return case_depth_band(
        **flank_under_load(record, mesh, asked),
        surface_scatter_HV=asked.hardness_scatter_HV,
        core_scatter_HV=asked.hardness_scatter_HV,
        load_scatter=asked.load_scatter,
        stock_mm=(least + most) / 2,
        # spread evenly between its ends
        stock_scatter_mm=(most - least) / np.sqrt(12.0),
        drawn_mm=case.finished_min_mm,
        share=SHARES,
        samples=SAMPLES,
        generator=np.random.default_rng(SEED),
    )
