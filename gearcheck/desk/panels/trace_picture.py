"""Measured traces of profile or helix: the flanks one below the other, and what spoils them in a sentence."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import ipywidgets as widgets

from gearcheck.accuracy.inputs import Flank, TraceKind
from gearcheck.accuracy.turn import OnceATurn
from gearcheck.basics.digits import decimals_text
from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import marked, notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.panels.sets import sets_html
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import capital, text
from gearcheck.figures.flank_map import map_drawing
from gearcheck.figures.measured_traces import flank_maps, flank_traces, trace_words
from gearcheck.figures.traces import reach_of_traces, traces_drawing
from gearcheck.review.results import Review
from gearcheck.review.traced import ReadTraces
from gearcheck.review.traced_findings import SIGNED

_MAPS = 4  # at most so many


class TracePicture:
    """The traces of the set that is shown.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    kind : TraceKind
        Profile or helix.
    chosen : callable
        Gives the place of the set that is shown among those of its kind.
    say : Say
        Where trouble is told.
    act : callable
        Called with what was clicked.
    """

    def __init__(
        self, state: Sheet, kind: TraceKind, chosen: Callable[[], int], say: Say, act: Callable[[str], None]
    ) -> None:
        self.state, self.kind, self._chosen = state, kind, chosen
        self._flanks = {flank: SharedChart() for flank in Flank}
        most = max((len(list(flank_maps(read))) for read in self._sets()), default=0)
        self._maps = [SharedChart() for _ in range(min(most, _MAPS))]
        self._said = Piece(self._words, say, act)
        self.widget = widgets.VBox([self._said, *self._flanks.values(), *self._maps])
        self.follow()
        state.observe(guarded(lambda _: self.follow(), say), ["shown"])

    def follow(self) -> None:
        """Draw again, as when another set is chosen."""
        self._said.refresh()
        read, shown = self._read(), self.state.shown
        known = {}
        if read is not None:
            found = {flank: flank_traces(read, flank, shown.chain.drawn, _class(shown)) for flank in Flank}
            known = {flank: one for flank, one in found.items() if one is not None}
        reach = reach_of_traces(list(known.values())) if known else None
        for flank, chart in self._flanks.items():
            chart.draw(traces_drawing(known[flank], reach) if flank in known else None)
        maps = list(flank_maps(read))[:_MAPS] if read is not None else []
        for place, chart in enumerate(self._maps):
            chart.draw(map_drawing(maps[place]) if place < len(maps) else None)

    def _sets(self) -> list[ReadTraces]:
        return [one for one in self.state.shown.traces if one.item.kind is self.kind]

    def _read(self) -> ReadTraces | None:
        sets, place = self._sets(), self._chosen()
        return sets[place] if place < len(sets) else None

    def _words(self, _: Folds) -> str:
        head = f'<h2 id="{self.kind}">{capital(self.kind)}</h2>'
        read = self._read()
        if read is None:
            section = f"[[evidence.{self.kind}]]"
            return (
                f"{head}<p>No {self.kind} has been measured yet: a section {section} in the gear file names "
                "its file.</p>"
            )
        which = sets_html(self.kind, [one.item.head for one in self._sets()], self._chosen())
        told = (*traces_said(self.state.shown, read), *turn_said(read))
        said = "".join(f"<p>{sentence}</p>" for sentence in told)
        return f"{head}{which}{said}{notices(read.evaluation.notices)}{_excluded(read)}"


def traces_said(shown: Review, read: ReadTraces) -> Iterator[str]:
    """Yield a sentence for each flank: the class that it makes, and which tooth makes it so.

    Parameters
    ----------
    shown : Review
        With the tolerances of the class drawn.
    read : ReadTraces
        One set.

    Yields
    ------
    str
        HTML.
    """
    drawn = shown.chain.drawn
    for flank in read.flanks:
        worst = {name: read.worst(flank, name) for name in ("total", "slope", "form")}
        if any(amount is None for amount, _ in worst.values()):
            yield f"The {flank} flanks have no class: a trace could not be evaluated."
            continue
        parts = []
        for name, (amount, trace) in worst.items():
            assert amount is not None
            assert trace is not None
            limit = None if drawn is None else getattr(drawn, f"{read.item.kind}_{name}_um")
            over = "" if limit is None or abs(amount) <= float(array(limit)) else ", over"
            sign = "±" if name in SIGNED else ""
            allowed = (
                "" if limit is None else f" of {sign}{decimals_text(float(array(limit)), 1, 'µm')}{over}"
            )
            parts.append(f"{name} {value(amount, 1)}{text(allowed)} ({text(trace_words(read, trace))})")
        reached = read.classes.get(flank)
        grade = None if reached is None else reached.overall
        made = "no class" if grade is None else f"class {value(grade, 0)}"
        yield f"<b>{capital(flank)} flanks, {made}</b>: {marked('; '.join(parts))}."


def turn_said(read: ReadTraces) -> Iterator[str]:
    """Yield how the slope of each flank comes back once a turn, which is the mounting and not the tooth.

    Parameters
    ----------
    read : ReadTraces
        One set.

    Yields
    ------
    str
        HTML; nothing of a flank with fewer than three teeth.
    """
    what = "wobble" if read.item.kind is TraceKind.HELIX else "eccentricity"
    for flank, turn in read.turns.items():
        if turn.amplitude_um is not None:
            yield (
                f"Once a turn the slope of the {flank} flanks swings by "
                f"±{value(turn.amplitude_um, 1, 'µm')}, as {what} of the mounting does; their mean is "
                f"{value(turn.mean_um, 1, 'µm')}. {_left_of_tooth(turn)}"
            )


def _left_of_tooth(turn: OnceATurn) -> str:
    """What the wave leaves of a single tooth; three teeth leave nothing to judge by."""
    if turn.notices:
        return " ".join(text(one.text) for one in turn.notices)
    return f"At most {value(turn.rest_um, 1, 'µm')} of a single tooth is no such wave."


def _excluded(read: ReadTraces) -> str:
    """Every stretch that does not count, with its reason."""
    items = "".join(
        f"<li>Left out: tooth {one.tooth}, {one.flank} flank, {value(one.from_mm, 2)} to "
        f"{value(one.to_mm, 2, 'mm')}: {text(one.reason)}</li>"
        for one in read.item.excluded
    )
    return f'<ul class="gc-list">{items}</ul>' if items else ""


def _class(shown: Review) -> str:
    accuracy = shown.record.gear.accuracy
    return "" if accuracy is None else f"class {decimals_text(float(array(accuracy.tolerance_class)), 0)}"
