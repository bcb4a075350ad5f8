"""Three questions on accuracy, answered by the calculation on the gear under review."""

from __future__ import annotations

import numpy as np

from gearcheck.accuracy.pitch import PitchDeviations, pitch_deviations
from gearcheck.basics.numbers import Array, array
from gearcheck.review.chain import calculate
from gearcheck.review.changes import open_changes
from gearcheck.review.guesses import Answer, Question, Tried, drafted_mesh, factors_words, weaker_flank
from gearcheck.review.inputs import Record

_STEP = "tooth to tooth"
OFFSET_um = 10.0
_LITTLE, _MUCH = 0.01, 0.03  # of flank safety
_SAME = 0.002  # of a dynamic factor


def _eccentric(record: Record) -> Answer | None:
    drawn = calculate(record).drawn
    if drawn is None or drawn.single_pitch_um is None:
        return None
    pair = calculate(record).meshes[0].pair
    found = off_centre(int(record.gear.tooth.teeth), float(array(pair.transverse_pressure_angle_deg)))
    spoiled = (
        ("single pitch", found.left_single_pitch_um, drawn.single_pitch_um),
        ("cumulative pitch", found.left_cumulative_pitch_um, drawn.cumulative_pitch_um),
        (_STEP, found.left_adjacent_um, drawn.single_pitch_um),
    )
    shares = [float(array(value)) / float(array(limit)) for _, value, limit in spoiled]
    tried = tuple(
        Tried(
            words=name,
            values=None,
            said=f"{float(array(value)):.1f} µm, {100 * share:.0f} % of the {float(array(limit)):.1f} µm "
            f"{'that a single pitch may have' if name == _STEP else 'allowed'}",
        )
        for (name, value, limit), share in zip(spoiled, shares, strict=True)
    )
    right = int(np.argmax(shares))
    runout = float(array(found.runout_um))
    said = f"The {spoiled[right][0]}; the runout becomes {runout:.1f} µm, twice the offset."
    return Answer(right=right, tried=tried, said=said)


def off_centre(teeth: int, pressure_angle_deg: float, offset_um: float = OFFSET_um) -> PitchDeviations:
    """Return the pitch deviations of a gear without a fault that is clamped off centre.

    Parameters
    ----------
    teeth : int
        z.
    pressure_angle_deg : float
        α_t at the measuring circle in °.
    offset_um : float
        How far off, µm.

    Returns
    -------
    PitchDeviations
        Of both flanks.
    """
    angle = np.radians(pressure_angle_deg)
    turn = 2 * np.pi * np.arange(teeth) / teeth

    def moved(side: float) -> Array:
        """Along the arc: each flank lies half a thickness beside its tooth and faces outwards by α_t."""
        faces = side * (np.pi / (2 * teeth) + np.pi / 2 - angle) - turn
        return array(-side * offset_um * np.cos(faces) / np.cos(angle))

    left, right = moved(1.0), moved(-1.0)
    return pitch_deviations(
        left_um=left - np.roll(left, 1),
        right_um=right - np.roll(right, 1),
        transverse_pressure_angle_deg=pressure_angle_deg,
    )


def _finer(record: Record) -> Answer | None:
    change = next((one for one in open_changes(record) if one.key == "class"), None)
    if change is None:
        return None
    now = float(array(change.read(record)))
    finer = now - 1
    if finer < change.bounds(record)[0]:
        return None
    drafts: tuple[dict[str, float], ...] = ({}, {"class": finer})
    meshes = [drafted_mesh(record, values) for values in drafts]
    if any(mesh.factors is None for mesh in meshes):
        return None
    safety = [float(weaker_flank(mesh)) for mesh in meshes]
    if np.isnan(safety).any():
        return None
    gain = safety[1] / safety[0] - 1
    right = 0 if gain < _LITTLE else 1 if gain < _MUCH else 2
    tried = tuple(
        Tried(words=f"class {grade:.0f}", values=values, said=f"S_H = {one:.3f}; {factors_words(mesh, 3)}")
        for grade, values, one, mesh in zip((now, finer), drafts, safety, meshes, strict=True)
    )
    return Answer(right=right, tried=tried, said=f"It buys {100 * gain:.1f} % of flank safety.")


def _relief(record: Record) -> Answer | None:
    relief = float(array(record.gear.tip_relief_um))
    if relief <= 0 or not any(one.key == "relief" for one in open_changes(record)):
        return None
    drafts: tuple[dict[str, float], ...] = ({}, {"relief": 0.0})
    meshes = [drafted_mesh(record, values) for values in drafts]
    if any(mesh.factors is None for mesh in meshes):
        return None
    factors = [float(array(mesh.factors.dynamic_factor)) for mesh in meshes if mesh.factors is not None]
    if np.isnan(factors).any():
        return None
    grown = factors[1] / factors[0] - 1
    right = 2 if abs(grown) < _SAME else 0 if grown > 0 else 1
    tried = tuple(
        Tried(words=words, values=values, said=factors_words(mesh, 3))
        for words, values, mesh in zip((f"relief {relief:.0f} µm", "no relief"), drafts, meshes, strict=True)
    )
    word = ("It rises", "It falls", "It hardly moves")[right]
    return Answer(right=right, tried=tried, said=f"{word}: {100 * grown:+.1f} %.".replace("-", "−"))


ACCURACY_QUESTIONS = (
    Question(
        key="eccentric",
        ask=(
            f"A gear without a fault is clamped {OFFSET_um:.0f} µm off centre and measured. Which deviation "
            "does that spoil most?"
        ),
        guesses=("single pitch", "cumulative pitch", "tooth to tooth, from one pitch to the next"),
        reason=(
            "Off centre the flanks lie early on one half of a turn and late on the other: a slow wave that "
            "no single pitch sees and the running sum collects. It shows as a circle that lies to one side. "
            "Before a gear is ground again, look whether it is the gear or the clamping."
        ),
        work=_eccentric,
    ),
    Question(
        key="finer",
        ask="The drawing goes one class finer. How much flank safety does it buy?",
        guesses=("less than 1 %", "1 to 3 %", "more than 3 %"),
        reason=(
            "A class moves K_V and K_Hα, and K_Hβ where a shaft makes it; stress goes with the root of "
            "the load. Near 1 there is little to win, while the effort of the grind "
            "goes up by a fixed share. Noise and the contact pattern may still ask for it."
        ),
        work=_finer,
    ),
    Question(
        key="relief",
        ask="The tip relief is taken away altogether. What becomes of the dynamic factor K_V?",
        guesses=("it rises", "it falls", "it hardly moves"),
        reason=(
            "A relief that fits the deflection under load lets the next tooth come in gently. One that is "
            "far larger than the deflection is felt as a deviation of its own: then less of it is better. "
            "Through method B it counts for classes up to 5 only."
        ),
        work=_relief,
    ),
)
"""The questions of the accuracy sheet."""
