"""Hand sheet of scuffing and micropitting of a spur pair, in plain arithmetic and without the package.

Module 4, 20 to 40 teeth, 20°, no shift, 120 mm, 32 mm wide, ISO VG 220 mineral oil dipped at 70 °C, load
stage 12, 8000 N with a load factor of 1.4 at 1480 1/min, Rz 3 µm on both flanks. It follows Hertz, Blok,
ASTM D341 and, from memory, the texts of ISO/TS 6336-20, -21 and -22; means over the path are integrated
piece by piece.

Run it from the top of the repository: ``python tests/sheets/scuffing_pair.py`` prints each value.
"""

from itertools import pairwise
from math import cos, log10, pi, radians, sin, sqrt

from scipy.integrate import quad

ALPHA, N, FORCE, FACTOR, WIDTH = radians(20), 1480.0, 8000.0, 1.4, 32.0
R1, R2, RA1, RA2 = 40.0, 80.0, 44.0, 84.0
OMEGA = N * pi / 30
RA = 0.5
B_M = 13.795  # N/(mm √s K)
E_R = 206000 / (1 - 0.3**2)

RB1, RB2 = R1 * cos(ALPHA), R2 * cos(ALPHA)
LINE = (R1 + R2) * sin(ALPHA)
START = LINE - sqrt(RA2**2 - RB2**2)
END = sqrt(RA1**2 - RB1**2)
PITCH = 4 * pi * cos(ALPHA)
INNER, OUTER, MIDDLE = END - PITCH, START + PITCH, R1 * sin(ALPHA)


def viscosity(theta):
    """Return η in mPa·s at a temperature in °C."""
    first, last = (log10(log10(nu + 0.7)) for nu in (220, 19.4))
    line = first + (last - first) * log10((theta + 273.15) / 313.15) / log10(373.15 / 313.15)
    return (10 ** (10**line) - 0.7) * (890 - 0.7 * (theta + 273 - 289)) / 1000


def pressure_coefficient(theta):
    """Return α in m²/N at a temperature in °C."""
    return 2.657e-8 * (viscosity(38) / 1000) ** 0.1348 * (1 + 516 * (1 / (theta + 273) - 1 / 311))


def share(rho):
    """Return the share of the load where the pinion's radius of curvature is `rho`."""
    if rho < INNER:
        return (1 + (rho - START) / (INNER - START)) / 3
    return 1 if rho <= OUTER else (1 + (END - rho) / (END - OUTER)) / 3


FULL = FORCE * FACTOR / (WIDTH * cos(ALPHA))
RHO_C = R1 * R2 * sin(ALPHA) / (R1 + R2)
V_SUM = 2 * OMEGA * R1 * sin(ALPHA) / 1000
GROWN = (FULL / (V_SUM * RHO_C)) ** 0.2 * viscosity(70) ** -0.05
MU_FLASH = 0.060 * GROWN * RA**0.25
MU_MEAN = 0.045 * GROWN * 2.2 * (RA / RHO_C) ** 0.25


def contact(rho):
    """Return pressure in MPa, reduced radius in mm, and both speeds in mm/s."""
    reduced = rho * (LINE - rho) / LINE
    pressure = sqrt(FULL * share(rho) * E_R / (2 * pi * reduced))
    return pressure, reduced, OMEGA * rho, OMEGA / 2 * (LINE - rho)


def flash(rho, friction):
    """Return the flash temperature by the heat μ p v of a contact of the width 2 b."""
    pressure, reduced, first, second = contact(rho)
    half = 4 * pressure * reduced / E_R
    heat = friction * pi / 2 * half * pressure * abs(sqrt(first) - sqrt(second))
    return 1.11 * heat / (sqrt(2 * half) * B_M)


def mean_flash(friction):
    """Return the mean of the flash temperature over the path."""
    marks = (START, INNER, MIDDLE, OUTER, END)
    parts = (quad(flash, low, high, args=(friction,))[0] for low, high in pairwise(marks))
    return sum(parts) / (END - START)


def specific_film(rho, bulk):
    """Return the film over Ra."""
    pressure, reduced, first, second = contact(rho)
    hot = bulk + flash(rho, MU_MEAN)
    material = 1e6 * pressure_coefficient(bulk) * E_R
    speed = viscosity(bulk) / 1000 * (first + second) / 1000 / (2000 * E_R * reduced)
    load = 2 * pi * pressure**2 / E_R**2
    slid = pressure_coefficient(hot) * viscosity(hot) / (pressure_coefficient(bulk) * viscosity(bulk))
    return 1600 * reduced * material**0.6 * speed**0.7 * load**-0.13 * slid**0.22 / RA


def half_shared(rho):
    """Return the sliding over the speed along the path, the load in halves beside single contact."""
    slide = abs(OMEGA * rho - OMEGA / 2 * (LINE - rho)) / (OMEGA * RB1)
    return slide if INNER <= rho <= OUTER else slide / 2


def values():
    """Return every value of the sheet by name."""
    points = [START + (END - START) * step / 20000 for step in range(20001)]
    mean = mean_flash(MU_FLASH)
    bulk = 70 + 0.47 * mean
    highest = bulk + max(flash(rho, MU_FLASH) for rho in (*points, INNER, OUTER))
    whole = mean_flash(MU_MEAN)
    torque = 3.726 * 144
    integral, stood = 70 + (0.7 + 1.5) * whole, 80 + 0.23 * torque + 1.5 * 0.2 * torque * (100 / 220) ** 0.02
    marks = (START, INNER, MIDDLE, OUTER, END)
    loss = sum(quad(half_shared, low, high)[0] for low, high in pairwise(marks)) / PITCH
    power = FORCE * OMEGA * R1 / 1e6
    warm = 70 + 7400 * (power * MU_MEAN * loss / (120 * WIDTH)) ** 0.72 / 1.2
    return {
        "friction": MU_FLASH,
        "mean_flash": mean,
        "highest": highest,
        "S_B": (404 - 70) / (highest - 70),
        "friction_mean": MU_MEAN,
        "integral": integral,
        "S_int": stood / integral,
        "loss": loss,
        "bulk": warm,
        "least_film": min(specific_film(rho, warm) for rho in (*points, INNER, OUTER)),
    }


if __name__ == "__main__":
    for name, value in values().items():
        print(f"{name:14} {value:.6g}")
