"""The sections of a gear file for the teeth of any gear: the part, its mates, and what was tested."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator

from gearcheck.gear.inputs import Tooth
from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Plain, Size, Span, Whole

Teeth = Annotated[int, BeforeValidator(Whole(5, 1000))]
FaceWidth = Annotated[float, BeforeValidator(Size("mm", 1, 2000))]
Diameter = Annotated[float, BeforeValidator(Size("mm", 1, 20000))]
ProfileShift = Annotated[float, BeforeValidator(Plain(-2, 2.5))]
Stock = Annotated[tuple[float, float], BeforeValidator(Span(Size("mm", 0, 5)))]
Module = Annotated[float, BeforeValidator(Size("mm", 0.5, 70))]
PressureAngle = Annotated[float, BeforeValidator(Size("°", 14, 30))]
HelixAngle = Annotated[float, BeforeValidator(Size("°", 0, 45))]
AS_CUT = (0.0, 0.0)


class RackSection(Section):
    """[gear.rack]: finished basic rack in modules."""

    dedendum: Annotated[float, BeforeValidator(Plain(0.5, 2.5))]
    root_radius: Annotated[float, BeforeValidator(Plain(0, 0.7))]


class ToolSection(Section):
    """[gear.tool]."""

    protuberance: Annotated[float, BeforeValidator(Size("mm", 0, 5))]


class StockSection(Section):
    """[gear.stock]: smallest and largest stock on each flank, normal to it."""

    left: Stock
    right: Stock


class ToothSection(Section):
    """The teeth of a gear; without tool and stock: no protuberance, and left as cut."""

    teeth: Teeth
    face_width: FaceWidth
    profile_shift: ProfileShift
    tip_diameter: Diameter
    rack: RackSection
    tool: ToolSection | None = None
    stock: StockSection | None = None


def tooth_of(data: ToothSection) -> Tooth:
    """Return the toothing; it takes the stock of both flanks together: one hob cuts both.

    Parameters
    ----------
    data : ToothSection
        Checked.

    Returns
    -------
    Tooth
        In mm.
    """
    left, right = (data.stock.left, data.stock.right) if data.stock else (AS_CUT, AS_CUT)
    return Tooth(
        teeth=data.teeth,
        face_width_mm=data.face_width,
        profile_shift=data.profile_shift,
        tip_diameter_mm=data.tip_diameter,
        rack_dedendum=data.rack.dedendum,
        rack_root_radius=data.rack.root_radius,
        protuberance_mm=data.tool.protuberance if data.tool else 0.0,
        stock_min_mm=min(left[0], right[0]),
        stock_max_mm=max(left[1], right[1]),
    )
