"""Three questions to guess at before the calculation answers, each with drafts worked out on the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.numbers import Array, Number, array
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.inputs import Record
from gearcheck.review.results import MeshChain
from gearcheck.stress.inputs import Shaft, ShaftLayout

_SAME = 0.01  # two gains closer than this are alike
_LESS = 0.7  # a gain below this share of the first is clearly less
_EXAMPLE = (
    "The record gives K_Hβ as a number that no width moves: that is the catch. So the gains are those with a "
    "shaft of our own invention, three times as long between its bearings as the face is wide."
)


@dataclass(frozen=True, kw_only=True)
class Tried:
    """One draft that was worked out.

    Parameters
    ----------
    words : str
        What it does.
    values : mapping of str to float, or None
        The draft; empty for the record itself, None where no draft can do it.
    said : str
        What became of it, with its numbers.
    """

    words: str
    values: Mapping[str, float] | None
    said: str


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What the calculation says of this gear.

    Parameters
    ----------
    right : int
        The place of the guess that is right.
    tried : tuple of Tried
        The drafts behind it.
    said : str
        The answer in a sentence.
    """

    right: int
    tried: tuple[Tried, ...]
    said: str


@dataclass(frozen=True, kw_only=True)
class Question:
    """One question.

    Parameters
    ----------
    key, ask : str
        Its name, and what is asked.
    guesses : tuple of str
        What may be guessed.
    reason : str
        Why it is so, in the words of the trade; it does not depend on the gear.
    work : callable
        Gives the answer for a record; None where the record does not reach it.
    """

    key: str
    ask: str
    guesses: tuple[str, ...]
    reason: str
    work: Callable[[Record], Answer | None]


def drafted_mesh(record: Record, values: Mapping[str, Number]) -> MeshChain:
    """The first mesh of a record with a draft in it."""
    return calculate(changed(record, values)).meshes[0]


def _root(mesh: MeshChain) -> float:
    """The safety of the gear's root; not a number where there is none."""
    found = mesh.gear.root_safety
    return float("nan") if found is None or found.safety is None else float(found.safety)


def weaker_flank(mesh: MeshChain) -> Array:
    """The safety of the weaker flank; not a number where there is none."""
    known = [one.flank.safety for one in (mesh.gear, mesh.mate) if one.flank is not None]
    values = [array(value) for value in known if value is not None]
    return np.asarray(np.minimum.reduce(np.broadcast_arrays(*values))) if values else np.array(np.nan)


def _percent(ratio: float) -> str:
    return f"{100 * (ratio - 1):+.1f} %".replace("-", "−")


def _has(record: Record, *keys: str) -> bool:
    known = {change.key for change in open_changes(record)}
    return known.issuperset(keys)


def _stronger_root(record: Record) -> Answer | None:
    if not _has(record, "teeth", "profile_shift"):
        return None
    teeth = float(record.gear.tooth.teeth)
    fewer = {"teeth": min(float(round(teeth / 1.1)), teeth - 1)}
    shifted = {"profile_shift": float(record.gear.tooth.profile_shift) + 0.1}
    before, coarse, shift = (drafted_mesh(record, values) for values in ({}, fewer, shifted))
    base, by_module, by_shift = (_root(mesh) for mesh in (before, coarse, shift))
    if np.isnan([base, by_module, by_shift]).any():
        return None
    gap = (by_module - by_shift) / base
    module, ratio = coarse.pair.normal_module_mm, coarse.pair.transverse_contact_ratio
    tip = shift.gear.geometry.tip_thickness_mm
    tried = (
        Tried(words="as it stands", values={}, said=f"S_F = {base:.2f}"),
        Tried(
            words=f"{fewer['teeth']:.0f} teeth in place of {teeth:.0f}, module {module:.2f} mm",
            values=fewer,
            said=f"S_F = {by_module:.2f}, {_percent(by_module / base)}; ε_α = {ratio:.2f}",
        ),
        Tried(
            words=f"profile shift {shifted['profile_shift']:.2f}",
            values=shifted,
            said=f"S_F = {by_shift:.2f}, {_percent(by_shift / base)}; tip thickness {tip:.2f} mm",
        ),
    )
    right = 2 if abs(gap) < _SAME else 0 if gap > 0 else 1
    said = ("The larger module", "The profile shift", "Neither: both")[right]
    more = "gain about the same" if right == 2 else "gains more"
    return Answer(right=right, tried=tried, said=f"{said} {more} on this gear.")


def _coarser(record: Record) -> Answer | None:
    if not _has(record, "class", "speed"):
        return None
    change = next(one for one in open_changes(record) if one.key == "class")
    grade, speed = float(change.read(record)), float(record.meshes[0].speed_rpm)
    worse = min(grade + 2, change.bounds(record)[1])
    drafts: tuple[dict[str, float], ...] = (
        {},
        {"class": worse},
        {"speed": speed / 10},
        {"speed": speed / 10, "class": worse},
    )
    meshes = [drafted_mesh(record, values) for values in drafts]
    safety = [float(weaker_flank(mesh)) for mesh in meshes]
    if worse <= grade or np.isnan(safety).any():
        return None
    fast, slow = safety[1] / safety[0], safety[3] / safety[2]
    names = (
        f"class {grade:.0f} at {speed:.0f} rpm",
        f"class {worse:.0f} at {speed:.0f} rpm",
        f"class {grade:.0f} at {speed / 10:.0f} rpm",
        f"class {worse:.0f} at {speed / 10:.0f} rpm",
    )
    gains = ("", f", {_percent(fast)}", "", f", {_percent(slow)}")
    tried = tuple(
        Tried(words=name, values=values, said=f"S_H = {value:.2f}{gain}; {factors_words(mesh)}")
        for name, values, value, gain, mesh in zip(names, drafts, safety, gains, meshes, strict=True)
    )
    right = 2 if abs(fast - slow) < _SAME / 2 else 0 if fast < slow else 1
    said = (
        "At full speed it costs more on this gear.",
        "At a tenth of the speed it costs more on this gear.",
        "At both it costs this gear about the same.",
    )
    return Answer(right=right, tried=tried, said=said[right])


