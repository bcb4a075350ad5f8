"""Three questions to guess at before the calculation answers, each with drafts worked out on the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.review.chain import calculate
from gearcheck.review.changes import changed, open_changes
from gearcheck.review.inputs import Record
from gearcheck.review.results import MeshChain

_SAME = 0.01  # two gains closer than this are alike
_WIDTHS = 21


@dataclass(frozen=True, kw_only=True)
class Tried:
    """One draft that was worked out.

    Parameters
    ----------
    words : str
        What it does.
    values : mapping of str to float
        The draft; empty for the record itself.
    said : str
        What became of it, with its numbers.
    """

    words: str
    values: Mapping[str, float]
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


def _mesh(record: Record, values: Mapping[str, float]) -> MeshChain:
    return calculate(changed(record, values)).meshes[0]


def _root(mesh: MeshChain) -> float:
    """The safety of the gear's root; not a number where there is none."""
    found = mesh.gear.root_safety
    return float("nan") if found is None or found.safety is None else float(found.safety)


def _flank(mesh: MeshChain) -> Array:
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
    before, coarse, shift = (_mesh(record, values) for values in ({}, fewer, shifted))
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
    meshes = [_mesh(record, values) for values in drafts]
    safety = [float(_flank(mesh)) for mesh in meshes]
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
        Tried(words=name, values=values, said=f"S_H = {value:.2f}{gain}; {_factors(mesh)}")
        for name, values, value, gain, mesh in zip(names, drafts, safety, gains, meshes, strict=True)
    )
    right = 2 if abs(fast - slow) < _SAME / 2 else 0 if fast < slow else 1
    said = (
        "At full speed it costs more on this gear.",
        "At a tenth of the speed it costs more on this gear.",
        "At both it costs this gear about the same.",
    )
    return Answer(right=right, tried=tried, said=said[right])


def _factors(mesh: MeshChain) -> str:
    assert mesh.factors is not None
    return f"K_V = {mesh.factors.dynamic_factor:.2f}, K_Hα = {mesh.factors.transverse_factor_contact:.2f}"


def _wider(record: Record) -> Answer | None:
    change = next(one for one in open_changes(record) if one.key == "face_width")
    low, high = change.bounds(record)
    width = float(change.read(record))
    widths = np.linspace(low, high, _WIDTHS)
    safety = np.broadcast_to(_flank(_mesh(record, {"face_width": widths})), widths.shape)  # type: ignore[dict-item]
    if np.isnan(safety).any():
        return None
    best = float(widths[int(np.argmax(safety))])
    shown = dict.fromkeys((low, width, best, high))
    tried = tuple(_at_width(record, one, width) for one in shown)
    right = 0 if best >= high else 1 if best > width else 2
    given = record.meshes[0].face_load_factor is not None
    fixed = (
        " But its face load factor is given and stays the same at every width: that is the catch. Give the "
        "shaft and its bearings, and the factor follows."
        if given
        else ""
    )
    said = (
        "Within reach every mm helps.",
        f"It helps up to {best:.0f} mm, then the uneven load takes more than the width gives.",
        f"It is past its best already, which lies at {best:.0f} mm.",
    )
    return Answer(right=right, tried=tried, said=f"{said[right]}{fixed}")


def _at_width(record: Record, value: float, width: float) -> Tried:
    rounded = round(value, 1)
    values = {} if rounded == width else {"face_width": rounded}
    mesh = _mesh(record, values)
    assert mesh.factors is not None
    said = f"S_H = {float(_flank(mesh)):.2f} with K_Hβ = {float(mesh.factors.face_load_factor):.2f}"
    return Tried(words=f"{rounded:.1f} mm wide", values=values, said=said)


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
            "the tip sharper, and the more shift there is already, the less the next tenth brings."
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
        ask="Does more face width always help the flank?",
        guesses=("yes, every mm", "up to a point", "no, it is past its best"),
        reason=(
            "Width spreads the load, but shafts bend and housings are bored askew: the wider the face, the "
            "more misalignment across it, and one end carries more than its share. K_Hβ grows with about the "
            "square of the width where bending governs, so there is a width beyond which steel is added for "
            "nothing. Crowning and lead correction move that width further out."
        ),
        work=_wider,
    ),
)
"""The questions of the stress sheet."""
