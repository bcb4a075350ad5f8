"""From the specimens to the gear: in what they differ, what answers each difference, and what it costs."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.numbers import array
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.fatigue_tests import nothing
from gearcheck.desk.panels.fatigue_view import FatigueView
from gearcheck.desk.panels.numbers import marked, notices, source, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.fatigue.inputs import TransferKind
from gearcheck.fatigue.pedigree import PedigreeLine, State
from gearcheck.fatigue.transfers import TransferChain
from gearcheck.fatigue.weakest import size_shift
from gearcheck.figures.fatigue_tests import percent
from gearcheck.review.fatigue import FatigueLife


class FatigueGear:
    """Pedigree and transfers of the tests that are shown.

    Parameters
    ----------
    view : FatigueView
        What is known of them.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Specimen and part never are the same. Each difference needs a named transfer or a reason, or it "
        "stays open and is counted.",
        "Transfers that cover the same are not multiplied unless it is said why: what is taken off twice is "
        "not safer but wrong.",
        "A gear is as strong as its weakest tooth. The share of the scatter within a gear says how far its "
        "teeth differ: where all scatter lies between gears, many teeth are no worse than one.",
    )

    def __init__(self, view: FatigueView, say: Say) -> None:
        self._view = view
        self.widget = Piece(self._html, say)
        view.observe(guarded(lambda _: self.widget.refresh(), say), "moved")

    def _html(self, folds: Folds) -> str:
        head = '<h2 id="gear">From the specimens to the gear</h2>'
        life = self._view.life
        if life is None:
            return head + nothing(self._view)
        said = "".join(f"<p>{line}</p>" for line in _sentences(life, self._view))
        rows = life.pedigree.lines
        opened = [line for line in rows if line.state is State.OPEN]
        table = _pedigree([*opened, *(line for line in rows if line.state is not State.OPEN)])
        more = folds.fold("pedigree", f"Pedigree, {len(rows)} lines", lambda: table)
        transfers = _transfers(life.transfers) if life.transfers.transfers else ""
        return f"{head}{said}{transfers}{notices(life.transfers.notices)}{_open(opened)}{more}"


def _sentences(life: FatigueLife, view: FatigueView) -> Iterator[str]:
    found = life.pedigree
    alike, transferred, reasoned, left = (
        int(array(one)) for one in (found.alike, found.transferred, found.reasoned, found.open)
    )
    yield (
        f"Of {len(found.lines)} lines of the pedigree {alike} are alike, {transferred} are answered by a "
        f"transfer and {reasoned} by a reason; <b>{left if left else 'none'} "
        f"{'is' if left == 1 else 'are'} open</b>."
    )
    if life.transfers.stops:  # it is told beside them, and leaves no factor
        return
    factor, deviation = float(array(life.transfers.factor)), float(array(life.transfers.log_deviation))
    yield (
        f"The transfers make the strength <b>{value(factor, 3)}</b> of that of the specimens, known within "
        f"about {value(100 * deviation, 1, '%')} (one standard deviation).{_size(view)}"
    )
    if few := _few_gears(life):
        yield few


def _few_gears(life: FatigueLife) -> str:
    """What is left open because the specimens are teeth of few gears."""
    few = life.few_gears
    if few is None or few.log_deviation is None or not np.any(array(few.log_deviation) > 0):
        return ""
    gears = len(set(life.levels.data.gears)) if life.levels else 0
    shift, deviation = -float(array(few.log_shift)), float(array(few.log_deviation))
    return (
        f"The specimens are teeth of {gears} gears, and what teeth of one gear share is seen from these "
        f"alone: it takes {value(100 * shift, 1, '%')} off the strength at the reliability required and "
        f"leaves it known within {value(100 * deviation, 1, '%')} beside that (one standard deviation)."
    )


def _size(view: FatigueView) -> str:
    """What many teeth cost, where they are counted."""
    service = view.service
    if service is None or service.teeth == 1:
        return ""
    found = size_shift(
        teeth=service.teeth,
        within_share=service.within_share,
        failed_share=1.0 - view.wanted.reliability,
        log_deviation=0.0,
    )
    within = value(100 * service.within_share, 0, "%")
    sets = f" A set of {service.gears} gears is lost with its first." if service.gears > 1 else ""
    return (
        f" A gear has {_teeth(view)}: it counts as the weakest of {number_text(service.teeth, 2)} specimens. "
        f"With {within} of the variance within a gear, at {percent(view.wanted.reliability)} it lies "
        f"{value(-float(array(found.shift)), 2)} standard deviations of the strength below one.{sets}"
    )


def _teeth(view: FatigueView) -> str:
    """How many teeth a gear has, and how many of them a specimen tests."""
    life = view.life
    assert life is not None
    teeth, loaded = int(array(view.state.record.gear.tooth.teeth)), life.tests.teeth_loaded
    if loaded == 1:
        return f"{teeth} teeth, tested one by one"
    return f"{teeth} teeth, tested {'two' if loaded == 2 else loaded} at a time"


def _transfers(chain: TransferChain) -> str:
    rows = []
    for one, factor in zip(chain.transfers, chain.factors, strict=True):
        weakest = one.kind is TransferKind.WEAKEST_TOOTH
        said = "by its teeth" if weakest else value(float(array(factor)), 3)
        spread = "" if weakest else value(100 * float(array(one.variation)), 1, "%")
        covers = text(", ".join(one.covers))
        why = f"<br>stands beside another: {text(one.despite)}" if one.despite else ""
        rows.append(
            f'<tr><th scope="row">{text(one.name)}{why}</th><td class="num">{said}</td><td '
            f'class="num">{spread}'
            f"</td><td>{covers}</td><td>{source(one.source, one.status)}</td></tr>"
        )
    heads = (("transfer", ""), ("factor", "num"), ("variation", "num"), ("covers", ""), ("source", ""))
    head = "".join(f'<th scope="col" class="{kind}">{name}</th>' for name, kind in heads)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{"".join(rows)}</tbody></table>'


def _open(lines: list[PedigreeLine]) -> str:
    return "".join(
        f'<p class="gc-caution">The {text(line.what)} differs and nothing answers for it: '
        f"“{text(line.specimen or 'not told')}” of the specimens, “{text(line.part or 'not told')}” of the "
        "part. It is open.</p>"
        for line in lines
    )


def _pedigree(lines: list[PedigreeLine]) -> str:
    rows = "".join(
        f'<tr><th scope="row">{text(line.what)}</th><td>{text(line.specimen or "not told")}</td>'
        f"<td>{text(line.part or 'not told')}</td><td>{_answer(line)}</td></tr>"
        for line in lines
    )
    names = ("what", "specimen", "part", "answer")
    head = "".join(f'<th scope="col">{name}</th>' for name in names)
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _answer(line: PedigreeLine) -> str:
    if line.state is State.ALIKE:
        return "alike"
    if line.state is State.OPEN:
        return "<b>open</b>"
    kind = "transfer" if line.state is State.TRANSFERRED else "reason"
    return f"{kind}: {marked(line.answer)}"
