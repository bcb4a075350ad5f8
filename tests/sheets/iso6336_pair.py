"""Hand sheet of a gear pair by ISO 6336, in plain arithmetic and without the package.

It follows the text line by line, from memory, with its own ways where the package has others: Z_B and Z_D
by the radii of curvature, θ by bisection, roots and logarithms of single numbers. It covers

* ISO 6336-1:2019, method B: clause 6 (K_V, subcritical), 7 (K_Fβ from K_Hβ), 8 (K_Hα, K_Fα), 9 (stiffness);
* ISO 6336-2:2019, method B: clauses 5 to 9 (Z_H, Z_E, Z_ε, Z_β, Z_B, Z_D with f_ZCa), 10 to 14 (limit);
* ISO 6336-3:2019, method B: clauses 5 to 9 (Y_F, Y_S, Y_β), 10 to 14 (limit);
* ISO 6336-5:2016: case-carburised, MQ; ISO 1328-1:2013: tolerances where no deviation is given.

Run it from the top of the repository: ``python tests/sheets/iso6336_pair.py`` prints one line for each value.
Each gear is of 20°, case-carburised and ground; all pairs are invented.
"""

from math import acos, asin, atan, cos, degrees, log, pi, radians, sin, sqrt, tan

INCH = 25.4
ALPHA_N = radians(20)
E, NU, DENSITY = 206000.0, 0.3, 7.83e-6
SIGMA_HLIM = 1500.0

PAIRS = {
    "helical": {
        "toothing": {
            "normal_module_mm": 4.0, "teeth": (20, 40), "helix_angle_deg": 12.0, "centre_distance_mm": 124.0,
            "shifts": (0.2, 0.12), "tips": (91.4, 172.0), "widths": (32.0, 32.0), "rack_dedendum": 1.4,
            "rack_root_radius": 0.35, "protuberance_mm": 0.2, "stock_min_mm": 0.12, "stock_max_mm": 0.18,
        },
        "load": {
            "torque_Nm": 500.0, "speed_rpm": 1480.0, "application_factor": 1.25, "mesh_load_factor": 1.0,
            "face_load_factor": 1.15, "tolerance_class": 5, "tip_relief_um": 0.0,
            "base_pitch_deviation_um": 7.0, "profile_form_deviation_um": 6.0,
        },
        "surface": {"viscosity_40C_mm2_s": 220.0, "flank_roughness_um": 3.0, "root_roughness_um": 10.0},
        "core_hardness_HV": (320.0, 320.0),
    },
    "inch": {
        "toothing": {
            "normal_module_mm": INCH / 5, "teeth": (17, 58), "helix_angle_deg": 15.0,
            "centre_distance_mm": 7.85 * INCH, "shifts": (0.4, 0.007), "tips": (4.073 * INCH, 12.405 * INCH),
            "widths": (2.1 * INCH, 2.0 * INCH), "rack_dedendum": 1.45, "rack_root_radius": 0.3,
            "protuberance_mm": 0.0065 * INCH, "stock_min_mm": 0.004 * INCH, "stock_max_mm": 0.006 * INCH,
        },
        "load": {
            "torque_Nm": 620 * 1.3558179483, "speed_rpm": 310.0, "application_factor": 1.5,
            "mesh_load_factor": 1.0, "face_load_factor": 1.25, "tolerance_class": 7, "tip_relief_um": 30.48,
        },
        "surface": {"viscosity_40C_mm2_s": 150.0, "flank_roughness_um": 3.0, "root_roughness_um": 16.0},
        "core_hardness_HV": (302.0, 286.0),
    },
    "large": {
        "toothing": {
            "normal_module_mm": 10.0, "teeth": (19, 67), "helix_angle_deg": 8.0, "centre_distance_mm": 437.0,
            "shifts": (0.4, -0.148), "tips": (219.7, 693.4), "widths": (180.0, 190.0), "rack_dedendum": 1.45,
            "rack_root_radius": 0.3, "protuberance_mm": 0.27, "stock_min_mm": 0.15, "stock_max_mm": 0.25,
        },
        "load": {
            "torque_Nm": 15200.0, "speed_rpm": 24.0, "application_factor": 1.5, "mesh_load_factor": 1.1,
            "face_load_factor": 1.25, "tolerance_class": 6, "tip_relief_um": 60.0,
        },
        "surface": {"viscosity_40C_mm2_s": 460.0, "flank_roughness_um": 4.0, "root_roughness_um": 16.0},
        "core_hardness_HV": (336.0, 318.0),
    },
}  # fmt: skip


