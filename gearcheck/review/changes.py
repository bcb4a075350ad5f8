"""What may be changed in a what-if: each input with its label, unit, realistic step and reach."""

from __future__ import annotations

from collections.abc import Mapping

from gearcheck.basics.numbers import Number
from gearcheck.review import moves
from gearcheck.review.change import Change
from gearcheck.review.contact_changes import CONTACT, CONTACT_CHANGES
from gearcheck.review.inputs import Record
from gearcheck.review.process_changes import PROCESS_CHANGES

CHANGES = (
    Change(
        key="torque",
        label="Torque",
        symbol="T",
        unit="N·m",
        digits=0,
        step=0.05,
        reach=(0.5, 0.5),
        relative=True,
        read=lambda record: record.meshes[0].torque_Nm,
        write=moves.write_torque,
        goes_with="all meshes, and all steps of a duty, keep their share of the torque",
    ),
    Change(
        key="speed",
        label="Speed",
        symbol="n",
        unit="rpm",
        digits=0,
        step=0.1,
        reach=(0.9, 1.0),
        relative=True,
        read=lambda record: record.meshes[0].speed_rpm,
        write=moves.write_speed,
        goes_with="the torque is held, all steps of a duty and the load cycles follow",
        traded=False,
        mends=False,
    ),
    Change(
        key="teeth",
        label="Number of teeth of the gear",
        symbol="z",
        unit="",
        digits=0,
        step=-1,
        reach=(6, 6),
        whole=True,
        least=10,
        read=moves.only_external(lambda record: record.gear.tooth.teeth),
        write=moves.write_teeth,
        goes_with="centre distance and ratio are held as far as whole teeth allow, so the module follows",
        traded=False,
        mends=False,
    ),
    Change(
        key="module",
        label="Module, normal",
        symbol="mₙ",
        unit="mm",
        digits=2,
        step=0.1,
        reach=(0.3, 0.3),
        relative=True,
        read=moves.only_external(lambda record: record.normal_module_mm),
        write=moves.write_module,
        goes_with="the numbers of teeth are held, so tip circles and centre distance grow with it",
        traded=False,
        mends=False,
    ),
    Change(
        key="helix",
        label="Helix angle",
        symbol="β",
        unit="°",
        digits=1,
        step=2,
        reach=(10, 10),
        least=0,
        most=30,
        read=moves.only_external(lambda record: record.helix_angle_deg),
        write=moves.write_helix,
        goes_with="the normal module is held, so tip circles and centre distance follow",
        traded=False,
        mends=False,
    ),
    Change(
        key="face_width",
        label="Face width",
        symbol="b",
        unit="mm",
        digits=1,
        step=0.05,
        reach=(0.4, 0.6),
        relative=True,
        read=lambda record: record.gear.tooth.face_width_mm,
        write=moves.write_face_width,
        goes_with="the mates grow by the same length",
    ),
    Change(
        key="profile_shift",
        label="Profile shift of the gear",
        symbol="x",
        unit="",
        digits=2,
        step=0.05,
        reach=(0.4, 0.4),
        read=lambda record: record.gear.tooth.profile_shift,
        write=moves.write_shift,
        goes_with="the mates give back the shift, tip circles move along, the centre distance is held",
    ),
    Change(
        key="shift_sum",
        label="Sum of the profile shifts",
        symbol="Σx",
        unit="",
        digits=2,
        step=0.1,
        reach=(0.5, 0.5),
        read=moves.only_external(moves.read_shift_sum),
        write=moves.write_shift_sum,
        goes_with="the mates take what is more; tip circles, centre distance and the curvature of the flanks "
        "follow",
        traded=False,
        mends=False,
    ),
    Change(
        key="class",
        label="Accuracy class",
        symbol="A",
        unit="",
        digits=0,
        step=-1,
        reach=(5, 5),
        whole=True,
        least=1,
        most=11,
        read=moves.read_class,
        write=moves.write_class,
        goes_with="the mates keep their distance in class",
    ),
    Change(
        key="thickness",
        label="Thickness allowance of the gear, upper",
        symbol="Aₛₙ",
        unit="mm",
        digits=3,
        step=-0.02,
        reach=(0.4, 0.3),
        read=moves.read_thickness,
        write=moves.write_thickness,
        goes_with="the lower allowance moves along; the mates keep theirs",
        traded=False,
        mends_alone="geometry.backlash.",
    ),
    Change(
        key="relief",
        label="Tip relief",
        symbol="Cₐ",
        unit="µm",
        digits=0,
        step=5,
        reach=(40, 60),
        least=0,
        read=lambda record: record.gear.tip_relief_um,
        write=moves.write_relief,
        goes_with="the mates are relieved by as much more",
        traded=False,
        mends_alone=CONTACT,
    ),
    *CONTACT_CHANGES,
    Change(
        key="hardness",
        label="Surface hardness of the gear, least",
        symbol="",
        unit="HV",
        digits=0,
        step=20,
        reach=(120, 100),
        least=400,
        most=900,
        read=moves.read_hardness,
        write=moves.write_hardness,
        goes_with="the mates keep theirs",
        traded=False,
        mends=False,
    ),
    Change(
        key="core",
        label="Core hardness of the gear, least",
        symbol="",
        unit="HV",
        digits=0,
        step=20,
        reach=(120, 120),
        least=150,
        most=540,
        read=moves.read_core,
        write=moves.write_core,
        goes_with="the mates keep theirs",
        traded=False,
        mends=False,
    ),
    Change(
        key="roughness",
        label="Flank roughness of the gear",
        symbol="Rz",
        unit="µm",
        digits=1,
        step=-0.25,
        reach=(0.8, 1.0),
        relative=True,
        read=lambda record: None if record.gear.finish is None else record.gear.finish.flank_roughness_um,
        write=moves.write_roughness,
        goes_with="the flanks of the mates follow by the same share",
        traded=False,
    ),
    Change(
        key="viscosity",
        label="Viscosity of the oil at 40 °C",
        symbol="ν₄₀",
        unit="mm²/s",
        digits=0,
        step=0.45,
        reach=(0.6, 2.2),
        relative=True,
        read=lambda record: None if record.lubricant is None else record.lubricant.viscosity_40C_mm2_s,
        write=moves.write_viscosity,
        goes_with="at 100 °C it grows by the power 2/3 of that, common practice for oils of one line",
        traded=False,
    ),
    Change(
        key="oil_temperature",
        label="Oil temperature",
        symbol="θ",
        unit="°C",
        digits=0,
        step=-10,
        reach=(40, 30),
        least=-20,
        most=150,
        read=lambda record: None if record.lubricant is None else record.lubricant.oil_temperature_C,
        write=moves.write_oil_temperature,
        traded=False,
    ),
    Change(
        key="case_depth",
        label="Case depth, finished, least",
        symbol="CHD",
        unit="mm",
        digits=2,
        step=0.1,
        reach=(0.6, 1.0),
        least=0.1,
        read=moves.read_case("finished_min_mm"),
        write=moves.write_case_depth,
        goes_with="the whole window moves, as treated and finished",
    ),
    Change(
        key="stock",
        label="Grinding stock, largest",
        symbol="q",
        unit="mm",
        digits=3,
        step=-0.05,
        reach=(0.3, 0.2),
        least=0.0,
        read=moves.read_case("left_stock_max_mm"),
        write=moves.write_stock,
        goes_with="the whole range of stock moves, on both flanks",
    ),
    *PROCESS_CHANGES,
)
"""The inputs that a review may move, in the order in which a draft moves them."""


