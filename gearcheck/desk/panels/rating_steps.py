"""The steps of the rating in reading order: which number of which result, and the sentence to it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Step:
    """One step.

    Parameters
    ----------
    result : str
        Where its number stands: ``pair``, ``factors`` and ``contact`` of the mesh; ``limits``, ``flank`` and
        ``root`` of each gear, ``root.form`` as a part of one.
    term : str
        The field; ``{member}`` stands for pinion or wheel.
    sentence : str
        What it says; names of fields of the same result in braces stand for their values.
    shared : bool
        Whether both gears share the number.
    unless : str
        A result in whose presence this step falls away.
    note : str
        What stands in the place of a formula, where the number was given.
    quiet : bool
        Whether it falls away where the number of both gears is 1.
    """

    result: str
    term: str
    sentence: str
    shared: bool = True
    unless: str = ""
    note: str = ""
    quiet: bool = False


@dataclass(frozen=True)
class Group:
    """Steps under one heading, and the inputs that move them.

    Parameters
    ----------
    key, title : str
        Its place on the page, and its heading.
    steps : tuple of Step
        In reading order.
    inputs : tuple of str
        Keys of the changes whose sliders stand here.
    reason : str
        The field of a gear that says why there is nothing.
    optional : bool
        Whether it falls away where there is nothing.
    """

    key: str
    title: str
    steps: tuple[Step, ...]
    inputs: tuple[str, ...] = ()
    reason: str = ""
    optional: bool = False


def _own(result: str, term: str, sentence: str, *, quiet: bool = False) -> Step:
    """A step in which each gear has its own number."""
    return Step(result, term, sentence, shared=False, quiet=quiet)


GEOMETRY = Group(
    "chain-geometry",
    "The pair",
    (
        Step(
            "pair",
            "centre_distance_mm",
            "{pinion_teeth} and {wheel_teeth} teeth of normal module {normal_module_mm} at a helix angle of "
            "{helix_angle_deg} mesh at this centre distance.",
        ),
        Step(
            "pair",
            "working_pressure_angle_deg",
            "With profile shifts of {pinion_profile_shift} on the pinion and {wheel_profile_shift} on the "
            "wheel the flanks press at the working pressure angle.",
        ),
        Step(
            "pair",
            "transverse_contact_ratio",
            "So many pairs of teeth share the load in the plane of rotation, on average.",
        ),
        Step("pair", "overlap_ratio", "Along the face the helix adds its overlap."),
        Step(
            "pair",
            "reduced_radius_mm",
            "At the pitch point both flanks bear like one roller of this radius on a plane: the larger, the "
            "lower the pressure.",
        ),
    ),
    ("teeth", "module", "helix", "profile_shift", "shift_sum"),
)

FORCES = Group(
    "chain-forces",
    "The force",
    (
        Step(
            "factors",
            "tangential_force_N",
            "{torque_Nm} on the pinion press on its reference circle of {reference_diameter_mm}.",
        ),
        Step(
            "factors", "pitch_line_velocity_m_s", "At {speed_rpm} of the pinion the teeth pass at this speed."
        ),
        Step(
            "factors",
            "line_load_N_mm",
            "Raised by what the machines do to the torque, K_A = {application_factor}, and by uneven sharing "
            "of paths, K_γ = {mesh_load_factor}, it is spread over {common_face_width_mm} of common face "
            "width.",
        ),
    ),
    ("torque", "speed", "face_width"),
)

FACTORS = Group(
    "chain-factors",
    "What raises it in the mesh",
    (
        Step("factors.stiffness", "mesh_stiffness", "The teeth in contact are a spring, so stiff."),
        Step(
            "factors.dynamics",
            "resonance_ratio",
            "On that spring the teeth strike at this share of the pair's own frequency.",
        ),
        Step(
            "factors.dynamics",
            "dynamic_factor",
            "What is left of the deviations after running-in, {pitch_deviation_um} of pitch and "
            "{form_deviation_um} of profile, shakes the pair.",
        ),
        Step("factors.face_load", "deflection_um", "Under load pinion and shaft bend and twist, by so much."),
        Step("factors.face_load", "manufacture_um", "They are made askew by so much."),
        Step(
            "factors.face_load",
            "misalignment_um",
            "Of both together this is left after running-in.",
        ),
        Step(
            "factors.face_load",
            "face_load_factor",
            "Over a face of {face_width_mm} it makes the load uneven: at its worst place so high.",
        ),
        Step(
            "factors",
            "face_load_factor",
            "Along the face the load is uneven: at its worst place so high.",
            unless="factors.face_load",
            note="given as a number; it follows neither width nor load",
        ),
        Step(
            "factors",
            "transverse_factor_contact",
            "Pairs of teeth in contact at once share it unevenly: the flank feels so much of it.",
        ),
        Step("factors", "transverse_factor_bending", "The root feels so much of it."),
        Step("factors", "face_factor_bending", "The root feels less of what is uneven along the face."),
    ),
    ("class", "relief"),
)

FLANK = Group(
    "chain-flank",
    "The flank: its stress",
    (
        Step(
            "contact",
            "zone_factor",
            "The curvature of both flanks at the pitch point turns force into pressure.",
        ),
        Step("contact", "elasticity_factor", "The less both steels give, the higher it is."),
        Step(
            "contact",
            "contact_ratio_factor",
            "The longer all lines of contact are together, the lower the pressure.",
        ),
        Step("contact", "helix_factor", "The slant of the teeth counts once more by itself."),
        Step("contact", "nominal_stress_MPa", "This is the pressure of the force alone, at the pitch point."),
        _own(
            "contact",
            "{member}_contact_factor",
            "The flank is weakest at the inner point of single contact, where it is curved more sharply.",
        ),
        _own(
            "contact",
            "{member}_stress_MPa",
            "With all that raises the load, under a root: twice the load is 1.41 times the pressure.",
        ),
    ),
)

FLANK_LIMIT = Group(
    "chain-flank-limit",
    "The flank: its limit and its safety",
    (
        _own("limits", "flank_limit_MPa", "The test gears of this steel and quality stand this pressure."),
        _own("cycles", "load_cycles", "In the life required each flank is loaded so often."),
        _own("flank", "life_factor", "So many load cycles count as this factor on it."),
        _own(
            "flank",
            "lubricant_factor",
            "The oil builds a film between the flanks: the thicker the oil, the better.",
        ),
        _own("flank", "velocity_factor", "The faster it is drawn in, the thicker the film."),
        _own("flank", "roughness_factor", "The rougher the flanks, the sooner they break through it."),
        _own("flank", "work_hardening_factor", "A harder mate hardens it in running.", quiet=True),
        _own("flank", "size_factor", "A large tooth stands less.", quiet=True),
        _own("flank", "limit_MPa", "So this flank stands this pressure."),
        _own("flank", "safety", "Over its stress that is its safety; {required_safety} is agreed."),
    ),
    ("hardness", "roughness", "viscosity", "oil_temperature"),
    "missing_flank",
)

ROOT = Group(
    "chain-root",
    "The root: its stress",
    (
        _own(
            "root.form",
            "bending_arm_mm",
            "The force, at the tooth's outer point of single contact, bends it with this arm.",
        ),
        _own(
            "root.form", "root_chord_mm", "It resists with the chord where tangents at 30° meet both fillets."
        ),
        _own("root.form", "form_factor", "Arm and chord together make the form factor."),
        _own(
            "root.form", "stress_correction_factor", "The fillet gathers the stress: the sharper, the more."
        ),
        _own("root", "helix_factor", "Slanting lines of contact ease it."),
        _own(
            "root",
            "rim_factor",
            "The rim under the tooth is thin and gives: it is stressed more.",
            quiet=True,
        ),
        _own("root", "deep_tooth_factor", "Deep teeth share the load among more pairs.", quiet=True),
        _own("root", "nominal_stress_MPa", "This is the stress of the force alone."),
        _own("root", "stress_MPa", "With all that raises the load: twice the load is twice the stress."),
    ),
    (),
    "missing_root",
)

ROOT_LIMIT = Group(
    "chain-root-limit",
    "The root: its limit and its safety",
    (
        _own(
            "root_safety",
            "root_limit_MPa",
            "The test gears of this steel and quality stand this nominal stress.",
        ),
        _own(
            "root_safety",
            "test_gear_factor",
            "Their own fillet gathers it by this factor, so the metal stands so much more.",
        ),
        _own(
            "root_safety",
            "mean_stress_factor",
            "It is bent both ways, where the test gears are bent one way: it stands less.",
            quiet=True,
        ),
        _own("root_safety", "life_factor", "The load cycles of the life required count as this factor."),
        _own(
            "root_safety", "sensitivity_factor", "This fillet hurts more or less than that of the test gear."
        ),
        _own("root_safety", "surface_factor", "The roughness of the root counts."),
        _own("root_safety", "size_factor", "So does the size of the tooth.", quiet=True),
        _own("root_safety", "limit_MPa", "So this root stands this stress in its fillet."),
        _own("root_safety", "safety", "Over its stress that is its safety; {required_safety} is agreed."),
    ),
    (),
    "missing_root",
)

PEAK = Group(
    "chain-peak",
    "Once in a while: the highest torque",
    (
        _own("flank_static", "stress_MPa", "The highest torque presses the flanks by so much."),
        _own("flank_static", "limit_MPa", "A few times in a life they stand this before they are marked."),
        _own("flank_static", "safety", "That is their static safety; {required_safety} is agreed."),
        _own("root_static", "stress_MPa", "It bends the roots by this nominal stress."),
        _own("root_static", "limit_MPa", "A few times in a life they stand this before they break or bend."),
        _own("root_static", "safety", "That is their static safety; {required_safety} is agreed."),
    ),
    optional=True,
)

SCUFFING = Group(
    "chain-scuffing",
    "The flank: scuffing",
    (
        Step("flash", "roughness_Ra_um", "Rough flanks rub more: the mean of both."),
        Step(
            "flash",
            "mean_flash_K",
            "Sliding under load heats the contact; over the path, on average, by so much.",
        ),
        Step(
            "flash", "bulk_temperature_C", "Oil and that heat together bring the teeth to this temperature."
        ),
        Step("flash", "highest_contact_C", "With the flash of its hottest point the contact comes to this."),
        Step("flash", "scuffing_temperature_C", "Such oil, at its load stage, seizes at this temperature."),
        Step("flash", "safety", "That is the safety by the flash temperature."),
        Step(
            "integral",
            "bulk_temperature_C",
            "The integral method reckons the temperature of the teeth in its own way.",
        ),
        Step(
            "integral",
            "integral_temperature_C",
            "Averaged over the path, with more weight on the flash, it comes to the integral temperature.",
        ),
        Step("integral", "safety", "That is the safety by the integral temperature."),
    ),
    optional=True,
)

MICROPITTING = Group(
    "chain-micropitting",
    "The flank: micropitting",
    (
        Step("micropitting", "roughness_Ra_um", "The film has to part flanks of this mean roughness."),
        Step("micropitting", "least_film", "So thin is the film over that roughness at its worst point."),
        Step("micropitting", "permissible_film", "A reference test of this oil asks for so much."),
        Step("micropitting", "safety", "That is the safety against micropitting."),
    ),
    optional=True,
)

GROUPS = (
    GEOMETRY,
    FORCES,
    FACTORS,
    FLANK,
    FLANK_LIMIT,
    ROOT,
    ROOT_LIMIT,
    PEAK,
    SCUFFING,
    MICROPITTING,
)
"""In reading order."""