def geometry(m, z, beta_deg, a, tips, widths):
    """Transverse angles, diameters, contact ratios."""
    beta = radians(beta_deg)
    g = {
        "beta": beta,
        "m": m,
        "z": z,
        "a": a,
        "da": tips,
        "widths": widths,
        "b": min(widths),
        "u": z[1] / z[0],
    }
    g["at"] = atan(tan(ALPHA_N) / cos(beta))
    g["bb"] = asin(sin(beta) * cos(ALPHA_N))
    g["d"] = [one * m / cos(beta) for one in z]
    g["db"] = [d * cos(g["at"]) for d in g["d"]]
    g["awt"] = acos(sum(g["db"]) / 2 / a)
    g["pet"] = pi * m / cos(beta) * cos(g["at"])
    g["end"] = [sqrt(da**2 - db**2) / 2 for da, db in zip(tips, g["db"], strict=True)]
    g["ea"] = (sum(g["end"]) - a * sin(g["awt"])) / g["pet"]
    g["eb"] = g["b"] * sin(beta) / pi / m
    g["eg"] = g["ea"] + g["eb"]
    g["whole"] = min(g["eb"], 1)
    g["Z_e"] = sqrt((4 - g["ea"]) / 3 * (1 - g["whole"]) + g["whole"] / g["ea"])
    return g


def deviations(g, load):
    """f_pb and f_fα: given, or the tolerances of the class by ISO 1328-1:2013."""
    step = sqrt(2) ** (load["tolerance_class"] - 5)
    f_p = max(0.001 * d + 0.4 * g["m"] + 5 for d in g["d"]) * step
    f_f = (0.55 * g["m"] + 5) * step
    given = load.get("base_pitch_deviation_um"), load.get("profile_form_deviation_um")
    return (f_p * cos(g["at"]) if given[0] is None else given[0]), (f_f if given[1] is None else given[1])


def stiffness(g, x, rack, w):
    """ISO 6336-1, clause 9: c' and c_γα."""
    z1, z2 = (z / cos(g["beta"]) ** 3 for z in g["z"])
    x1, x2 = x
    q = 0.04723 + 0.15551 / z1 + 0.25791 / z2 - 0.00635 * x1 - 0.11654 * x1 / z1
    q += -0.00193 * x2 - 0.24188 * x2 / z2 + 0.00529 * x1**2 + 0.00182 * x2**2
    c = 1 / q * 0.8 * (1 + 0.5 * (1.2 - rack)) * cos(g["beta"]) * min(w / 100, 1) ** 0.25
    return c, c * (0.75 * g["ea"] + 0.25)


