"""Hand sheet of two gear pairs by ANSI/AGMA 2101 and AGMA 908, in plain arithmetic and without the package.

It follows the texts from memory, with its own ways where the package has others: the fillet is traced point
by point while the rack rolls on the gear, and the critical section is the point of it where s²/h is smallest,
which is where the parabola from the load touches; stresses are worked out in inches and pounds, and turned
into metric numbers at the end. It covers 2101-D04 (K_v, stresses, allowable stress numbers, life)
and 908-B89 (I, J; conventional helical and spur).

Run it from the top of the repository: ``python tests/sheets/agma_pair.py`` prints one line for each value.
Both pairs are invented.
"""

from math import acos, asin, atan, cos, degrees, exp, floor, log, pi, radians, sin, sqrt, tan

INCH, PSI, POUND = 25.4, 0.006894757293168, 4.4482216152605
THINNING = 0.024

PAIRS = {
    "helical": {
        "normal_module_mm": 3.0,
        "teeth": (23, 71),
        "helix_angle_deg": 18.0,
        "centre_distance_mm": 149.5,
        "shifts": (0.25, 0.1711),
        "tips": (80.0, 230.8),
        "widths": (50.0, 50.0),
        "rack_dedendum": 1.4,
        "rack_root_radius": 0.3,
        "protuberance_mm": 0.0,
        "stock_min_mm": 0.0,
        "stock_max_mm": 0.0,
    },
    "spur": {
        "normal_module_mm": 4.0,
        "teeth": (20, 40),
        "helix_angle_deg": 0.0,
        "centre_distance_mm": 120.0,
        "shifts": (0.0, 0.0),
        "tips": (88.0, 168.0),
        "widths": (32.0, 32.0),
        "rack_dedendum": 1.4,
        "rack_root_radius": 0.35,
        "protuberance_mm": 0.2,
        "stock_min_mm": 0.12,
        "stock_max_mm": 0.18,
    },
}
LOAD = {
    "torque_Nm": 620.0,
    "speed_rpm": 1200.0,
    "overload_factor": 1.3,
    "accuracy_number": 8.0,
    "load_distribution_factor": 1.25,
}
CYCLES = (4.0e8, 1.3e8)
SIGMA_HP, SIGMA_FP = 1550.0, 450.0
E, NU = 206000.0, 0.3


def inv(angle):
    return tan(angle) - angle


def traced(teeth, shift, rack, edge, undercut, angle):
    """Points (half width, height) of the fillet, as the rack edge leaves them rolling past the gear."""
    r = teeth / 2
    deep = rack - edge - shift
    side = pi / 4 - rack * tan(angle) - edge * (1 - sin(angle)) / cos(angle) + undercut / cos(angle)
    for step in range(20000):
        # centre of the edge, x along the pitch line from the rolling point
        x, y = 3 * deep * step / 20000, -deep
        rolled = (side - x) / r
        reach = sqrt(x * x + y * y)
        x, y = x * (1 + edge / reach), y * (1 + edge / reach)
        # turned back by the rolling to the centre of the space, and half a pitch on to that of the tooth
        turn = rolled - pi / teeth
        px, py = x, y + r
        yield abs(px * cos(turn) + py * sin(turn)), -px * sin(turn) + py * cos(turn)


def bending(pair, own, reach_to_tip, shared):
    """J of one gear: Y/(K_f m_N) with the helix factors."""
    mate = 1 - own
    m, beta = pair["normal_module_mm"], radians(pair["helix_angle_deg"])
    alpha = radians(20)
    z, zm = (pair["teeth"][one] / cos(beta) ** 3 for one in (own, mate))
    x = pair["shifts"][own]
    rb, rbm = z / 2 * cos(alpha), zm / 2 * cos(alpha)
    tip, tipm = (
        virtual / 2 + (pair["tips"][one] / m - pair["teeth"][one] / cos(beta)) / 2
        for virtual, one in ((z, own), (zm, mate))
    )
    beta_b, alpha_wt = shared["beta_b"], shared["alpha_wt"]
    alpha_wn = asin(cos(beta_b) * sin(alpha_wt))
    if reach_to_tip:
        load = acos(rb / tip)
    else:
        load = atan(((rb + rbm) * tan(alpha_wn) - sqrt(tipm**2 - rbm**2) + pi * cos(alpha)) / rb)
    thick = pi / 2 + 2 * x * tan(alpha) - THINNING
    alpha_l = tan(load) - inv(alpha) - thick / z
    top = rb / cos(alpha_l)
    undercut = max(pair["protuberance_mm"] - pair["stock_min_mm"], 0) / m
    rack, edge = pair["rack_dedendum"], pair["rack_root_radius"]
    generated = x - THINNING / (2 * tan(alpha))
    points = traced(z, generated, rack, edge, undercut, alpha)
    half, height = min(
        ((w, y) for w, y in points if y < top and w > 0), key=lambda p: p[0] ** 2 / (top - p[1])
    )
    s, h = 2 * half, top - height
    deep = rack - edge - generated
    radius = edge + deep**2 / (z / 2 + deep)
    k_f = 0.331 - 0.436 * alpha
    k_f += (s / radius) ** (0.324 - 0.492 * alpha) * (s / h) ** (0.261 + 0.545 * alpha)
    omega = degrees(atan(tan(beta) * sin(alpha))) / 100
    c_h, k_psi = 1.0, 1.0
    if reach_to_tip:
        c_h = 1 / (1 - sqrt(omega * (1 - omega)))
        k_psi = cos(atan(tan(beta_b) / cos(alpha_wt))) * cos(beta)
    y = k_psi * cos(alpha_wn) / cos(alpha_l) / (6 * h / (s * s * c_h) - tan(alpha_l) / s)
    return y / (k_f * shared["m_N"])


