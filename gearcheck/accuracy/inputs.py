"""What the accuracy room needs to know of the class that the drawing asks for."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from gearcheck.basics.numbers import Number
from gearcheck.gear.inputs import ReliefForm


class AccuracyEdition(StrEnum):
    """The edition that gives the tolerances of a class."""

    ISO_1328_1_2013 = "ISO 1328-1:2013"
    ISO_1328_1_1995 = "ISO 1328-1:1995"


class Flank(StrEnum):
    """Which flank, seen from the reference face with the tooth pointing up."""

    LEFT = "left"
    RIGHT = "right"


class Group(StrEnum):
    """The parameters that a drawing may give a class of their own."""

    PITCH = "pitch"
    PROFILE = "profile"
    HELIX = "helix"
    RUNOUT = "runout"


class TraceKind(StrEnum):
    """What a measured trace runs along: the roll of a tooth profile, or the face width."""

    PROFILE = "profile"
    HELIX = "helix"


@dataclass(frozen=True, kw_only=True)
class FlankModification:
    """What the drawing takes off an involute helicoid, and from where profiles are evaluated; None is none.

    Parameters
    ----------
    control_diameter_mm : float or array
        Profile control diameter d_Cf, from which profiles are evaluated; None is the start of active profile.
    tip_relief_start_mm : float or array
        Diameter where the tip relief starts; its amount is that of the finish.
    root_relief_um, root_relief_end_mm : float or array
        Amount at the control diameter, and the diameter up to which it goes.
    relief_form : ReliefForm
        Of all reliefs; None is linear.
    profile_crowning_um, helix_crowning_um : float or array
        Height of the parabola over the whole profile, and over the face width.
    profile_slope_um : float or array
        Slope of the profile from control to tip diameter, positive where material grows towards the tip.
    end_relief_um, end_relief_length_mm : float or array
        Amount at both faces, and how far in it goes.
    left_helix_slope_um, right_helix_slope_um : float or array
        Slope over the face width, positive where material grows away from the face that traces count from.
    bias_um : float or array
        By how much the profile slope is larger at the far face than at the face that traces count from.
    """

    control_diameter_mm: Number = None
    tip_relief_start_mm: Number = None
    root_relief_um: Number = None
    root_relief_end_mm: Number = None
    relief_form: ReliefForm | None = None
    profile_crowning_um: Number = None
    profile_slope_um: Number = None
    helix_crowning_um: Number = None
    end_relief_um: Number = None
    end_relief_length_mm: Number = None
    left_helix_slope_um: Number = None
    right_helix_slope_um: Number = None
    bias_um: Number = None


@dataclass(frozen=True, kw_only=True)
class AccuracySpecification:
    """The flank tolerance class of a drawing, and where a group of parameters has its own, that.

    Parameters
    ----------
    tolerance_class : int or array
        Flank tolerance class A; an accuracy grade in the 1995 edition.
    edition : AccuracyEdition
        The standard that gives its tolerances.
    pitch_class, profile_class, helix_class, runout_class : int, array or None
        The class of one group of parameters; None where it has that of the gear.
    """

    tolerance_class: Number
    edition: AccuracyEdition
    pitch_class: Number = None
    profile_class: Number = None
    helix_class: Number = None
    runout_class: Number = None

    def class_of(self, group: str) -> Number:
        """Return the class of a group of parameters: its own, or that of the gear.

        Parameters
        ----------
        group : Group or str
            Pitch, profile, helix or runout.

        Returns
        -------
        int or array
            As given.

        Examples
        --------
        >>> drawn = AccuracySpecification(
        ...     tolerance_class=7, edition=AccuracyEdition.ISO_1328_1_2013, profile_class=6)
        >>> drawn.class_of("pitch"), drawn.class_of("profile")
        (7, 6)
        """
        own = getattr(self, f"{Group(group)}_class")
        return self.tolerance_class if own is None else own

    @property
    def classes(self) -> dict[str, Number]:
        """The classes of all groups, by the names of the arguments of ``tolerances``."""
        return {f"{group}_class": self.class_of(group) for group in Group}


@dataclass(frozen=True, kw_only=True)
class ToothTraces:
    """Traces of some teeth of one flank side.

    Parameters
    ----------
    tooth : array of int
        Number of the tooth of each trace, from 1, shape (traces,); a tooth may come more than once.
    place_mm : array
        Roll length, or face position from the reference face, mm, growing; shape (traces, points) or
        (points,); NaN fills up a shorter trace.
    deviation_um : array
        µm, positive where the flank stands out; shape (..., traces, points); NaN where a point is missing.
    """

    tooth: Number
    place_mm: Number
    deviation_um: Number
