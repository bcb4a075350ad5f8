"""The parts of a report as pieces of HTML: a notebook shows them one by one, the page in a row."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from gearcheck.basics.digits import decimals_text, value_text
from gearcheck.basics.methods import Notice
from gearcheck.record.fingerprint import fingerprint
from gearcheck.record.words import day_words, moment_words
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.workings import results_within, working_lines
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.fatigue_leaves import OF_TESTS
from gearcheck.review.inputs import KINDS
from gearcheck.review.leaves import leaf_of, leaves
from gearcheck.review.results import Review, Working
from gearcheck.review.sources import resting_on, row_statuses
from gearcheck.review.stations import NAMES
from gearcheck.review.whole import blocking, blocking_words, outcome
from gearcheck.review.words import evidence_word, lower_first, reserve_rank, reserve_text, share_text

# a letter with its index, which ends before a raised 2 or 3
_INDEXED = re.compile(r"([^\W\d_]+′?)_([^\W²³]+)")
_RAISED = re.compile(r"\^(\((?:[^()]|\([^()]*\))+\)|[-−]?[^\W²³]+(?:\.\d+)?)")


@dataclass(frozen=True, slots=True)
class Section:
    """One piece of a report; a notebook shows it as HTML.

    Parameters
    ----------
    title : str
        What it is.
    html : str
        Everything that came from outside is escaped in it.
    """

    title: str
    html: str

    def __repr__(self) -> str:
        return self.title

    def _repr_html_(self) -> str:
        return self.html

    @property
    def bundle(self) -> dict[str, str]:
        """What a notebook keeps of it."""
        return {"text/html": self.html, "text/plain": self.title}


@cache
def templates() -> Environment:
    """Return the templates: whatever they print is escaped, and a name that is missing is an error."""
    made = Environment(
        loader=FileSystemLoader(Path(__file__).parent, encoding="utf-8"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(symbols=symbols, decimals=decimals_text, statuses=row_statuses)
    made.filters.update(moment=moment_words, day_words=day_words, fingerprint=fingerprint)
    made.filters.update(evidence_word=evidence_word, reserve=reserve_text, share=share_text)
    return made


def symbols(text: str) -> Markup:
    """Return symbols with their index lowered and powers raised: ``σ_H0`` as σ with H0 below.

    Parameters
    ----------
    text : str
        A symbol or a formula.

    Returns
    -------
    Markup
        Escaped, with ``<sub>`` in place of the underscore and ``<sup>`` in place of the caret.

    Examples
    --------
    >>> print(symbols("d_b·cos(α) < 2"))
    d<sub>b</sub>·cos(α) &lt; 2
    """
    raised = _RAISED.sub(r"<sup>\1</sup>", str(escape(text)))
    return Markup(_INDEXED.sub(r"\1<sub>\2</sub>", raised))


def piece(file: str, name: str, title: str, **values: Any) -> Section:
    """Return what one macro of a template prints."""
    macro: Callable[..., str] = getattr(templates().get_template(file).module, name)
    return Section(title, str(macro(**values)))


def _piece(name: str, title: str, **values: Any) -> Section:
    return piece("sections.html.j2", name, title, **values)


def heading(whole: Review, revision: int) -> Section:
    """The job: part number, drawing revision, revision of the record, title, stage and note."""
    return _piece("heading", "Part", part=whole.record.part, revision=revision)


def job(whole: Review) -> Section:
    """What the gear has to do and what it is made to: every input in words.

    What differs between specimens and part, and which were left out, stands in the section of their tests.
    """
    groups: dict[str, list[tuple[str, str]]] = {}
    for place, value in leaves(whole.record).items():
        leaf = leaf_of(place)
        elsewhere = place[0] == "part" or place[:2] == ("methods", "readings") or place[3:4] in _TOLD
        if leaf.key and not elsewhere:
            said = value if isinstance(value, str) else value_text(value, leaf.unit, _DIGITS[bool(leaf.unit)])
            group = _group(whole, place)
            # the heading says already which tests they are
            label = leaf.label.partition(OF_TESTS)[0] if place[:2] == ("fatigue", "tests") else leaf.label
            groups.setdefault(group, []).append((label, said))
    groups.setdefault("Duty", []).extend(_steps_of_duty(whole))
    groups = {name: items for name, items in groups.items() if items}
    return _piece("job", "Job and inputs", groups=groups)


def _steps_of_duty(whole: Review) -> Iterator[tuple[str, str]]:
    """Each step of the duty on a line, also where it stands in a file of its own."""
    duty = whole.record.duty
    for number, item in enumerate(() if duty is None else duty.bins, start=1):
        said = (("torque_Nm", "N·m"), ("speed_rpm", "rpm"), ("hours", "h"))
        values = (value_text(getattr(item, name), unit) for name, unit in said)
        yield f"step {number}", ", ".join((*values, "reverse" if item.reverse else "forward"))


_TOLD = (("differences",), ("excluded",))
_DIGITS = (12, 7)
"""A pure number as it was typed, many nines too; of one with a unit none of those that its change brings."""


def _group(whole: Review, place: tuple[str | int, ...]) -> str:
    if place[:2] == ("fatigue", "tests"):
        assert whole.record.fatigue is not None
        return f"Tests of the {whole.record.fatigue.tests[int(place[2])].place}"
    if place[0] == "meshes":
        mesh = whole.record.meshes[int(place[1])]
        return f"Mate {mesh.name}" if place[2] == "mate" else f"Mesh with {mesh.name}"
    named = {
        "required": "Agreed for this contract",
        "methods": "Governing methods",
        "duty": "Duty",
        "lubricant": "Lubricant",
        "fatigue": "Whole gears",
    }
    return named.get(str(place[0]), "The gear")


def cautions() -> Section:
    """What is said before any number."""
    return _piece("cautions", "Cautions", sentences=CAUTIONS)


def outcome_section(whole: Review, granted: frozenset[str] = frozenset()) -> Section:
    """The outcome in one sentence, what blocks the stage, and what is conceded."""
    said = {
        "sentence": outcome(whole),
        "blocking": blocking(whole),
        "held_up": blocking_words(whole),
        "conceded": granted,
        "covers": conceded_words(whole, granted),
    }
    return _piece("outcome", "Outcome", **said)


def conceded_words(whole: Review, granted: frozenset[str]) -> str:
    """Say how many requirements are covered by concessions; empty where none is."""
    count = sum(item.key in granted for item in whole.requirements)
    if not count:
        return ""
    one = "A concession covers one of them" if count == 1 else f"Concessions cover {count} of them"
    return f"{one}; that hides no answer."


def requirements(whole: Review) -> Section:
    """Every requirement with its two answers, its margin and its governing method."""
    return _piece("requirements", "Requirements", items=whole.requirements)


def evidence(whole: Review) -> Section:
    """Every measured value against its limit."""
    items = [item for item in whole.requirements if item.findings]
    return _piece("evidence", "Evidence", items=items)


def station(whole: Review, name: str) -> Section:
    """What one station says: its sentence and its notices."""
    return _piece(
        "station", name.capitalize(), sentence=station_sentence(whole, name), notices=_notices(whole, name)
    )


def workings(whole: Review, name: str) -> Section:
    """The workings of one station: symbol = expression = numbers = value."""
    shown = [step.result for step in whole.workings]
    sheets = [
        {"title": title, "cite": result.method.cite, "lines": working_lines(result)}
        for step in _steps(whole, name)
        for title, result in results_within(step.title, step.result, shown)
    ]
    return _piece("workings", f"Workings: {name}", sheets=sheets)


def beside(whole: Review) -> Section:
    """The solved case depth of each mesh, which stands beside the governing one and never decides."""
    return _piece("beside", "Beside the governing method", items=whole.settled)


def methods(whole: Review) -> Section:
    """Every method that the numbers follow: where it stands, how well it is known, and where it holds."""
    return _piece("methods", "Methods", items=[item for entry in resting_on(whole) for item in entry.methods])


def sources(whole: Review) -> Section:
    """The ledger: what rests on published values, on memory and on common practice."""
    return _piece("sources", "Sources", items=resting_on(whole))


def readings(whole: Review) -> Section:
    """The governing methods and the reading at each clause that can be read two ways."""
    chosen = whole.record.methods
    rows = {} if chosen is None else {key: str(value) for key, value in asdict(chosen.readings).items()}
    governing = {} if chosen is None else {name: str(getattr(chosen, name)) for name in GOVERNED}
    return _piece("readings", "Readings", governing=governing, readings=rows)


GOVERNED = ("stress", "case_depth", "accuracy", "contact_pressure")


def inputs(whole: Review) -> Section:
    """The gear file as it was read, the evidence by its digest, and the versions."""
    record = whole.record
    heads = [item.head for kind in KINDS for item in getattr(record, kind)]
    return _piece(
        "inputs",
        "Inputs",
        text=record.source_text,
        digest=record.digest,
        heads=heads,
        versions=whole.versions,
    )


def station_names(whole: Review) -> tuple[str, ...]:
    """Return the stations that have a requirement or a working, in their order."""
    present = {item.station for item in whole.requirements} | {step.station for step in whole.workings}
    return tuple(name for name in NAMES if name in present)


def station_sentence(whole: Review, name: str) -> str:
    """Say what one station found, and which of its requirements is tightest.

    Parameters
    ----------
    whole : Review
        Complete.
    name : str
        The station.

    Returns
    -------
    str
        One or two sentences.
    """
    items = [item for item in whole.requirements if item.station == name]
    if not items:
        return "Nothing is required here."
    sentence = _counts(items) + _evidence_counts(items)
    ranked = [(rank, item) for item in items if (rank := reserve_rank(item.reserve)) is not None]
    if not ranked:
        return sentence
    _, tightest = min(ranked, key=lambda pair: pair[0])
    said = f"{sentence} Tightest is {lower_first(tightest.title)}"
    if tightest.reserve is not None and tightest.reserve.words:
        return f"{said}; torque reserve: {tightest.reserve.words}."
    return f"{said}, with a torque reserve of {reserve_text(tightest.reserve)}."


def _counts(items: list[Requirement]) -> str:
    if len(items) == 1:
        return f"By calculation, the one requirement {_SAID[items[0].by_calculation][0]}."
    counts = {kind: sum(item.by_calculation is kind for item in items) for kind in _SAID}
    for kind, word in ((Calculation.MEETS, "meet"), (Calculation.FAILS, "fail")):
        if counts[kind] == len(items) > 1:
            return f"{'Both' if len(items) == 2 else f'All {len(items)}'} requirements {word} by calculation."
    if counts[Calculation.NOT_ASSESSED] == len(items) > 1:
        return "Neither requirement is assessed." if len(items) == 2 else "No requirement is assessed."
    said = [f"{count} {_SAID[kind][count > 1]}" for kind, count in counts.items() if count]
    return f"By calculation, of {len(items)} requirements {' and '.join(said)}."


def _evidence_counts(items: list[Requirement]) -> str:
    counts = {word: sum(item.by_evidence is word for item in items) for word in _WANTING}
    if len(items) == 1:
        return "".join(f" By evidence, it is {word}." for word, count in counts.items() if count)
    said = [f"{count} {'is' if count == 1 else 'are'} {word}" for word, count in counts.items() if count]
    return f" By evidence, {' and '.join(said)}." if said else ""


_WANTING = (Evidence.CONTRADICTED, Evidence.STALE, Evidence.OPEN)
_SAID = {
    Calculation.MEETS: ("meets", "meet"),
    Calculation.FAILS: ("fails", "fail"),
    Calculation.NOT_ASSESSED: ("is not assessed", "are not assessed"),
}


def _steps(whole: Review, name: str) -> list[Working]:
    return [step for step in whole.workings if step.station == name]


def _notices(whole: Review, name: str) -> list[Notice]:
    found = [notice for step in _steps(whole, name) for notice in step.result.notices]
    return list(dict.fromkeys(found))
