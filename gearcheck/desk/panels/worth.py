"""What a class is worth: the tolerance budget, every class in a row, and what the measured flanks make."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.consequence import (
    budget_html,
    consequence_html,
    effort_source_html,
    measured_html,
)
from gearcheck.desk.panels.later import Later, waiting_html
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.figures.consequence import factor_drawing, reserve_drawing
from gearcheck.figures.drawing import Drawing
from gearcheck.figures.transmission import transmission_drawing
from gearcheck.review.budget import GroupBudget, tolerance_budget
from gearcheck.review.consequence import Consequences, consequences
from gearcheck.review.inputs import Record
from gearcheck.review.measured_flanks import (
    MeasuredCorrection,
    MeasuredError,
    measured_corrections,
    measured_errors,
)
from gearcheck.review.whole import review


@dataclass(frozen=True, kw_only=True)
class WorthOf:
    """What was worked out for one draft: every class, the budget, and what its measured flanks make."""

    classes: Consequences | None
    budget: tuple[GroupBudget, ...]
    errors: tuple[MeasuredError, ...]
    corrections: tuple[MeasuredCorrection, ...]


def worth_of(record: Record) -> WorthOf:
    """Work out all of it for one record."""
    whole = review(record, with_settled=False)
    return WorthOf(
        classes=consequences(record),
        budget=tolerance_budget(record),
        errors=measured_errors(whole),
        corrections=measured_corrections(whole),
    )


class Budget:
    """The tolerance budget.

    Parameters
    ----------
    later : Later
        What follows the draft, by `worth_of`.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Carried: the coarsest class of that group at which every requirement that was calculated still "
        "meets, with all else held.",
        "A group that no rating counts may still be asked for by noise, contact pattern or the case that a "
        "correction leaves.",
    )

    def __init__(self, later: Later, say: Say) -> None:
        self.widget = Piece(lambda _: _budget(later), say)
        later.observe(guarded(lambda _: self.widget.refresh(), say), ["found", "waits"])


def _budget(later: Later) -> str:
    head = '<h2 id="worth">What a class is worth</h2>'
    return f"{head}{waiting_html(later, lambda found: budget_html(found.budget))}"


class Charted:
    """Words with charts below them that follow a draft at rest.

    Parameters
    ----------
    later : Later
        What follows the draft, by `worth_of`.
    head : str
        HTML above the words; it does not wait.
    words : callable
        Gives the HTML for what was worked out.
    draw : sequence of callable
        Each gives a drawing for it, or None.
    say : Say
        Where trouble is told.
    """

    def __init__(
        self,
        later: Later,
        head: str,
        words: Callable[[WorthOf], str],
        draw: tuple[Callable[[WorthOf], Drawing | None], ...],
        say: Say,
    ) -> None:
        self._later, self._head, self._build, self._draw = later, head, words, draw
        self._charts = [SharedChart() for _ in draw]
        self._said = Piece(self._words, say)
        self.widget = widgets.VBox([self._said, *self._charts])
        self._follow(None)
        later.observe(guarded(self._follow, say), ["found", "waits"])

    def _words(self, _: Folds) -> str:
        return f"{self._head}{waiting_html(self._later, self._build)}"

    def _follow(self, _: Any) -> None:
        self._said.refresh()
        found = self._later.found
        for chart, draw in zip(self._charts, self._draw, strict=True):
            chart.draw(None if found is None else draw(found))


def class_by_class(state: Sheet, later: Later, say: Say) -> Charted:
    """Return the part that puts every class in a row, with the class of the record as a ghost."""
    meshes = range(len(state.ghost.chain.meshes))

    def ghost() -> float | None:
        accuracy = state.record.gear.accuracy
        return None if accuracy is None or not state.draft else float(array(accuracy.tolerance_class))

    def factors(mesh: int, found: WorthOf) -> Drawing | None:
        return None if found.classes is None else factor_drawing(found.classes, mesh, ghost())

    def reserves(found: WorthOf) -> Drawing | None:
        return None if found.classes is None else reserve_drawing(found.classes, ghost())

    draw = [partial(factors, mesh) for mesh in meshes]
    return Charted(later, "", _classes, (*draw, reserves), say)


def _classes(found: WorthOf) -> str:
    source = "" if found.classes is None else effort_source_html()
    return f"{consequence_html(found.classes)}{source}"


def flanks_unloaded(later: Later, say: Say) -> Charted:
    """Return the part that shows how unevenly the measured flanks turn without load."""
    head = '<h2 id="unloaded">The measured flanks, unloaded</h2>'

    def error(found: WorthOf) -> Drawing | None:
        first = found.errors[0] if found.errors else None
        return transmission_drawing(first.error, first.flank) if first else None

    return Charted(later, head, lambda found: measured_html(found.errors, found.corrections), (error,), say)
