"""What each station says in a few sentences, with the numbers that carry it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import numpy as np

from gearcheck.accuracy.inputs import AccuracySpecification, Group
from gearcheck.basics.digits import NO_BREAK, number_text
from gearcheck.basics.numbers import Number
from gearcheck.desk.panels.numbers import marked, settling, value
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import capital, text
from gearcheck.figures.depths import depth_lines
from gearcheck.hardening.inputs import CaseDepthRule
from gearcheck.report.sections import station_sentence
from gearcheck.review.results import MeshChain, stop_words
from gearcheck.review.worst_step import steps_in_words, worst_step

ASKS = {
    "geometry": "The active flank must end where clean involute still stands, whatever the grinding stock.",
    "stress": "Flank and root must keep the agreed safety for the required life.",
    "contact": "The loaded gear must turn as evenly as agreed, and its contact must stay on the flank.",
    "case depth": (
        "The case must be deep enough for the shear below the flank, not too deep for the tooth, "
        "and still there after grinding."
    ),
    "accuracy": "The class drawn must be the class agreed or finer, and the measured teeth must keep it.",
    "fatigue": "The specimens that were tested must support the life required of the part.",
    "inspection": (
        "The metal must be what the strength values rest on, and every requirement must be inspected in time."
    ),
}
"""What each station asks of the gear."""


def lead_html(state: Sheet, station: str) -> str:
    """Return what a station asks, how many requirements meet, and which is tightest."""
    return f"<p>{ASKS[station]} {text(station_sentence(state.shown, station))}</p>"


def argument_html(state: Sheet, station: str) -> str:
    """Return the sentences that lead to the chart of a station.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    station : str
        Its name.

    Returns
    -------
    str
        HTML.
    """
    return "".join(f"<p>{sentence}</p>" for sentence in _SAID[station](state))


def _geometry(state: Sheet) -> Iterator[str]:
    record = state.shown.record
    for mesh in state.shown.chain.meshes:
        pair, gear, mate = mesh.pair, mesh.gear.geometry, mesh.mate.geometry
        teeth = f"{number_text(gear.teeth)} and {number_text(mate.teeth)} teeth"
        yield (
            f"The gear with {text(mesh.name)}: {teeth}, "
            f"normal module {value(record.normal_module_mm, 3, 'mm')}, "
            f"helix angle {value(record.helix_angle_deg, 1, '°')}, "
            f"centre distance {value(pair.centre_distance_mm, 2, 'mm')}."
        )
        yield from _meshing(mesh)
        clearance = _clearance(mesh)
        if clearance is not None and not mesh.gear.clearance.stops and not mesh.pair.stops:
            side = "above" if clearance >= 0 else "below"
            yield (
                f"The active flank begins {value(abs(clearance), 2, 'mm')} of diameter {side} the root "
                "form circle."
            )


def _meshing(mesh: MeshChain) -> Iterator[str]:
    pair = mesh.pair
    said = _known(
        ("α_wt", pair.working_pressure_angle_deg, 2, "°", "working pressure angle"),
        ("ε_α", pair.transverse_contact_ratio, 2, "", "transverse contact ratio"),
        ("ε_β", pair.overlap_ratio, 2, "", "overlap ratio"),
        ("s_an", mesh.gear.geometry.tip_thickness_mm, 2, "mm", "tip thickness of the gear"),
    )
    if said:
        yield f"{capital('; '.join(said))}."


def _known(*named: tuple[str, Number, int, str, str]) -> list[str]:
    """Say what has a value: a stop leaves none."""
    return [
        f"{words} {marked(symbol)}{NO_BREAK}={NO_BREAK}{value(number, digits, unit)}".lstrip()
        for symbol, number, digits, unit, words in named
        if number is not None
    ]


def _clearance(mesh: MeshChain) -> float | None:
    clearance = mesh.gear.clearance
    if clearance.start_of_active_profile_mm is None or clearance.form_diameter_mm is None:
        return None
    return float(clearance.start_of_active_profile_mm - clearance.form_diameter_mm)


def _stress(state: Sheet) -> Iterator[str]:
    for data, mesh in zip(state.shown.record.meshes, state.shown.chain.meshes, strict=True):
        factors = mesh.factors
        if factors is None:
            yield f"Not rated against {text(mesh.name)}: {marked(mesh.missing)}."
            continue
        force = _known(("F_t", _thousandth(factors.tangential_force_N), 2, "kN", "a tangential force"))
        yield (
            f"Against {text(mesh.name)} the gear carries {value(data.torque_Nm, 0, 'N·m')} at "
            f"{value(data.speed_rpm, 0, 'rpm')}: {''.join(force)} "
            f"at {value(factors.pitch_line_velocity_m_s, 1, 'm/s')}."
        )
        flank = _known(
            ("K_A", factors.application_factor, 2, "", ""),
            ("K_γ", factors.mesh_load_factor, 2, "", ""),
            ("K_V", factors.dynamic_factor, 2, "", ""),
            ("K_Hβ", factors.face_load_factor, 2, "", ""),
            ("K_Hα", factors.transverse_factor_contact, 2, "", ""),
        )
        root = _known(
            ("K_Fβ", factors.face_factor_bending, 2, "", ""),
            ("K_Fα", factors.transverse_factor_bending, 2, "", ""),
        )
        at_root = f"; at the root the last two are {' and '.join(root)}" if len(root) == 2 else ""
        yield f"The load is raised by {', '.join(flank)}{at_root}."
        yield from _points_of(state, mesh)
    yield 'Step by step, with more sliders, it stands on the <a href="stress.ipynb">stress sheet</a>.'


def _points_of(state: Sheet, mesh: MeshChain) -> Iterator[str]:
    """What the charts of stress over load cycles show, and what they leave out under a duty."""
    drawn = mesh.flank is not None and mesh.flank.stress_MPa is not None
    if state.shown.record.duty is None:
        if drawn:
            yield "The margin is the distance from each point up to its limit."
        return
    if drawn:
        yield (
            "That is the torque and speed of the record, and so are the points in the charts of stress over "
            "load cycles. What decides is the duty: the damage of its steps is drawn first."
        )
    worst = steps_in_words(state.shown, mesh)
    if worst:
        yield f"Of its steps the worst decides: {text('; '.join(worst))}."


def _thousandth(number: float | None) -> float | None:
    return None if number is None else number / 1000


def _contact(state: Sheet) -> Iterator[str]:
    waits = ' class="gc-settling"' if settling(state) else ""
    for one in state.drawn.contact:
        found = one.nominal
        if found is None or one.reason:
            yield f"Against {text(one.mesh)}: {text(one.reason)}."
            continue
        yield (
            f"<span{waits}>Under the nominal torque against {text(one.mesh)} the transmission error goes to "
            f"and fro by {value(found.peak_to_peak_um, 1, 'µm')}; the contact reaches from "
            f"{value(found.pattern_from_mm, 1)} to {value(found.pattern_to_mm, 1, 'mm')} of "
            f"{value(found.face_width_mm, 1, 'mm')} of the face, with at most "
            f"{value(found.largest_pressure_MPa, 0, 'MPa')} and {marked('K_Hβ')}{NO_BREAK}={NO_BREAK}"
            f"{value(found.face_load_factor, 2)}{_rated_with(state, one.mesh)}.</span>"
        )
    yield 'Over torque, and with measured teeth, it stands on the <a href="contact.ipynb">contact sheet</a>.'


def _rated_with(state: Sheet, name: str) -> str:
    """The face load factor of the rating, beside that of the loaded contact."""
    factors = next((mesh.factors for mesh in state.shown.chain.meshes if mesh.name == name), None)
    if factors is None or factors.face_load_factor is None:
        return ""
    return f", where the rating counts {value(factors.face_load_factor, 2)}"


def _case_depth(state: Sheet) -> Iterator[str]:
    methods, case = state.shown.record.methods, state.shown.record.gear.case
    rule = "" if methods is None else f" by {text(methods.case_depth)}"
    for place, mesh in enumerate(state.shown.chain.meshes):
        known = {line.label: line.depth_mm for line in depth_lines(state.drawn, state.drawn, place)}
        if "needed" in known:
            needed = value(known["needed"], 2, "mm")
            step = worst_step(state.drawn, f"case.needed.{mesh.name}")
            at = f", at {text(step)}, which presses the flanks hardest" if step else ""
            yield f"Against {text(mesh.name)} a finished case of {needed} is needed{rule}{at}."
        if state.drawn.settled:
            waits = ' class="gc-settling"' if settling(state) else ""
            yield from (f"<span{waits}>{said}</span>" for said in _beside(state, place))
    if case is None:
        yield "The record says nothing of the case: how deep it is to be is still open."
        return
    finished = f"{value(case.finished_min_mm, 2)} to {value(case.finished_max_mm, 2, 'mm')}"
    treated = f"{value(case.as_treated_min_mm, 2)} to {value(case.as_treated_max_mm, 2, 'mm')}"
    yield f"The drawing asks for {finished} at 550 HV on the finished flank, {treated} as treated."


def _beside(state: Sheet, place: int) -> Iterator[str]:
    """The figures that stand beside the governing one."""
    found, methods = state.drawn.settled[place], state.drawn.record.methods
    required, figures = found.required, state.drawn.chain.meshes[place].figures
    if required is not None and required.depth_mm is not None:
        per_cent = abs(float(required.change_per_percent_mm or 0.0))
        solved = (
            f"Solved against yielding below the surface it would be {value(required.depth_mm, 2, 'mm')}; "
            f"1{NO_BREAK}% on its constant moves it by {value(per_cent, 3, 'mm')}"
        )
        reserve = found.reserve
        if reserve is not None:
            turns = reserve.words if reserve.factor is None else value(reserve.factor, 2)
            solved += f"; its torque reserve is {turns}"
        yield f"{solved}."
    if figures is None or methods is None:
        return
    others = (
        (CaseDepthRule.ISO_6336_5, "ISO crushing", figures.crushing_mm),
        (CaseDepthRule.AGMA_2101_SHEAR, "AGMA shear", figures.shear_mm),
        (CaseDepthRule.AGMA_2101_NORMAL, "normal curve", figures.normal_mm),
        (CaseDepthRule.AGMA_2101_HEAVY, "heavy curve", figures.heavy_mm),
    )
    said = [
        f"{words} {value(depth, 2, 'mm')}"
        for rule, words, depth in others
        if depth is not None and rule is not methods.case_depth
    ]
    if said:
        yield f"Beside it: {', '.join(said)}. None of these decides."


def _accuracy(state: Sheet) -> Iterator[str]:
    drawn, accuracy = state.shown.chain.drawn, state.shown.record.gear.accuracy
    if drawn is None or accuracy is None:
        yield "The record names no accuracy class."
        return
    own = _own_classes(accuracy)
    yield (
        f"Class {value(accuracy.tolerance_class, 0)} of {text(accuracy.edition)}{own} allows "
        f"{value(drawn.single_pitch_um, 1, 'µm')} of single pitch, "
        f"{value(drawn.cumulative_pitch_um, 1, 'µm')} of cumulative pitch and "
        f"{value(drawn.runout_um, 1, 'µm')} of runout."
    )
    if not state.shown.record.pitch:
        yield "No pitch has been measured yet."
    shown = state.shown
    for evidence, found in zip(shown.record.pitch, shown.pitch, strict=True):
        measured = text(capital(evidence.head.applies_to))
        single = _sides(found.left_single_pitch_um, found.right_single_pitch_um)
        total = _sides(found.left_cumulative_pitch_um, found.right_cumulative_pitch_um)
        yield (
            f"{measured} was measured: single pitch {single}, "
            f"cumulative pitch {total}, runout {value(found.runout_um, 1, 'µm')}."
        )
    for part in shown.reached:
        yield text(capital(part.sentence))


def _own_classes(accuracy: AccuracySpecification) -> str:
    """The groups of parameters that have a class of their own."""
    own = {group: getattr(accuracy, f"{group}_class") for group in Group}
    said = [f"{group} class {value(one, 0)}" for group, one in own.items() if one is not None]
    return f" ({', '.join(said)})" if said else ""


def _fatigue(state: Sheet) -> Iterator[str]:
    if state.shown.record.fatigue is None:
        yield "The gear file names no tests of specimens."
        return
    waits = ' class="gc-settling"' if settling(state) else ""
    for one in state.drawn.fatigue:
        if one.reason or one.levels is None or one.fit is None:
            yield f"Tests of the {one.tests.place}: {text(one.reason)}."
            continue
        levels = one.levels
        failed = value(np.sum(levels.failures), 0)
        yield (
            f"<span{waits}>Tests of the {one.tests.place}: {value(levels.data.count, 0)} specimens at "
            f"{value(np.size(levels.stress_MPa), 0)} levels count, {failed} of them failed; "
            f"the {one.tests.curve} governs. {text(one.tests.because)}</span>"
        )
        for mesh in one.supported:
            if stopped := stop_words(mesh.stress):
                yield f"<span{waits}>Against {text(mesh.mesh)}: {text(stopped)}</span>"
                continue
            yield (
                f"<span{waits}>Against {text(mesh.mesh)} the stress reaches "
                f"{value(mesh.stress.stress_MPa, 0, 'MPa')}; the fitted curve alone would bear "
                f"{value(mesh.stress.plug_in_MPa, 0, 'MPa')}, and with a confidence of "
                f"{value(100 * one.tests.confidence, 0, '%')} {value(mesh.stress.supported_MPa, 0, 'MPa')} "
                f"are supported. Between specimen and part {value(one.pedigree.open, 0)} of "
                f"{value(one.pedigree.count, 0)} lines are open.</span>"
            )
        planned = state.shown.record.fatigue and state.shown.record.fatigue.endurance
        if one.passing is not None and planned:
            yield (
                f"<span{waits}>The endurance test of {value(planned.gears, 0)} gears that is planned passes "
                f"with a probability of {value(one.passing.passed, 2)}.</span>"
            )
    yield 'Curve, life and plans stand on the <a href="fatigue.ipynb">fatigue sheet</a>.'


def _inspection(state: Sheet) -> Iterator[str]:
    found = state.shown.inspected
    if found is None:
        yield "The gear file names no route: what is inspected where is still open."
        return
    route, items = found.plan.route, found.plan.characteristics
    used = sum(bool(found.plan.at(step)) for step in route.operations)
    yield (
        f"{text(route.title)}: {value(len(items), 0)} characteristics at {value(used, 0)} of its "
        f"{value(len(route.operations), 0)} operations. Route, evidence and dispositions stand on the "
        '<a href="inspection.ipynb">inspection sheet</a>.'
    )


def _sides(left: float | None, right: float | None) -> str:
    return f"{value(left, 1)} left and {value(right, 1, 'µm')} right"


_SAID: Mapping[str, Callable[[Sheet], Iterator[str]]] = {
    "geometry": _geometry,
    "stress": _stress,
    "contact": _contact,
    "case depth": _case_depth,
    "accuracy": _accuracy,
    "fatigue": _fatigue,
    "inspection": _inspection,
}
