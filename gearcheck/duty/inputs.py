"""What the duty room needs to know of how a gear is loaded over its life."""

from __future__ import annotations

from dataclasses import dataclass

from gearcheck.basics.numbers import Number
from gearcheck.duty.damage import BelowKnee


@dataclass(frozen=True, kw_only=True)
class Bin:
    """One step of a duty: a torque and a speed of the gear under review, for a time.

    Parameters
    ----------
    torque_Nm, speed_rpm : float or array
        Torque in the first mesh, 0 or more, and speed.
    hours : float or array
        Time at it; only its share of all bins counts, the life required scales it.
    reverse : bool
        Whether the other flank carries the load.
    """

    torque_Nm: Number
    speed_rpm: Number
    hours: Number
    reverse: bool = False


@dataclass(frozen=True, kw_only=True)
class Duty:
    """The duty of a gear: its spectrum, its highest torque, and what stresses below the knee do.

    Parameters
    ----------
    bins : tuple of Bin
        The spectrum.
    below_knee : BelowKnee
        The treatment below the knee that was agreed.
    peak_torque_Nm : float, array or None
        Highest torque that comes a few times in a life, as at a start or a jam; None where it is that of the
        spectrum.
    starts : int
        How often the highest torque comes in the life required; each time loads each tooth once. A peak
        torque that is given comes once at least.
    torque_factor, speed_factor : float or array
        Factors on every torque of the duty, also the highest, and on every speed.
    source, source_text : str
        The file that the spectrum comes from and its text; empty where it stands in the gear file.
    """

    bins: tuple[Bin, ...]
    below_knee: BelowKnee
    peak_torque_Nm: Number = None
    starts: int = 0
    torque_factor: Number = 1.0
    speed_factor: Number = 1.0
    source: str = ""
    source_text: str = ""

    @property
    def highest_torque_Nm(self) -> Number:  # noqa: N802 - carries its unit
        """The highest torque, before its factor."""
        largest = max(item.torque_Nm for item in self.bins)
        return largest if self.peak_torque_Nm is None else max(largest, self.peak_torque_Nm)

    @property
    def times_highest(self) -> int:
        """How often the highest torque comes: at each start, and once where one is given without starts."""
        return self.starts or int(self.peak_torque_Nm is not None)

    @property
    def loaded(self) -> tuple[Bin, ...]:
        """The steps that carry load for some time, in the order in which they were given."""
        return tuple(item for item in self.bins if item.hours > 0 and item.torque_Nm > 0)
