"""The case depth by each criterion, side by side with the figures of the standards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np

from gearcheck.basics.methods import Method
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.results import Result, term
from gearcheck.hardening.criteria import CRITERIA, Criterion
from gearcheck.hardening.fatigue_depth import CriterionDepth, loaded_flank, solved_depth
from gearcheck.hardening.figures import CaseDepthFigures, figure_beside
from gearcheck.hardening.inputs import DepthRule
from gearcheck.hardening.required import RequiredCaseDepth, required_case_depth
from gearcheck.hardening.residual import ResidualStress

SIDE_BY_SIDE = (Criterion.YIELDING, Criterion.SHEAR_AMPLITUDE, Criterion.DANG_VAN)
"""The three pairs; the bound with inclusions stands beside the second."""

_FATIGUE = (Criterion.SHEAR_AMPLITUDE, Criterion.INCLUSIONS, Criterion.DANG_VAN)
_CHANGE = "Change of that depth when its constant is 1 % larger"


@dataclass(frozen=True, kw_only=True)
class CaseDepths(Result):
    """Least case depth at 550 HV on the finished flank by every criterion and figure."""

    method: ClassVar[Method] = CRITERIA
    yielding_mm: Number = term("Least case depth by yielding", "CHD_Y", "mm", words="solved along the path")
    amplitude_mm: Number = term(
        "Least case depth by the amplitude of orthogonal shear", "CHD_A", "mm", words="solved along the path"
    )
    inclusions_mm: Number = term("The same with inclusions", "CHD_I", "mm", words="solved along the path")
    dang_van_mm: Number = term("Least case depth by Dang Van", "CHD_D", "mm", words="solved along the path")
    yielding_change_mm: Number = term(f"{_CHANGE}: yielding", "Δ_Y", "mm", words="slope of the solution")
    amplitude_change_mm: Number = term(f"{_CHANGE}: amplitude", "Δ_A", "mm", words="slope of the solution")
    inclusions_change_mm: Number = term(f"{_CHANGE}: inclusions", "Δ_I", "mm", words="slope of the solution")
    dang_van_change_mm: Number = term(f"{_CHANGE}: Dang Van", "Δ_D", "mm", words="slope of the solution")
    crushing_mm: Number = term("Least case depth against case crushing, ISO 6336-5", "CHD_c", "mm")
    shear_mm: Number = term("Least case depth by shear, AGMA 2101-D04", "h_e", "mm")
    normal_mm: Number = term("Least case depth, normal curve, AGMA 2101-D04", "h_en", "mm")
    heavy_mm: Number = term("Least case depth, heavy curve, AGMA 2101-D04", "h_eh", "mm")
    least_mm: Number = term("Least of the three pairs", "CHD_1", "mm", "min(CHD_Y, CHD_A, CHD_D)")
    largest_mm: Number = term("Largest of the three pairs", "CHD_2", "mm", "max(CHD_Y, CHD_A, CHD_D)")
    yielding: RequiredCaseDepth
    fatigue: dict[Criterion, CriterionDepth]

    def depth_mm(self, criterion: Criterion) -> Array:
        """Return the solved depth by one criterion in mm; NaN where there is none."""
        if criterion is Criterion.YIELDING:
            return array(self.yielding_mm)
        return array(self.fatigue[criterion].depth_mm)

    def why(self, sample: int = 0) -> str:
        """Say in at most three sentences why the depths of one sample differ."""
        depths = {name: float(self.depth_mm(name).flat[sample]) for name in SIDE_BY_SIDE}
        solved = {name: depth for name, depth in depths.items() if depth == depth}
        without = [str(name) for name in depths if name not in solved]
        figures = [array(value).flat[min(sample, array(value).size - 1)] for value in self._figures()]
        sentences = [_spread(solved)] if len(solved) > 1 else []
        if without:
            sentences.append(f"By {' and by '.join(without)} no case depth suffices.")
        sentences.append(
            f"The figures of the standards, {min(figures):.2f} to {max(figures):.2f} mm, hold no stress at a "
            "depth against the strength there: they keep a distance from damage that they do not name."
        )
        return " ".join(sentences)

    def _figures(self) -> tuple[Number, ...]:
        return self.crushing_mm, self.shear_mm, self.normal_mm, self.heavy_mm


def _spread(solved: dict[Criterion, float]) -> str:
    low, high = min(solved, key=lambda name: solved[name]), max(solved, key=lambda name: solved[name])
    return (
        f"The criteria ask for {solved[low]:.2f} mm ({low}) to {solved[high]:.2f} mm ({high}): each holds "
        "a stress of its own against a strength of its own."
    )


def case_depths(
    *,
    half_width_mm: Number,
    pressure_MPa: Number,
    friction: Number,
    surface_hardness_HV: Number,
    core_hardness_HV: Number,
    safety: Number,
    inclusion_root_area_um: Number,
    residual_model: ResidualStress,
    figures: CaseDepthFigures,
    rule: DepthRule,
    half_thickness_mm: Number = None,
) -> CaseDepths:
    """Return the least case depth by each of the criteria, with the figures of the standards beside.

    Each the smallest CHD at 550 HV whose exposure stays at 1 or less at every depth and point of the path

    Parameters
    ----------
    half_width_mm, pressure_MPa, friction : float or array
        b_H in mm, p_0 in MPa and μ along the path, shape (samples, points).
    surface_hardness_HV, core_hardness_HV, safety : float or array
        HV_s, HV_c of the finished flank and S, shape (samples).
    inclusion_root_area_um : float or array
        √area of the largest inclusion to reckon with, µm, shape (samples).
    residual_model : ResidualStress
        Which residual stress is added; it counts for Dang Van alone.
    figures : CaseDepthFigures
        What the standards ask for.
    rule : CaseDepthRule or Criterion
        What governs; a solved depth below its figure, or that of ISO where a criterion governs, is a caution.
    half_thickness_mm : float or array, optional
        Half the tooth thickness at that place, mm; needed where the residual stress is balanced.

    Returns
    -------
    CaseDepths
        All depths in mm, shape (samples); a stop notice and no value where no case depth suffices.

    Raises
    ------
    InputError
        A half-width or pressure below 0, an inclusion of 0 µm, or a balance without a thickness.

    Notes
    -----
    Source: the methods of each criterion; all constants from memory.
    Valid for: S of 0 or more, μ up to 0.5.
    Departures: ISO/TS 6336-4 is not built. Yielding leaves friction and residual stress out, as its constant
    does.
    Checked: DEPTHS-SIDE.

    Examples
    --------
    >>> from gearcheck.gear.inputs import Tooth
    >>> from gearcheck.gear.pair import pair_geometry
    >>> from gearcheck.hardening.figures import case_depth_figures
    >>> from gearcheck.hardening.inputs import CaseDepthRule
    >>> from gearcheck.materials.inputs import Quality
    >>> gear = dict(face_width_mm=32, profile_shift=0.0, rack_dedendum=1.4, rack_root_radius=0.35,
    ...     protuberance_mm=0.0, stock_min_mm=0.0, stock_max_mm=0.0)
    >>> pair = pair_geometry(normal_module_mm=4, pressure_angle_deg=20, helix_angle_deg=0,
    ...     centre_distance_mm=120, pinion=Tooth(teeth=20, tip_diameter_mm=88, **gear),
    ...     wheel=Tooth(teeth=40, tip_diameter_mm=168, **gear))
    >>> figures = case_depth_figures(pair=pair, gear=pair.pinion, flank_stress_MPa=1400, quality=Quality.MQ)
    >>> depths = case_depths(half_width_mm=[0.3], pressure_MPa=[1500], friction=[0.05],
    ...     surface_hardness_HV=700, core_hardness_HV=350, safety=1.2, inclusion_root_area_um=30,
    ...     residual_model=ResidualStress.LANG, figures=figures, rule=CaseDepthRule.ISO_6336_5)
    >>> [round(depth, 2) for depth in (depths.yielding_mm, depths.amplitude_mm, depths.crushing_mm)]
    [0.42, 0.18, 0.39]
    """
    along = {"half_width_mm": half_width_mm, "pressure_MPa": pressure_MPa}
    steel = {
        "surface_hardness_HV": surface_hardness_HV,
        "core_hardness_HV": core_hardness_HV,
        "safety": safety,
    }
    standard = figure_beside(figures, rule)
    yielding = required_case_depth(**along, **steel, standard_depth_mm=standard)
    below = loaded_flank(
        **along,
        **steel,
        friction=friction,
        inclusion_root_area_um=inclusion_root_area_um,
        residual_model=residual_model,
        half_thickness_mm=half_thickness_mm,
    )
    fatigue = {name: solved_depth(name, below, standard) for name in _FATIGUE}
    three = (yielding.depth_mm, *(fatigue[name].depth_mm for name in SIDE_BY_SIDE[1:]))
    return CaseDepths(
        **_by_name(yielding, fatigue),
        crushing_mm=figures.crushing_mm,
        shear_mm=figures.shear_mm,
        normal_mm=figures.normal_mm,
        heavy_mm=figures.heavy_mm,
        least_mm=np.minimum.reduce([array(depth) for depth in three]),
        largest_mm=np.maximum.reduce([array(depth) for depth in three]),
        yielding=yielding,
        fatigue=fatigue,
        notices=tuple(
            dict.fromkeys(notice for found in (yielding, *fatigue.values()) for notice in found.notices)
        ),
    )


def _by_name(yielding: RequiredCaseDepth, fatigue: dict[Criterion, CriterionDepth]) -> dict[str, Number]:
    found: dict[str, RequiredCaseDepth | CriterionDepth] = {
        "yielding": yielding,
        "amplitude": fatigue[Criterion.SHEAR_AMPLITUDE],
        "inclusions": fatigue[Criterion.INCLUSIONS],
        "dang_van": fatigue[Criterion.DANG_VAN],
    }
    depths = {f"{name}_mm": item.depth_mm for name, item in found.items()}
    return {**depths, **{f"{name}_change_mm": item.change_per_percent_mm for name, item in found.items()}}
