"""The inspection sheet: route, characteristics, evidence, coverage and dispositions of one record."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels import blocked, coverage, dispositions, measuring, plan_edits, route_line
from gearcheck.desk.panels.callouts import Callouts
from gearcheck.desk.panels.characteristic import facts_html, findings_html
from gearcheck.desk.panels.first_article import FirstArticle
from gearcheck.desk.panels.head import outcome_html
from gearcheck.desk.panels.others import others_html
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.record_sheet import RecordSheet, RefusedRecordSheet, opened_record, show, show_row
from gearcheck.desk.words import text
from gearcheck.inspection.plan import Characteristic
from gearcheck.record.dispositions import due
from gearcheck.record.standing import conceded
from gearcheck.review.results import Inspected

SHEET = "inspection.ipynb"
PLACES = (
    ("route", "Route"),
    ("coverage", "Coverage"),
    ("dispositions", "Dispositions"),
    ("changes", "Changes"),
    ("callouts", "Callouts"),
    ("first-article", "First article"),
)
NO_PLAN = (
    "This record has no inspection plan: its gear file has no section [inspection], which names a route, the "
    "decision rule and the acceptance document. Add it to the gear file, and adopt the file in the review."
)
_MARGINS = {
    "coverage": (
        "Rules that are data turn requirements into characteristics; each stands where it can be seen and is "
        "not lost again.",
    ),
    "dispositions": (
        "A disposition says what becomes of the part. It never hides the finding, and a concession ends "
        "where its requirement moves.",
        "It is written in the role of whoever decides: name it at the head of this sheet.",
    ),
    "changes": ("Each change is a new revision of the record, with its reason; nothing is taken away.",),
    "first-article": (
        "A first-article report does not release a part: whoever signs it has held the part and the papers.",
    ),
}


def open_inspection(query: str = "") -> OpenInspection | RefusedInspection:
    """Open the inspection sheet of a record.

    Parameters
    ----------
    query : str
        The query of the address, which names the record; else it is that of the gear file that the desk was
        opened with.

    Returns
    -------
    OpenInspection or RefusedInspection
        The sheet; or one that says why there is none.
    """
    try:
        return OpenInspection(*opened_record(query))
    except InputError as error:
        return RefusedInspection(error)


class OpenInspection(RecordSheet):
    """The sheet of route, evidence and dispositions; takes what `RecordSheet` takes."""

    def __init__(self, kept: Kept, query: str) -> None:
        super().__init__(kept, query)
        self._last: dict[str, str] = {}
        self._chosen: dict[str, Mapping[str, str]] = {}
        self._line = self._following(self._route, self._measure)

    @property
    def found(self) -> Inspected | None:
        """The plan with what the evidence says of it; None where the gear file asks for none."""
        return self.kept.whole().inspected

    @property
    def unreported(self) -> tuple[str, ...]:
        """Keys of requirements that nothing inspects and that nothing says so of; there are none."""
        found = self.found
        if found is None:
            return ()
        told = {gap.about for gap in found.gaps} | {item.key for item in self.requirements if item.reason}
        return tuple(
            key for key in found.plan.requirements if not found.plan.serving(key) and key not in told
        )

    def _act(self, act: str) -> None:
        """What others wrote is taken in, or a characteristic is opened where the route shows it."""
        kind, _, what = act.partition(":")
        if kind == "open":
            self._line.folds.opened.add(f"char:{what}")
            self._line.refresh()
        elif kind == "take-in":
            super()._act(act)

    def head(self) -> None:
        """Show what record it is, its outcome, and who writes."""
        self._show_head(lambda: blocked.head_html(self.kept, SHEET, PLACES), self._outcome)

    def _outcome(self) -> str:
        shown, book = self.kept.whole(), self.kept.book
        waiting = len(due(shown, book))
        count = "One contradiction waits" if waiting == 1 else f"{waiting} contradictions wait"
        said = f'<p id="due">{count} for a <a href="#dispositions">disposition</a>.</p>' if waiting else ""
        return f"{outcome_html(shown, conceded(shown, book))}{said}{others_html(self.kept)}"

    def route(self) -> None:
        """Show the route as a line with its characteristics, and the forms for evidence."""
        title = self._following(lambda _: self._lead()).add_class("gc-main")
        head = (
            widgets.Box([title, widgets.HTML().add_class("gc-margin")])
            .add_class("gc-row")
            .add_class("gc-part")
        )
        show(head, self._line)

    def _lead(self) -> str:
        found = self.found
        said = f"<p>{text(NO_PLAN)}</p>" if found is None else route_line.lead_html(found)
        return f'<h2 id="route">Route</h2>{said}'

    def _route(self, folds: Folds) -> str:
        found = self.found
        if found is None:
            return ""
        return route_line.route_html(found, folds, lambda item: self._opened(item, folds)) + _table(
            found, folds
        )

    def _opened(self, item: Characteristic, folds: Folds) -> str:
        shown = self.kept.whole()
        assert shown.inspected is not None
        facts = facts_html(shown, item) + findings_html(shown.inspected.findings[item.key])
        entry = measuring.entry_html(item, self._known(), folds)
        return f'<div class="gc-opened"><div>{facts}</div><div>{entry}</div></div>'

    def _known(self) -> dict[str, str]:
        """What a form begins with: today, who writes, and what the last one said."""
        return {"date": self.kept.workspace.today, "by": self.kept.person.name} | self._last

    def _measure(self, key: str, values: Mapping[str, str]) -> None:
        measuring.take(self.kept, key, values)
        self._last = {name: values[name] for name in measuring.HEAD if values.get(name)} or self._last
        self._line.refresh()

    def coverage(self) -> None:
        """Show what the plan leaves open, and the requirements by the operations."""
        self._part("coverage", "Coverage", lambda found, _: self._covered(found))

    def _covered(self, found: Inspected) -> str:
        return coverage.gaps_html(found) + coverage.matrix_html(self.kept.whole(), found)

    def dispositions(self) -> None:
        """Show the contradictions that wait for a disposition, and what was decided."""
        self._part(
            "dispositions",
            "Dispositions",
            lambda *_: dispositions.dispositions_html(self.kept, self._chosen),
            lambda key, values: dispositions.decide(self.kept, key, values),
            self._chosen.__setitem__,
        )

    def changes(self) -> None:
        """Show what was added to the plan, changed and struck, with the forms that do."""
        self._part(
            "changes",
            "Characteristics added or struck",
            lambda _, folds: plan_edits.edits_html(self.kept, folds),
            lambda key, values: plan_edits.edit(self.kept, key, values),
        )

    def callouts(self) -> None:
        """Show what goes on the drawing, what set it, and what happens if it is relaxed."""
        title = widgets.HTML('<h2 id="callouts">Drawing callouts</h2>').add_class("gc-main")
        margin = widgets.HTML("<p>Which requirements set each</p>").add_class("gc-margin")
        head = widgets.Box([title, margin]).add_class("gc-row").add_class("gc-part")
        show(head, Callouts(self.kept, self._say).piece)

    def first_article(self) -> None:
        """Show the files of the first article."""
        title = widgets.HTML('<h2 id="first-article">First article</h2>')
        files = [FirstArticle(self.kept, self._say).widget()] if self.found is not None else []
        _row("first-article", widgets.VBox([title, *files]))

    def _part(self, key: str, title: str, build: Any, form: Any = None, chosen: Any = None) -> None:
        """A row whose panel needs a plan."""

        def html(folds: Folds) -> str:
            found = self.found
            return f'<h2 id="{key}">{title}</h2>{"" if found is None else build(found, folds)}'

        _row(key, self._following(html, form, chosen))


class RefusedInspection(RefusedRecordSheet):
    """The same without a record that can be read."""

    found: Inspected | None = None
    unreported: tuple[str, ...] = ()
    route = coverage = dispositions = changes = callouts = first_article = RefusedRecordSheet._nothing


def _table(found: Inspected, folds: Folds) -> str:
    inside = measuring.table_html(found.plan, folds)
    return f'<div class="gc-row gc-after"><div class="gc-main">{inside}</div></div>'


def _row(key: str, main: widgets.Widget) -> None:
    show_row(main, _MARGINS[key])
