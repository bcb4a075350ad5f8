"""The sections of a gear file for the loaded contact: how axes deviate, what was agreed of the contact."""

from __future__ import annotations

from typing import Annotated

from pydantic import BeforeValidator

from gearcheck.review.file_section import Section
from gearcheck.review.file_values import Size
from gearcheck.review.inputs import AxisDeviations

Lean = Annotated[float, BeforeValidator(Size("µm", -2000, 2000))]


class ContactSection(Section):
    """[mesh.contact]: how the axes deviate from parallel, over the common face width."""

    in_plane: Lean = 0.0
    out_of_plane: Lean = 0.0


class AgreedContactSection(Section):
    """The keys of [required] about the loaded contact, at the nominal torque of each mesh."""

    transmission_error: Annotated[float | None, BeforeValidator(Size("µm", 0.01, 1000))] = None
    pattern_margin: Annotated[float | None, BeforeValidator(Size("mm", 0, 500))] = None


def axes_of(section: ContactSection) -> AxisDeviations:
    """Return the section as inputs of a mesh."""
    return AxisDeviations(in_plane_um=section.in_plane, out_of_plane_um=section.out_of_plane)
