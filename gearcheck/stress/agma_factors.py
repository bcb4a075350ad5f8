"""Factors on the stresses and limits of ANSI/AGMA 2101 that need no geometry of the teeth."""

from __future__ import annotations

import numpy as np

from gearcheck.basics.errors import Faults
from gearcheck.basics.numbers import Array, Number, array
from gearcheck.basics.tables import table
from gearcheck.stress.agma_inputs import AgmaHardening, AgmaService, ReliabilityFit
from gearcheck.stress.inputs import DynamicAccuracyNumber
from gearcheck.stress.numbers import checked_above_zero

MILLIMETRES_PER_INCH = 25.4


def accuracy_number(
    *, pitch_tolerance_um: Number, normal_module_mm: Number, reference_diameter_mm: Number
) -> Array:
    """Return the accuracy number A_v, a whole number, from the single pitch tolerance of the wheel or pinion.

    A_v = ln(f_pt/f_pt5)/0.3466 + 5, the next whole number; f_pt5 = 0.3 m_n + 0.003 d + 5.2 up to 400 mm,
    0.3 m_n + 0.12 √d + 4 above

    Parameters
    ----------
    pitch_tolerance_um : float or array
        f_pt in µm; the larger number of both gears counts.
    normal_module_mm, reference_diameter_mm : float or array
        m_n and d in mm.

    Returns
    -------
    array
        A_v; near the tolerance class of ISO 1328-1. It runs against the older quality number: A_v = 17 - Q_v.
    """
    checked_above_zero(
        pitch_tolerance_um=pitch_tolerance_um,
        normal_module_mm=normal_module_mm,
        reference_diameter_mm=reference_diameter_mm,
    )
    number, d = table("agma2101").value, array(reference_diameter_mm)
    small = number("A_v, factor of a small diameter") * d + number("A_v, constant of a small diameter")
    large = number("A_v, factor of the diameter") * np.sqrt(d) + number("A_v, constant")
    part = np.where(d <= number("A_v, small diameter"), small, large)
    fifth = number("A_v, factor of the module") * array(normal_module_mm) + part
    exact = np.log(array(pitch_tolerance_um) / fifth) / number("A_v, logarithm of one class")
    whole: Array = np.ceil(exact + number("A_v, class of the formula") - 1e-9)
    return whole


def counted_accuracy_number(*, accuracy_number: Number, reading: DynamicAccuracyNumber) -> Array:
    """Return the accuracy number that the dynamic factor counts.

    Parameters
    ----------
    accuracy_number : float or array
        A_v.
    reading : DynamicAccuracyNumber
        Not below 6, or as is.

    Returns
    -------
    array
        A_v, not below 5, where B is 0 and K_v is 1.
    """
    least = (
        6.0
        if reading is DynamicAccuracyNumber.NOT_BELOW_6
        else table("agma2101").value("K_v, best accuracy number")
    )
    return np.maximum(array(accuracy_number), least)


def dynamic_constants(*, accuracy_number: Number) -> tuple[Array, Array]:
    """Return B and C of the dynamic factor, constants of the inch text.

    B = 0.25 (A_v - 5)^0.667, C = 50 + 56 (1 - B)

    Parameters
    ----------
    accuracy_number : float or array
        A_v, 5 or more.

    Returns
    -------
    B, C : tuple of array
        Without unit, and in the root of ft/min.
    """
    number = table("agma2101").value
    above = array(accuracy_number) - number("K_v, best accuracy number")
    B = number("K_v, factor of B") * above ** number("K_v, exponent of B")
    return B, number("K_v, C") + number("K_v, C per B") * (1 - B)


def dynamic_factor(*, accuracy_number: Number, pitch_line_velocity_m_s: Number) -> Array:
    """Return the dynamic factor K_v, 1 or more.

    K_v = ((C + √(196.85 v_t))/C)^B

    Parameters
    ----------
    accuracy_number : float or array
        A_v as counted.
    pitch_line_velocity_m_s : float or array
        v_t at the operating pitch circle in m/s.

    Returns
    -------
    array
        K_v.
    """
    B, C = dynamic_constants(accuracy_number=accuracy_number)
    feet = table("agma2101").value("K_v, ft/min per m/s") * array(pitch_line_velocity_m_s)
    factor: Array = ((C + np.sqrt(feet)) / C) ** B
    return factor


def highest_velocity_m_s(*, accuracy_number: Number) -> Array:
    """Return the highest pitch line velocity at which the curves of K_v hold.

    v_t,max = (C + 14 - A_v)²/196.85

    Parameters
    ----------
    accuracy_number : float or array
        A_v as counted.

    Returns
    -------
    array
        In m/s.
    """
    number = table("agma2101").value
    _, C = dynamic_constants(accuracy_number=accuracy_number)
    top = C + number("K_v, accuracy number of the highest velocity") - array(accuracy_number)
    return array(top**2 / number("K_v, ft/min per m/s"))