def load_factors(g, x, rack, load):
    """ISO 6336-1, clauses 6 to 9."""
    K_A, K_g, K_Hb = (load[name] for name in ("application_factor", "mesh_load_factor", "face_load_factor"))
    F_t = 2000 * load["torque_Nm"] / g["d"][0]
    w = F_t * K_A * K_g / g["b"]
    f_pb, f_f = deviations(g, load)
    f_pb, f_f = f_pb - min(0.075 * f_pb, 3), f_f - min(0.075 * f_f, 3)
    c, c_ga = stiffness(g, x, rack, w)
    root = [d - 2 * g["m"] * (rack - one) for d, one in zip(g["d"], x, strict=True)]
    d_m = (g["da"][0] + root[0]) / 2
    m_red = pi / 8 * (d_m / g["db"][0]) ** 2 * d_m**2 / (1 / DENSITY + 1 / (DENSITY * g["u"] ** 2))
    N = load["speed_rpm"] * pi * g["z"][0] / 30000 * sqrt(m_red / c_ga)
    if N > 0.85:
        raise ValueError("this sheet knows the subcritical range only")
    C_v = (0.32, 0.34, 0.23) if g["eg"] <= 2 else (0.32, 0.57 / (g["eg"] - 0.3), 0.096 / (g["eg"] - 1.56))
    relief = load["tip_relief_um"] or (SIGMA_HLIM / 97 - 18.45) ** 2 / 18 + 1.5
    B_k = abs(1 - c * relief / w) if load["tolerance_class"] <= 5 else 1
    K_V = N * (C_v[0] * c * f_pb / w + C_v[1] * c * f_f / w + C_v[2] * B_k) + 1
    q = c_ga * f_pb / (w * K_V * K_Hb)
    eg, ea = g["eg"], g["ea"]
    K_a = eg / 2 * (0.9 + 0.4 * q) if eg <= 2 else 0.9 + 0.4 * sqrt(2 * (eg - 1) / eg) * q
    heights = ((da - df) / 2 / b for da, df, b in zip(g["da"], root, g["widths"], strict=True))
    h_b = min(max(heights), 1 / 3)
    return {
        "F_t": F_t, "v": pi * g["d"][0] * load["speed_rpm"] / 60000, "w": w, "c": c, "c_ga": c_ga, "N": N,
        "K_V": K_V,
        "K_Ha": max(min(K_a, eg / (ea * g["Z_e"] ** 2)), 1),
        "K_Fa": max(min(K_a, eg / (0.25 * ea + 0.75)), 1),
        "K_Fb": K_Hb ** (1 / (1 + h_b + h_b**2)),
        "K_outer": K_A * K_g * K_V, "K_Hb": K_Hb, "relief": load["tip_relief_um"],
    }  # fmt: skip


def flank(g, K, edition=2019):
    """ISO 6336-2, clauses 5 to 9; Z_B and Z_D by radii of curvature at the inner points of single contact.

    2006 has no tip relief factor.
    """
    line = g["a"] * sin(g["awt"])
    pitch = [db / 2 * tan(g["awt"]) for db in g["db"]]
    ratios = []
    for end in g["end"]:
        near = end - g["pet"]
        ratios.append(sqrt(pitch[0] * pitch[1] / near / (line - near)))
    f = 1.0 if g["beta"] == 0 or edition == 2006 else 1.07 if K["relief"] > 0 else 1.2
    Z = [max(M - g["whole"] * (M - sqrt(f)), 1) if g["eb"] < 1 else sqrt(f) for M in ratios]
    Z_H = sqrt(2 * cos(g["bb"]) * cos(g["awt"]) / cos(g["at"]) ** 2 / sin(g["awt"]))
    Z_E = sqrt(E / 2 / pi / (1 - NU**2))
    s_H0 = Z_H * Z_E * g["Z_e"] / sqrt(cos(g["beta"]))
    s_H0 *= sqrt(K["F_t"] / g["d"][0] / g["b"] * (g["u"] + 1) / g["u"])
    loaded = s_H0 * sqrt(K["K_outer"] * K["K_Hb"] * K["K_Ha"])
    return {
        "Z_H": Z_H, "Z_e": g["Z_e"], "M_1": ratios[0], "M_2": ratios[1], "f_ZCa": f, "Z_B": Z[0], "Z_D": Z[1],
        "s_H0": s_H0, "s_H1": Z[0] * loaded, "s_H2": Z[1] * loaded,
    }  # fmt: skip


