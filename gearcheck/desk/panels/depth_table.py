"""The depths that are asked for, side by side: solved, and by the figures of the standards."""

from __future__ import annotations

from collections.abc import Iterator

from gearcheck.basics.digits import MINUS
from gearcheck.desk.panels.numbers import marked, settling, value
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import capital, text
from gearcheck.hardening.criteria import PAIRS, Criterion
from gearcheck.hardening.fatigue_depth import CriterionDepth
from gearcheck.hardening.inputs import CaseDepthRule, DepthRule
from gearcheck.review.inputs import Methods

NOT_SAID = (
    "Fatigue below the surface is not solved: a section [gear.subsurface] in the gear file, with friction, "
    "the largest inclusion and the residual stress, puts three criteria side by side."
)
SPREAD = (
    "They differ because they ask different questions. The figures of the standards are drawn from what has "
    "held: they want the case to reach past the shear with room to spare. The solved depth is the least that "
    "keeps the metal from yielding at the agreed safety; it knows nothing of fatigue or of inclusions."
)


def depths_html(state: Sheet, place: int) -> str:
    """Return the table of the depths asked for in one mesh.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    place : int
        Which mesh.

    Returns
    -------
    str
        HTML; the governing figure is marked, and what has no value says why.
    """
    head = '<h2 id="depths">How deep, and by what</h2>'
    rows = "".join(
        f'<tr><th scope="row">{name}</th><td class="num">{depth}</td><td>{said}</td></tr>'
        for name, depth, said in (*_figures(state, place), *_waiting(state, place))
    )
    if not rows:
        return f"{head}<p>No depth follows: the record does not reach the contact stress.</p>"
    waits = ' class="gc-settling"' if settling(state) else ""
    columns = (
        '<tr><th scope="col">By</th><th scope="col" class="num">depth at 550 HV</th>'
        '<th scope="col">What it is</th></tr>'
    )
    return (
        f'{head}<table class="gc-table"><thead>{columns}</thead><tbody>{rows}</tbody></table>'
        f"<p{waits}>{_why(state, place)}</p>{settling(state)}"
    )


def _why(state: Sheet, place: int) -> str:
    """Why the depths differ."""
    found = state.drawn.settled[place].side_by_side if state.drawn.settled else None
    return f"{SPREAD} {NOT_SAID}" if found is None else marked(found.why())


def _waiting(state: Sheet, place: int) -> Iterator[tuple[str, str, str]]:
    """What is solved; greyed until it has followed."""
    if not settling(state):
        yield from _solved(state, place)
        return
    for name, depth, said in _solved(state, place):
        yield name, f'<span class="gc-settling">{depth}</span>', said


def _figures(state: Sheet, place: int) -> Iterator[tuple[str, str, str]]:
    shown = state.drawn
    mesh, methods = shown.chain.meshes[place], shown.record.methods
    figures = mesh.figures
    if figures is not None:
        for rule, depth, said in (
            (CaseDepthRule.ISO_6336_5, figures.crushing_mm, "case crushing, from the contact stress"),
            (CaseDepthRule.AGMA_2101_SHEAR, figures.shear_mm, "from the contact stress, at 50 HRC"),
            (CaseDepthRule.AGMA_2101_NORMAL, figures.normal_mm, "from the module alone, common loads"),
            (CaseDepthRule.AGMA_2101_HEAVY, figures.heavy_mm, "from the module alone, heavy loads"),
        ):
            yield _named(methods, rule, text(rule)), value(depth, 2, "mm"), text(said)


def _named(methods: Methods | None, rule: DepthRule, name: str) -> str:
    """Mark the rule that governs."""
    return f"<b>{name}, governs</b>" if methods is not None and methods.case_depth is rule else name


def _solved(state: Sheet, place: int) -> Iterator[tuple[str, str, str]]:
    if not state.drawn.settled:
        return
    found = state.drawn.settled[place]
    if found.required is None:
        yield "Yielding below the surface, solved", "no value", marked(found.reason)
        return
    for result, where in ((found.required, ""), (found.single_contact, ", single contact alone")):
        if result is None:
            continue
        name = f"Yielding below the surface, solved{where}"
        if not where:
            name = _named(state.drawn.record.methods, Criterion.YIELDING, name)
        if result.depth_mm is None:
            yield name, "no depth suffices", " ".join(text(notice.text) for notice in result.stops)
            continue
        per_cent = abs(float(result.change_per_percent_mm or 0.0))
        said = f"{_held(Criterion.YIELDING)}; {_steep(per_cent)}"
        yield name, value(result.depth_mm, 2, "mm"), said
    if found.side_by_side is not None:
        for criterion, depth in found.side_by_side.fatigue.items():
            name = f"{text(capital(criterion))}, solved"
            told, said = _by_criterion(depth)
            yield (
                _named(state.drawn.record.methods, criterion, name),
                told,
                f"{_held(criterion)}; {said}",
            )


def _held(criterion: Criterion) -> str:
    """Which stress a criterion holds against which strength, and whether residual stress counts."""
    pair = PAIRS[criterion]
    residual = "" if pair.residual_stress else ", without residual stress"
    return marked(f"{pair.stress} against {pair.strength}{residual}".replace(" - ", f" {MINUS} "))


def _by_criterion(found: CriterionDepth) -> tuple[str, str]:
    """The depth by one criterion, and what its constant is worth; why there is none."""
    if found.depth_mm is None:
        return "no depth suffices", " ".join(text(notice.text) for notice in found.stops)
    worth = abs(float(found.change_per_percent_mm or 0.0))
    most = "" if found.enough_to_mm is None else f"; enough up to {value(found.enough_to_mm, 2, 'mm')} only"
    if float(found.depth_mm) == 0:
        return value(0.0, 2, "mm"), "the core alone carries it"
    return value(found.depth_mm, 2, "mm"), f"{_steep(worth)}{most}"


def _steep(change_mm: float) -> str:
    """What one per cent of the constant of its strength is worth."""
    return f"its strength constant 1 % lower: {value(change_mm, 3, 'mm')} more"