def factors_words(mesh: MeshChain, decimals: int = 2) -> str:
    """Say the load factors that a class moves."""
    assert mesh.factors is not None
    dynamic, transverse = (
        float(array(value)) for value in (mesh.factors.dynamic_factor, mesh.factors.transverse_factor_contact)
    )
    return f"K_V = {dynamic:.{decimals}f}, K_Hα = {transverse:.{decimals}f}"


def _wider(record: Record) -> Answer | None:
    change = next(one for one in open_changes(record) if one.key == "face_width")
    high, width = change.bounds(record)[1], float(change.read(record))
    held = _on_shaft(record)
    if held is None:
        return None
    # a tenth more width, at that of the record and at the widest
    widths = np.array([width, 1.1 * width, high / 1.1, high])
    safety = np.broadcast_to(weaker_flank(drafted_mesh(held, {"face_width": widths})), widths.shape)
    if np.isnan(safety).any():
        return None
    first, last = safety[1] / safety[0] - 1, safety[3] / safety[2] - 1
    right = 2 if last <= 0 else 1 if last < _LESS * first else 0
    tried = tuple(_at_width(record, held, one, width) for one in (width, 1.1 * width, high / 1.1, high))
    gains = (
        f"A tenth more width brings {_percent(1 + first)} at {width:.0f} mm and {_percent(1 + last)} at "
        f"{high:.0f} mm."
    )
    shaft = "" if held is record else f" {_EXAMPLE}"
    return Answer(right=right, tried=tried, said=f"{gains}{shaft}")


def _on_shaft(record: Record) -> Record | None:
    """The record with a face load factor that follows from a shaft: its own, or one of our own invention."""
    mesh = record.meshes[0]
    if mesh.face_load_factor is None:
        return record
    rated = calculate(record).meshes[0]
    if rated.factors is None:
        return None
    span = 3.0 * float(record.gear.tooth.face_width_mm)
    shaft = Shaft(
        layout=ShaftLayout.TOWARDS_TORQUE,
        span_mm=span,
        offset_mm=0.1 * span,
        diameter_mm=0.75 * float(array(rated.factors.reference_diameter_mm)),
        stiffened=True,
    )
    return replace(record, meshes=(replace(mesh, face_load_factor=None, shaft=shaft), *record.meshes[1:]))


def _at_width(record: Record, held: Record, value: float, width: float) -> Tried:
    rounded = round(value, 1)
    values = {} if rounded == width else {"face_width": rounded}
    said = []
    for one, where in ((record, "as given"), (held, "from the shaft"))[record is held :]:
        mesh = drafted_mesh(one, values)
        assert mesh.factors is not None
        load = float(mesh.factors.face_load_factor)
        said.append(f"S_H = {float(weaker_flank(mesh)):.2f} with K_Hβ = {load:.2f} {where}")
    return Tried(words=f"{rounded:.1f} mm wide", values=values, said="; ".join(said))


QUESTIONS = (
    Question(
        key="root",
        ask=(
            "The root of the gear has to get stronger and the centre distance stands. Which gains more: a "
            "module about a tenth larger, with fewer teeth, or 0.1 more profile shift, which the mate gives "
            "back?"
        ),
        guesses=("the larger module", "the profile shift", "about the same"),
        reason=(
            "The stress falls with the square of the chord at the root and rises with the arm of the force. "
            "A larger module makes both larger, so the stress falls about as the module grows; contact ratio "
            "and smooth running pay. Shift makes the foot of the gear thicker, but the mate's thinner and "
            "the tip sharper. The more shift there is already, the less the next tenth brings; it even takes "
            "away where the arm of the force grows faster than the chord."
        ),
        work=_stronger_root,
    ),
    Question(
        key="class",
        ask=(
            "The teeth are made two accuracy classes coarser. Where does it cost more of the flank's safety: "
            "at the speed of this gear, or at a tenth of it?"
        ),
        guesses=("at full speed", "at a tenth of it", "about the same"),
        reason=(
            "Deviations cost twice. They shake the gears, and the shake grows with speed towards resonance: "
            "K_V. And they let one pair of teeth carry more than its share, at any speed: K_Hα. At a crawl "
            "the first is gone and the second stays. How much either counts also hangs on the load: under "
            "high load teeth bend more than they deviate."
        ),
        work=_coarser,
    ),
    Question(
        key="width",
        ask=(
            "Does more face width always help the flank as much? With pinion, shaft and bearings as they "
            "are, what does a tenth more bring once the gear is 1.6 times as wide?"
        ),
        guesses=("about as much as now", "clearly less: under 0.7 of it", "nothing, or it hurts"),
        reason=(
            "Width spreads the load, but shafts bend and housings are bored askew: the wider the face, the "
            "more misalignment across it, and one end carries more than its share. K_Hβ grows with about the "
            "square of the width where bending governs, so on every shaft there is a width beyond which "
            "steel is added for nothing. A stiff shaft, crowning and lead correction move it far out."
        ),
        work=_wider,
    ),
)
"""The questions of the stress sheet."""