def limit(cycles, static, reference, low, knee):
    """Straight lines in log-log: static strength, the knee, 0.85 of the knee at 1e10 cycles."""
    if cycles <= low:
        return static
    if cycles <= knee:
        return reference * (static / reference) ** (log(knee / cycles) / log(knee / low))
    return reference * 0.85 ** (log(cycles / knee) / log(1e10 / knee))


def flank_limit(g, K, surface, stress, cycles):
    """ISO 6336-2, clauses 10 to 14, for σ_Hlim = 1500 MPa, where C_ZL is 0.91."""
    Z_L = 0.91 + 4 * 0.09 / (1.2 + 134 / surface["viscosity_40C_mm2_s"]) ** 2
    Z_v = 0.93 + 2 * 0.07 / sqrt(0.8 + 32 / K["v"])
    pitch = [db / 2 * tan(g["awt"]) for db in g["db"]]
    radius = pitch[0] * pitch[1] / (pitch[0] + pitch[1])
    Z_R = (3 / (surface["flank_roughness_um"] * (10 / radius) ** (1 / 3))) ** 0.08
    Z_X = min(max(1.05 - 0.005 * g["m"], 0.9), 1)
    s_HG = limit(cycles, 1.6 * SIGMA_HLIM, SIGMA_HLIM * Z_L * Z_v * Z_R * Z_X, 1e5, 5e7)
    Z_NT = limit(cycles, 1.6, 1, 1e5, 5e7)
    return {"Z_L": Z_L, "Z_v": Z_v, "Z_R": Z_R, "Z_NT": Z_NT, "s_HG": s_HG, "S_H": s_HG / stress}


def soft_wheel(g, K, surface, cycles):
    """ISO 6336-2, clauses 10 to 14, of a wheel of 300 HV, σ_Hlim = 1.313·300 + 373, against a hard pinion."""
    s_Hlim, HB = 1.313 * 300 + 373, 0.95 * 300
    Z_L = 0.83 + 4 * 0.17 / (1.2 + 134 / surface["viscosity_40C_mm2_s"]) ** 2
    Z_v = 0.85 + 2 * 0.15 / sqrt(0.8 + 32 / K["v"])
    pitch = [db / 2 * tan(g["awt"]) for db in g["db"]]
    radius, Rz = pitch[0] * pitch[1] / (pitch[0] + pitch[1]), surface["flank_roughness_um"]
    Z_R = (3 / (Rz * (10 / radius) ** (1 / 3))) ** 0.15
    Rz_H = Rz * (10 / radius) ** 0.33 / (surface["viscosity_40C_mm2_s"] * K["v"] / 1500) ** 0.33
    Z_W = (1.2 - (HB - 130) / 1700) * (3 / min(max(Rz_H, 3), 16)) ** 0.15
    static = 1.6 * s_Hlim * (1.05 - (HB - 130) / 6800)
    reference = s_Hlim * Z_L * Z_v * Z_R * Z_W
    s_HG = [limit(one, static, reference, 1e5, 5e7) for one in cycles]
    return {"Z_L": Z_L, "Z_v": Z_v, "Z_R": Z_R, "Z_W": Z_W, "s_HG": s_HG}


def bisected(G, H, z):
    """θ of the 30° tangent: θ = 2 G/z tan θ - H."""
    low, high = 0.0, 1.3
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (low, middle) if middle - 2 * G / z * tan(middle) + H > 0 else (middle, high)
    return low


