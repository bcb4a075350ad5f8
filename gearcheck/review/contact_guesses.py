"""Three questions on the loaded contact, answered by the calculation on the gear under review."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from gearcheck.basics.numbers import Array, array
from gearcheck.meshing.form import Misalignment, ToothDeviations
from gearcheck.meshing.loaded import LoadedContact, loaded_contact
from gearcheck.meshing.revolution import LoadedRevolution, loaded_revolution
from gearcheck.review.chain import calculate
from gearcheck.review.changes import open_changes
from gearcheck.review.contact_of import ContactOf, at_torques, contact_of
from gearcheck.review.guesses import Answer, Question, Tried
from gearcheck.review.inputs import Record

OUT_UM = 10.0
"""By so much one tooth is misplaced, and an axis leans more."""
_CLEARLY = 2.0  # times as much is clearly more
_SAME = 0.05


def _contact(record: Record) -> ContactOf | None:
    found = contact_of(record, calculate(record), 0)
    return None if isinstance(found, str) or found.torque_Nm <= 0 else found


def _misplaced(record: Record) -> Answer | None:
    of = _contact(record)
    if of is None:
        return None
    count = int(array((of.bed.pair.pinion if of.gear_is_pinion else of.bed.pair.wheel).teeth))
    index = np.zeros(count)
    without, out = (_turned(of, index), _turned(of, index + OUT_UM * (np.arange(count) == count // 2)))
    grown = np.abs(array(out.spectrum_um) - array(without.spectrum_um))[: 2 * count - 1]
    at_mesh, low, high = (
        float(grown[count - 1]),
        grown[: count // 2],
        np.delete(grown, count - 1)[count // 2 :],
    )
    mostly_low = float(np.median(low)) > _CLEARLY * float(np.median(high))
    right = 0 if at_mesh >= grown.max() else 1 if mostly_low else 2
    orders = [float(array(one.orders_um)[0]) for one in (without, out)]
    once = float(array(out.pinion_turn_um if of.gear_is_pinion else out.wheel_turn_um))
    tried = (
        Tried(words="once a turn", values=None, said=f"0 µm before, {once:.3f} µm with it"),
        Tried(
            words="mesh order 1", values=None, said=f"{orders[0]:.3f} µm before, {orders[1]:.3f} µm with it"
        ),
        Tried(
            words="the other orders",
            values=None,
            said=f"at the median {np.median(low):.3f} µm more up to half the mesh order, "
            f"{np.median(high):.3f} µm more beyond",
        ),
    )
    word = ("It raises the mesh order most.", "It fills the low orders.", "It adds alike to all orders.")[
        right
    ]
    return Answer(right=right, tried=tried, said=f"{word} One tooth of {count} is {OUT_UM:.0f} µm out.")


def _turned(of: ContactOf, index: Array) -> LoadedRevolution:
    teeth = ToothDeviations(index_um=index)
    return loaded_revolution(
        bed=of.bed,
        torque_Nm=of.torque_Nm,
        pinion=of.pinion,
        wheel=of.wheel,
        misalignment=of.misalignment,
        pinion_teeth=teeth if of.gear_is_pinion else None,
        wheel_teeth=None if of.gear_is_pinion else teeth,
    )


def _crowned(record: Record) -> Answer | None:
    of = _contact(record)
    if of is None:
        return None
    lean = replace(of.misalignment, out_of_plane_um=array(of.misalignment.out_of_plane_um) + 2 * OUT_UM)
    form = of.pinion if of.gear_is_pinion else of.wheel
    drawn = float(array(form.helix_crowning_um))
    found = [_with(of, lean, crowning) for crowning in (drawn, drawn + OUT_UM)]
    pressure = [float(array(one.largest_pressure_MPa)) for one in found]
    grown = pressure[1] / pressure[0] - 1
    right = 2 if abs(grown) < _SAME else 0 if grown < 0 else 1
    tried = tuple(
        Tried(
            words=f"{crowning:.0f} µm of helix crowning",
            values=_draft(record, lean, crowning),
            said=_said(one),
        )
        for crowning, one in zip((drawn, drawn + OUT_UM), found, strict=True)
    )
    word = ("It falls", "It rises", "It hardly moves")[right]
    peak = [float(array(one.peak_to_peak_um)) for one in found]
    said = f"{word}, {_percent(grown)}; the error goes from {peak[0]:.2f} to {peak[1]:.2f} µm."
    return Answer(right=right, tried=tried, said=said)


def _with(of: ContactOf, lean: Misalignment, crowning_um: float) -> LoadedContact:
    """With another lean of the axes, and another crowning of the gear under review."""
    name = "pinion" if of.gear_is_pinion else "wheel"
    forms = {"pinion": of.pinion, "wheel": of.wheel}
    forms[name] = replace(forms[name], helix_crowning_um=crowning_um)
    return loaded_contact(bed=of.bed, torque_Nm=of.torque_Nm, misalignment=lean, **forms)


def _draft(record: Record, lean: Misalignment, crowning: float) -> Mapping[str, float] | None:
    wanted = {"misalignment": float(array(lean.out_of_plane_um)), "helix_crowning": crowning}
    known = {change.key for change in open_changes(record)}
    return wanted if known.issuperset(wanted) else None


def _half(record: Record) -> Answer | None:
    of = _contact(record)
    if of is None:
        return None
    found = at_torques(of, of.torque_Nm * np.array([1.0, 0.5]))
    peak = array(found.peak_to_peak_um)
    grown = float(peak[1] / peak[0]) - 1
    right = 2 if abs(grown) < _SAME else 0 if grown < 0 else 1
    torque = float(array(record.meshes[0].torque_Nm))
    drafts: tuple[dict[str, float], ...] = ({}, {"torque": torque / 2})
    tried = tuple(
        Tried(words=words, values=draft, said=f"{one:.2f} µm from peak to peak")
        for words, draft, one in zip(("the nominal torque", "half of it"), drafts, peak, strict=True)
    )
    word = ("More evenly", "Less evenly", "About as before")[right]
    return Answer(right=right, tried=tried, said=f"{word}: the error moves by {_percent(grown)}.")


def _said(found: LoadedContact) -> str:
    names = ("largest_pressure_MPa", "face_load_factor", "peak_to_peak_um")
    pressure, factor, peak = (float(array(getattr(found, name))) for name in names)
    return f"{pressure:.0f} MPa, K_Hβ {factor:.2f} and {peak:.2f} µm from peak to peak"


def _percent(grown: float) -> str:
    return f"{100 * grown:+.0f} %".replace("-", "−")


CONTACT_QUESTIONS = (
    Question(
        key="misplaced",
        ask=f"One tooth of the gear is misplaced by {OUT_UM:.0f} µm, all others are as drawn. What does that "
        "do to the orders of the transmission error under load?",
        guesses=(
            "it raises the mesh order most",
            "it fills the orders below the mesh order, and leaves the mesh order nearly alone",
            "it adds about the same to all orders",
        ),
        reason=(
            "A tooth that is out comes once a turn, as a bump about as long as its time in mesh. A bump of a "
            "pitch or two is made of the orders from once a turn up to the number of teeth over that length, "
            "and of little above. Its neighbours share the load and hide part of it. One hears a "
            "knock, not a tone."
        ),
        work=_misplaced,
    ),
    Question(
        key="crowned",
        ask=f"The axes lean by {2 * OUT_UM:.0f} µm more across their plane. The gear gets {OUT_UM:.0f} µm "
        "more helix crowning. What becomes of the largest contact pressure?",
        guesses=("it falls", "it rises", "it hardly moves"),
        reason=(
            "Crowning takes the load off the end that the lean pushes into the mate, and gathers it in the "
            "middle. Where the lean is large against the deflection of the teeth it helps; where the teeth "
            "give way enough by themselves, it only makes the pattern narrower."
        ),
        work=_crowned,
    ),
    Question(
        key="half",
        ask="The drive runs at half the nominal torque. Does the pair turn more evenly?",
        guesses=("more evenly", "less evenly", "about as before"),
        reason=(
            "Without relief the error comes from how the teeth give way: half the torque, about half the "
            "error. A relief that fits the full torque is too much at half of it: the flanks then turn on "
            "their relief, and the error can grow."
        ),
        work=_half,
    ),
)
"""The questions of the contact sheet."""
