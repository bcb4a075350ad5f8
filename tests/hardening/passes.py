"""One grinding pass that the tests change."""

from gearcheck.hardening.case_window import case_window
from gearcheck.hardening.grind_heat import grind_heat, grind_temperature
from gearcheck.hardening.grind_limit import GrindLever, pass_below_temperature
from gearcheck.hardening.grind_softening import grind_softening
from gearcheck.hardening.moving_band import HeatFlux
from gearcheck.hardening.stock import ground_case, tooth_stock

PASS = {
    "equivalent_diameter_mm": 200.0,
    "depth_of_cut_mm": 0.02,
    "work_speed_mm_s": 100.0,
    "specific_energy_J_mm3": 40.0,
    "partition": None,
    "flux": HeatFlux.UNIFORM,
    "conductivity_W_mK": 34.0,
    "diffusivity_mm2_s": 34 / (7800 * 530) * 1e6,
    "work_temperature_C": 20.0,
}
TEMPER = {"temper_temperature_C": 180.0, "temper_time_h": 2.0}


def heat_of(**changed):
    """The pass with some of its inputs changed."""
    return grind_heat(**{**PASS, **changed})


def examples():
    """Every result of grinding and stock, for the workings."""
    heat = heat_of(specific_energy_J_mm3=65.0)
    yield heat
    yield grind_temperature(heat=heat, depth_mm=[0.0, 0.1])
    yield grind_softening(
        heat=heat,
        depth_mm=[0.0, 0.1, 0.5],
        hardness_HV=[720.0, 715.0, 660.0],
        austenitising_temperature_C=727.0,
        **TEMPER,
    )
    yield pass_below_temperature(
        heat=heat, lever=GrindLever.DEPTH_OF_CUT, lowest=0.001, highest=0.05, permissible_C=300.0
    )
    yield tooth_stock(
        teeth=20,
        left_stock_mm=0.15,
        right_stock_mm=0.14,
        runout_mm=0.04,
        centring_mm=0.005,
        indexing_mm=0.01,
        pressure_angle_deg=20.0,
        base_helix_angle_deg=12.0,
    )
    yield ground_case(
        case_depth_mm=1.0,
        case_deviation_mm=0.03,
        stock_mm=[0.15, 0.12],
        runout_mm=0.04,
        centring_mm=0.005,
        distortion_mm=0.03,
        position_deviation_mm=0.01,
        etch_mm=(0.0025, 0.0127),
        superfinish_mm=(0.0, 0.002),
        required_mm=0.8,
        shares=[0.01, 0.99],
        shift_mm=[0.01, -0.01],
    )
    yield case_window(
        finished_min_mm=0.8,
        finished_max_mm=1.2,
        stock_min_mm=0.08,
        stock_max_mm=0.16,
        furnace_tolerance_mm=0.1,
        tip_limit_mm=1.5,
        tip_ratio=1.2,
        root_min_mm=0.6,
        root_ratio=0.75,
    )