def root(g, K, toothing, one, edition=2019):
    """ISO 6336-3, clauses 5 to 9, of gear `one`, in modules of the virtual spur gear.

    2006 has no f_ε in Y_F, and no cosine in Y_β.
    """
    m, a_n, x = g["m"], ALPHA_N, toothing["shifts"][one]
    rack, radius = toothing["rack_dedendum"], toothing["rack_root_radius"]
    undercut = max(toothing["protuberance_mm"] - toothing["stock_min_mm"], 0)
    z, ratio = g["z"][one] / cos(g["bb"]) ** 2 / cos(g["beta"]), g["ea"] / cos(g["bb"]) ** 2
    offset = pi / 4 - rack * tan(a_n) + undercut / m / cos(a_n) - (1 - sin(a_n)) * radius / cos(a_n)
    G = radius - rack + x
    theta = bisected(G, 2 / z * (pi / 2 - offset) - pi / 3, z)
    s = z * sin(pi / 3 - theta) + sqrt(3) * (G / cos(theta) - radius)
    rho = radius + 2 * G**2 / cos(theta) / (z * cos(theta) ** 2 - 2 * G)
    base, tip = z * cos(a_n), z + (g["da"][one] - g["d"][one]) / m
    d_e = 2 * sqrt((sqrt(tip**2 - base**2) / 2 - pi * cos(a_n) * (ratio - 1)) ** 2 + base**2 / 4)
    a_e = acos(base / d_e)
    half = (pi / 2 + 2 * x * tan(a_n)) / z + tan(a_n) - a_n - tan(a_e) + a_e
    angle = a_e - half
    h = (cos(half) - sin(half) * tan(angle)) * d_e - z * cos(pi / 3 - theta) - G / cos(theta) + radius
    h, q_s = h / 2, s / 2 / rho
    f_e = sqrt(1 - g["whole"] + g["whole"] / ratio) if edition == 2019 else 1
    Y_F = 6 * h * cos(angle) / s**2 / cos(a_n) * f_e
    Y_S = (1.2 + 0.13 * s / h) * q_s ** (1 / (1.21 + 2.3 * h / s))
    Y_b = 1 - g["whole"] * degrees(g["beta"]) / 120
    Y_b /= cos(g["beta"]) ** 3 if edition == 2019 else 1
    s_F0 = K["F_t"] / min(g["widths"][one], g["b"] + 2 * m) / m * Y_F * Y_S * Y_b
    return {
        "s_Fn": s * m, "rho_F": rho * m, "h_Fe": h * m, "a_Fen": degrees(angle), "q_s": q_s, "Y_F": Y_F,
        "Y_S": Y_S, "Y_b": Y_b, "s_F0": s_F0, "s_F": s_F0 * K["K_outer"] * K["K_Fb"] * K["K_Fa"],
    }  # fmt: skip


def root_limit(g, surface, form, core_HV, cycles):
    """ISO 6336-3, clauses 10 to 14; σ_Flim of MQ is 500 MPa from 30 HRC (302 HV) on, 425 below.

    The 461 below 30 HRC wants a hardenability that these pairs do not state.
    """
    s_FE = 2 * (500 if core_HV >= 302 else 425)
    Y_d = (1 + sqrt(0.003 * (1 + 2 * form["q_s"]) / 5)) / (1 + sqrt(0.003 * 6 / 5))
    Y_R = 1.674 - 0.529 * (surface["root_roughness_um"] + 1) ** 0.1
    Y_X = min(max(1.05 - 0.01 * g["m"], 0.8), 1)
    static = s_FE * 2.5 * (0.44 * form["Y_S"] + 0.12)
    s_FG = [limit(one, static, s_FE * Y_d * Y_R * Y_X, 1e3, 3e6) for one in cycles]
    return {"Y_d": Y_d, "Y_R": Y_R, "s_FG": s_FG, "S_F": [one / form["s_F"] for one in s_FG]}


def root_static(form, core_HV, K_A):
    """ISO 6336-3, static strength of a case: the peak is the load without K_A, its factors as they are."""
    s_FGst = 2 * (500 if core_HV >= 302 else 425) * 2.5 * (0.44 * form["Y_S"] + 0.12)
    s_Fst = form["s_F"] / K_A
    return {"s_Fst": s_Fst, "s_FGst": s_FGst, "s_FPst": s_FGst / 1.6, "S_Fst": s_FGst / s_Fst}