def open_changes(record: Record) -> tuple[Change, ...]:
    """Return the changes whose input the record has."""
    return tuple(change for change in CHANGES if change.read(record) is not None)


def traded_changes(record: Record) -> tuple[Change, ...]:
    """Return those of them that stand in the trade table."""
    return tuple(change for change in open_changes(record) if change.traded)


def mending_changes(record: Record, key: str) -> tuple[Change, ...]:
    """Return those of them that are looked at among the remedies of one requirement.

    Parameters
    ----------
    record : Record
        The record.
    key : str
        The requirement.

    Returns
    -------
    tuple of Change
        Those that it alone depends on, where there are such; else all that are no others' alone.
    """
    found = [change for change in open_changes(record) if change.mends]
    own = [change for change in found if change.mends_alone and key.startswith(change.mends_alone)]
    return tuple(own or [change for change in found if not change.mends_alone])


def changed(record: Record, values: Mapping[str, Number]) -> Record:
    """Return a copy of the record with some inputs moved; the record itself stays as it is.

    Parameters
    ----------
    record : Record
        The record.
    values : mapping of str to number
        By the key of the change, in its unit; arrays broadcast.

    Returns
    -------
    Record
        With the values in place.
    """
    for change in open_changes(record):
        if change.key in values:
            record = change.write(record, values[change.key])
    return record