def geometry(pair):
    """I of the pair, and what both gears share."""
    m, beta, a = pair["normal_module_mm"], radians(pair["helix_angle_deg"]), pair["centre_distance_mm"]
    alpha_t = atan(tan(radians(20)) / cos(beta))
    beta_b = asin(sin(beta) * cos(radians(20)))
    rb = [teeth * m / cos(beta) * cos(alpha_t) / 2 for teeth in pair["teeth"]]
    alpha_wt = acos((rb[0] + rb[1]) / a)
    reach = [sqrt((tip / 2) ** 2 - base**2) for tip, base in zip(pair["tips"], rb, strict=True)]
    pitch, width = pi * m / cos(beta) * cos(alpha_t), min(pair["widths"])
    line = a * sin(alpha_wt)
    m_p, m_f = (reach[0] + reach[1] - line) / pitch, width * sin(beta) / (pi * m)
    if m_f > 1:
        mean = (pair["tips"][0] / 2 + a - pair["tips"][1] / 2) / 2
        rho = sqrt(mean**2 - rb[0] ** 2)
        n_r, n_a = m_p - floor(m_p), m_f - floor(m_f)
        less = n_a * n_r if n_a <= 1 - n_r else (1 - n_a) * (1 - n_r)
        m_n = width * cos(beta_b) / (m_p * width - less * pi * m / sin(beta))
    else:
        rho, m_n = reach[0] - pitch, 1.0
    diameter = 2 * rb[0] / cos(alpha_wt)
    factor = cos(alpha_wt) / ((1 / rho + 1 / (line - rho)) * diameter * m_n)
    return {
        "Z_I": factor,
        "m_N": m_n,
        "d_w1": diameter,
        "beta_b": beta_b,
        "alpha_wt": alpha_wt,
        "m_t": m / cos(beta),
        "b": width,
        "helical": m_f > 1,
    }


def worked(name):
    """Every value of one pair that the check compares, by name."""
    pair = PAIRS[name]
    shared = geometry(pair)
    pounds = 2000 * LOAD["torque_Nm"] / shared["d_w1"] / POUND
    feet = pi * shared["d_w1"] / INCH * LOAD["speed_rpm"] / 12
    quality = 17 - LOAD["accuracy_number"]
    b_v = 0.25 * (12 - quality) ** 0.667
    c_v = 50 + 56 * (1 - b_v)
    k_v = ((c_v + sqrt(feet)) / c_v) ** b_v
    load = pounds * LOAD["overload_factor"] * k_v * LOAD["load_distribution_factor"]
    elastic = sqrt(E / PSI / (2 * pi * (1 - NU**2)))
    inches = shared["d_w1"] / INCH * shared["b"] / INCH
    contact = elastic * sqrt(load / (inches * shared["Z_I"])) * PSI
    found = {
        "Z_I": shared["Z_I"],
        "K_v": k_v,
        "sigma_H": contact,
        "Y_J": [],
        "sigma_F": [],
        "S_H": [],
        "S_F": [],
    }
    for own in (0, 1):
        j = bending(pair, own, shared["helical"], shared)
        stress = load * INCH / shared["m_t"] / (shared["b"] / INCH * j) * PSI
        z_n = exp(log(1.4488) - 0.023 * log(CYCLES[own]))
        y_n = exp(log(1.3558) - 0.0178 * log(CYCLES[own]))
        found["Y_J"].append(j)
        found["sigma_F"].append(stress)
        found["S_H"].append(SIGMA_HP * z_n / contact)
        found["S_F"].append(SIGMA_FP * y_n / stress)
    return found


if __name__ == "__main__":
    for name in PAIRS:
        for symbol, value in worked(name).items():
            numbers = value if isinstance(value, list) else [value]
            print(name, symbol, *(f"{number:.6g}" for number in numbers))