CHECKS = {
    "ISO1-HAND": ("load_factors", "helical", "pinion", 0),
    "ISO1-HAND-inch": ("load_factors", "inch", "pinion", 0),
    "ISO1-HAND-large": ("load_factors", "large", "pinion", 0),
    "ISO2-HAND": ("flank", "helical", "pinion", 0),
    "ISO2-HAND-inch": ("flank", "inch", "pinion", 0),
    "ISO2-HAND-large": ("flank", "large", "pinion", 0),
    "ISO2-HAND-limit": ("flank_limit", "helical", "pinion", 2.22e9),
    "ISO2-HAND-limit-inch": ("flank_limit", "inch", "wheel", 4.3614e7),
    "ISO2-HAND-limit-large": ("flank_limit", "large", "pinion", 4.32e7),
    "ISO2-HAND-2006": ("flank_2006", "helical", "pinion", 0),
    "ISO2-SOFT": ("soft_wheel", "helical", "wheel", (1e4, 1e6, 1.11e9)),
    "ISO2-SOFT-rough": ("soft_wheel", "inch", "wheel", (1e4, 1e6, 1.11e9)),
    "ISO3-HAND": ("root", "helical", "pinion", 0),
    "ISO3-HAND-inch": ("root", "inch", "pinion", 0),
    "ISO3-HAND-large": ("root", "large", "wheel", 0),
    "ISO3-HAND-2006": ("root_2006", "helical", "pinion", 0),
    "ISO3-PEAK": ("root_static", "large", "pinion", 0),
    "ISO3-HAND-limit": ("root_limit", "helical", "pinion", (1e5, 2.22e9)),
    "ISO3-HAND-limit-inch": ("root_limit", "inch", "wheel", (1e5, 4.3614e7)),
    "ISO3-HAND-limit-large": ("root_limit", "large", "pinion", (1e5, 4.32e7)),
}


def worked(part, name, member, cycles):
    """One part of the sheet for one gear of a pair."""
    given, one = PAIRS[name], ("pinion", "wheel").index(member)
    toothing, surface = given["toothing"], given["surface"]
    names = ("normal_module_mm", "teeth", "helix_angle_deg", "centre_distance_mm", "tips", "widths")
    g = geometry(*(toothing[key] for key in names))
    K = load_factors(g, toothing["shifts"], toothing["rack_dedendum"], given["load"])
    if part == "load_factors":
        return K
    if part == "flank":
        return flank(g, K)
    if part == "flank_2006":
        return flank(g, K, edition=2006)
    if part == "soft_wheel":
        return soft_wheel(g, K, surface, cycles)
    if part == "flank_limit":
        return flank_limit(g, K, surface, flank(g, K)[f"s_H{one + 1}"], cycles)
    form, core = root(g, K, toothing, one), given["core_hardness_HV"][one]
    if part == "root_2006":
        return root(g, K, toothing, one, edition=2006)
    if part == "root_static":
        return root_static(form, core, given["load"]["application_factor"])
    return form if part == "root" else root_limit(g, surface, form, core, cycles)


def limited_life():
    """Both readings of limited life where they differ: between both limits, and by 1.6 or 2.5 at the knee."""
    flank_share, root_share = log(5e7 / 1e6) / log(5e7 / 1e5), log(3e6 / 1e5) / log(3e6 / 1e3)
    return {
        "ISO2-HAND-limited-life-readings": {
            "interpolated": 1350 * (2400 / 1350) ** flank_share,
            "factors": 1350 * 1.6**flank_share,
        },
        "ISO3-HAND-limited-life-readings": {
            "interpolated": 920 * (2700 / 920) ** root_share,
            "factors": 920 * 2.5**root_share,
        },
    }


def sheet():
    """Every value of the sheet, by check and symbol."""
    return {name: worked(*given) for name, given in CHECKS.items()} | limited_life()


if __name__ == "__main__":
    for check, values in sheet().items():
        for symbol, value in values.items():
            numbers = value if isinstance(value, list) else [value]
            print(check, symbol, *(f"{number:.12g}" for number in numbers))