def rim_factor(*, rim_thickness_mm: Number, whole_depth_mm: Number) -> Array:
    """Return the rim thickness factor K_B, 1 of a solid body.

    K_B = 1.6 ln(2.242 h_t/t_R) below t_R = 1.2 h_t

    Parameters
    ----------
    rim_thickness_mm : float, array or None
        t_R below the root; None for a solid body.
    whole_depth_mm : float or array
        h_t in mm.

    Returns
    -------
    array
        K_B, 1 or more.
    """
    if rim_thickness_mm is None:
        return np.ones(np.shape(whole_depth_mm))
    number = table("agma2101").value
    ratio = array(rim_thickness_mm) / array(whole_depth_mm)
    thin = number("K_B, factor") * np.log(number("K_B, ratio") / ratio)
    factor: Array = np.where(ratio < number("K_B, least rim without loss"), np.maximum(thin, 1.0), 1.0)
    return factor


def reliability_factor(*, reliability: Number, fit: ReliabilityFit) -> Array:
    """Return the reliability factor Y_Z.

    Parameters
    ----------
    reliability : float or array
        Share of gears that survive, 0.9 to 0.9999.
    fit : ReliabilityFit
        Table (over the logarithm of the failures between its rows), or 0.658 - 0.0759 ln(1 - R) below 0.99
        and 0.50 - 0.109 ln(1 - R) from there, which is lower by 2 % at 0.90.

    Returns
    -------
    array
        Y_Z; it divides the allowable stress.

    Raises
    ------
    InputError
        A reliability outside 0.9 to 0.9999.
    """
    R, faults = array(reliability), Faults()
    rows = table("agma2101_reliability")
    least, most = rows.column("reliability")[[0, -1]]
    faults.need(
        bool(np.all((least <= R) & (most >= R))), "reliability", reliability, "a number from 0.9 to 0.9999"
    )
    faults.check()
    failures = np.log(1 - R)
    if fit is ReliabilityFit.TABLE:
        known = np.log(1 - rows.column("reliability"))
        found: Array = np.interp(-failures, -known, rows.column("factor"))
        return found
    number = table("agma2101").value
    low, high = (
        number(f"Y_Z, constant {part} 0.99") + number(f"Y_Z, slope {part} 0.99") * failures
        for part in ("to", "from")
    )
    return np.where(R < 0.99, low, high)


def pitting_cycle_factor(*, load_cycles: Number, service: AgmaService) -> Array:
    """Return the stress cycle factor Z_N; the knee lies at 1e7 cycles.

    Parameters
    ----------
    load_cycles : float or array
        n_L.
    service : AgmaService
        Beyond the knee 1.4488 n_L^-0.023 in general, on along 2.466 n_L^-0.056 in critical service.

    Returns
    -------
    array
        Z_N; constant below 1e4 cycles.
    """
    number = table("agma2101").value
    cycles = np.maximum(array(load_cycles), number("Z_N, least cycles"))
    steep = number("Z_N, factor") * cycles ** -number("Z_N, exponent")
    if service is AgmaService.CRITICAL:
        return array(steep)
    flat = number("Z_N, long life, factor") * cycles ** -number("Z_N, long life, exponent")
    return np.maximum(steep, flat)


def bending_cycle_factor(
    *, load_cycles: Number, hardening: AgmaHardening, hardness_HB: Number, service: AgmaService
) -> Array:
    """Return the stress cycle factor Y_N; the knee lies at 3e6 cycles.

    Parameters
    ----------
    load_cycles : float or array
        n_L.
    hardening : AgmaHardening
        Of this gear.
    hardness_HB : float, array or None
        Of a through-hardened gear.
    service : AgmaService
        Beyond the knee 1.3558 n_L^-0.0178 in general, 1.6831 n_L^-0.0323 in critical service.

    Returns
    -------
    array
        Y_N; constant below 1e3 cycles.
    """
    number = table("agma2101").value
    cycles = np.maximum(array(load_cycles), number("Y_N, least cycles"))
    if hardening is AgmaHardening.CARBURISED:
        a, b = array(number("Y_N, carburised, factor")), array(number("Y_N, carburised, exponent"))
    else:
        rows = table("agma2101_cycle_factor")
        known, HB = rows.column("hardness_HB"), array(hardness_HB)
        a = np.exp(np.interp(HB, known, np.log(rows.column("factor"))))
        b = np.asarray(np.interp(HB, known, rows.column("exponent")))
    flat = number(f"Y_N, {service}, factor") * cycles ** -number(f"Y_N, {service}, exponent")
    return np.maximum(a * cycles**-b, flat)


def textbook_size_factor(*, face_width_mm: Number, module_mm: Number, lewis_factor: Number) -> Array:
    """Return the size factor that textbooks derive; the standard takes 1 for most gears.

    K_s = 1.192 (F √Y/P_d)^0.0535 with F and 1/P_d in inches, not below 1

    Parameters
    ----------
    face_width_mm, module_mm : float or array
        b and the transverse module in mm.
    lewis_factor : float or array
        Lewis form factor Y.

    Returns
    -------
    array
        K_s.
    """
    checked_above_zero(face_width_mm=face_width_mm, module_mm=module_mm, lewis_factor=lewis_factor)
    number = table("agma2101").value
    area = array(face_width_mm) * array(module_mm) / MILLIMETRES_PER_INCH**2
    factor = number("K_s, factor") * (area * np.sqrt(array(lewis_factor))) ** number("K_s, exponent")
    return np.maximum(factor, 1.0)
