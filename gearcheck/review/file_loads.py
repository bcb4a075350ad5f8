"""The sections of a gear file that say how a gear is carried, lubricated and loaded."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator, Field

from gearcheck.duty.damage import BelowKnee
from gearcheck.materials.inputs import LubricantKind, OilSupply
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Plain, Size, Whole
from gearcheck.review.file_words import Choice, Words, YesNo
from gearcheck.stress.inputs import ContactPattern, LeadModification, ShaftLayout

Length = Annotated[float, BeforeValidator(Size("mm", 0, 20000))]
Torque = Annotated[float, BeforeValidator(Size("N·m", 0, 1e8))]
Speed = Annotated[float, BeforeValidator(Size("1/min", 1e-3, 1e6))]
DIRECTIONS = ("forward", "reverse")
LEAST_TIME_H = 1e-6
"""A step that lasts at all lasts as long: less is a slip of the unit."""


class BlankSection(Section):
    """[gear.blank]: the body behind the teeth; what is not given is solid."""

    bore: Annotated[float | None, BeforeValidator(Size("mm", 1, 20000))] = None
    rim_thickness: Annotated[float | None, BeforeValidator(Size("mm", 0.5, 5000))] = None
    web_thickness: Annotated[float | None, BeforeValidator(Size("mm", 0.5, 2000))] = None


class CutterSection(Section):
    """[mesh.mate.cutter]: the pinion cutter of an internal mate, at one state of its grinding."""

    teeth: Annotated[int, BeforeValidator(Whole(5, 1000))]
    profile_shift: Annotated[float, BeforeValidator(Plain(-2, 2.5))]
    tip_diameter: Annotated[float, BeforeValidator(Size("mm", 1, 20000))]
    tip_radius: Annotated[float, BeforeValidator(Size("mm", 0, 50))]


class NotchSection(Section):
    """[gear.grinding_notch]: what a wheel may leave in the fillet."""

    depth: Annotated[float, BeforeValidator(Size("mm", 0, 5))]
    radius: Annotated[float, BeforeValidator(Size("mm", 0.01, 50))]


class ShaftSection(Section):
    """[mesh.shaft]: the shaft of the pinion; it stands for a face load factor."""

    layout: Annotated[ShaftLayout, BeforeValidator(Choice(ShaftLayout))]
    span: Annotated[float, BeforeValidator(Size("mm", 1, 20000))]
    offset: Length
    diameter: Annotated[float, BeforeValidator(Size("mm", 1, 20000))]
    stiffened: Annotated[bool, BeforeValidator(YesNo())]
    lead_modification: Annotated[LeadModification, BeforeValidator(Choice(LeadModification))]
    pattern: Annotated[ContactPattern, BeforeValidator(Choice(ContactPattern))]
    misalignment: Annotated[float | None, BeforeValidator(Size("µm", 0, 1000))] = None


class LubricantSection(Section):
    """[lubricant]: pitting asks for the first key alone, micropitting and scuffing for the others too."""

    viscosity_40C: Annotated[float, BeforeValidator(Size("mm²/s", 1, 10000))]
    viscosity_100C: Annotated[float | None, BeforeValidator(Size("mm²/s", 1, 1000))] = None
    density_15C: Annotated[float | None, BeforeValidator(Size("kg/m³", 500, 1500))] = None
    oil_temperature: Annotated[float | None, BeforeValidator(Size("°C", -40, 200))] = None
    fzg_stage: Annotated[int | None, BeforeValidator(Whole(1, 20))] = None
    kind: Annotated[LubricantKind | None, BeforeValidator(Choice(LubricantKind))] = None
    supply: Annotated[OilSupply | None, BeforeValidator(Choice(OilSupply))] = None


class BinEntry(Section):
    """[[duty.bin]]: torque and speed of the gear under review in the first mesh, for a time."""

    torque: Torque
    speed: Speed
    time: Annotated[float, BeforeValidator(Size("h", LEAST_TIME_H, 1e8, or_zero=True))]
    reverse: Annotated[bool, BeforeValidator(YesNo())] = False


class DutySection(Section):
    """[duty]; the spectrum stands in a file or in [[duty.bin]]."""

    below_knee: Annotated[BelowKnee, BeforeValidator(Choice(BelowKnee))]
    peak_torque: Annotated[float | None, BeforeValidator(Size("N·m", 1e-3, 1e8))] = None
    starts: Annotated[int, BeforeValidator(Whole(0, 100_000_000))] = 0
    torque_factor: Annotated[float, BeforeValidator(Plain(0.01, 100))] = 1.0
    speed_factor: Annotated[float, BeforeValidator(Plain(0.01, 100))] = 1.0
    file: Annotated[str | None, BeforeValidator(Words(200))] = None
    bin: list[BinEntry] = Field(default=[], max_length=500)


GroupClass = Annotated[int | None, BeforeValidator(Whole(0, 12))]


class AgreedSection(Section):
    """The keys of [required] that only some contracts have."""

    static_flank_safety: Annotated[float | None, BeforeValidator(Plain(0.5, 10))] = None
    static_root_safety: Annotated[float | None, BeforeValidator(Plain(0.5, 10))] = None
    damage_sum: Annotated[float | None, BeforeValidator(Plain(0.01, 1))] = None
    flank_strength_variation: Annotated[float | None, BeforeValidator(Plain(0, 0.5))] = None
    root_strength_variation: Annotated[float | None, BeforeValidator(Plain(0, 0.5))] = None
    scuffing_safety: Annotated[float | None, BeforeValidator(Plain(0.5, 10))] = None
    micropitting_safety: Annotated[float | None, BeforeValidator(Plain(0.1, 20))] = None
    permissible_film: Annotated[float | None, BeforeValidator(Plain(0.001, 10))] = None
    pitch_class: GroupClass = None
    profile_class: GroupClass = None
    helix_class: GroupClass = None
    runout_class: GroupClass = None
