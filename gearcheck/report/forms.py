"""The three forms of the first article inspection report, filled as far as the record goes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gearcheck.basics.tables import table
from gearcheck.inspection.plan import Characteristic
from gearcheck.inspection.scopes import scopes
from gearcheck.record.book import Book
from gearcheck.report.as9102 import Field, FormRevision, form_fields
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.measured import digits_of, limit_text, results_text
from gearcheck.report.nonconformance import nonconformances
from gearcheck.report.processes import processes
from gearcheck.requirements.types import Finding
from gearcheck.review.results import Inspected, Review

FORMS = (1, 2, 3)
_FIRST = ("Field", "Code", "Entry")


@dataclass(frozen=True, kw_only=True)
class Form:
    """One form, as text.

    Parameters
    ----------
    number : int
        1, 2 or 3.
    title : str
        What it is, and of what.
    caution : str
        What is said before any entry.
    head : tuple of tuple of str
        Heading and entry of the fields above the rows.
    columns : tuple of Field or str
        Of the rows.
    rows : tuple of tuple of str
        As long as the columns.
    foot : tuple of str
        Headings of the fields below, which people fill in.
    sheet : str
        The name of its sheet in a workbook; that of its number where it is empty.
    widths : tuple of float
        Of the columns, where they are not those of the first article.
    remarks : tuple of str
        What a reader has to know besides.
    numbers : tuple of str
        Headings of the columns that hold numbers, to be reckoned with.
    """

    number: int
    title: str
    caution: str
    head: tuple[tuple[str, str], ...]
    columns: tuple[Field | str, ...]
    rows: tuple[tuple[str, ...], ...]
    remarks: tuple[str, ...]
    foot: tuple[str, ...] = ()
    sheet: str = ""
    widths: tuple[float, ...] = ()
    numbers: tuple[str, ...] = ()

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings of the columns."""
        return tuple(one if isinstance(one, str) else one.heading for one in self.columns)


def forms(whole: Review, book: Book | None, revision: FormRevision) -> tuple[Form, ...]:
    """Return the three forms.

    Parameters
    ----------
    whole : Review
        With an inspection plan.
    book : Book or None
        Of the record; None for a plain gear file.
    revision : FormRevision
        Of AS9102.

    Returns
    -------
    tuple of Form
        In their order.
    """
    assert whole.inspected is not None
    about = _about(whole, whole.inspected, book)
    first = form_fields(1, revision)
    return (
        Form(
            number=1,
            title=_title(whole, 1, revision),
            caution=" ".join(CAUTIONS),
            remarks=_remarks(whole.inspected, revision),
            head=(),
            columns=_FIRST,
            rows=tuple((one.heading, one.code, one.entry(about)) for one in first),
        ),
        _of_rows(whole, 2, revision, about, processes(whole, whole.inspected)),
        _of_rows(whole, 3, revision, about, tuple(_measured(whole, whole.inspected, book))),
    )


def _of_rows(
    whole: Review,
    number: int,
    revision: FormRevision,
    about: dict[str, str],
    entries: tuple[dict[str, str], ...],
) -> Form:
    assert whole.inspected is not None
    fields = form_fields(number, revision)
    columns = tuple(one for one in fields if one.place == "row")
    more = tuple(_left_out(whole.inspected)) if number == FORMS[-1] else ()
    return Form(
        number=number,
        title=_title(whole, number, revision),
        caution=" ".join(CAUTIONS),
        remarks=(*_remarks(whole.inspected, revision), *more),
        head=tuple((one.heading, one.entry(about)) for one in fields if one.place == "head"),
        columns=columns,
        rows=tuple(tuple(one.entry(entry) for one in columns) for entry in entries),
        foot=tuple(one.heading for one in fields if one.place == "foot"),
    )


def _title(whole: Review, number: int, revision: FormRevision) -> str:
    part = whole.record.part
    return f"AS9102 Form {number}, Rev {revision}: {part.number}, drawing revision {part.revision}"


def _remarks(found: Inspected, revision: FormRevision) -> tuple[str, ...]:
    source = table("as9102_fields")
    known = f"Fields of Rev {revision} {source.status}: check against the document."
    if revision is FormRevision.C:
        known = (
            f"Fields {source.status}, of Rev C what differs from Rev B as far as it is known: check against "
            "the document."
        )
    empty = "What stands empty the record does not hold: it is for those who issue and sign the report."
    return f"{known} {empty}", _counts(found)


def _counts(found: Inspected) -> str:
    answers = list(found.answers.values())
    counts = {word: answers.count(word) for word in dict.fromkeys(answers)}
    said = ", ".join(f"{count} {word}" for word, count in counts.items())
    return f"{len(answers)} characteristics by evidence: {said or 'none'}."


def _left_out(found: Inspected) -> Iterator[str]:
    """What a reader would look for and not find."""
    for one in found.plan.struck:
        yield f"Struck from the plan: {one.title} ({one.strike.by}: {one.strike.reason.rstrip('.')})."
    for item in found.plan.unlimited:
        yield f"Not inspected, since nothing names a limit: {item.title}."


def _about(whole: Review, found: Inspected, book: Book | None) -> dict[str, str]:
    part = whole.record.part
    current = [one for items in found.findings.values() for one in items if not one.stale]
    serials = [name for one in current for kind, name in scopes(one.applies_to) if kind == "serial number"]
    rests = "gear file, no record" if book is None else f"revision {book.revision.revision} of {book.record}"
    return {
        "part_number": part.number,
        "part_name": part.title,
        "serial_number": ", ".join(dict.fromkeys(serials)),
        "drawing_revision": part.revision,
        "process_reference": f"{found.plan.route.title}; {rests}",
        "kind": "Detail part",
    }


def _measured(whole: Review, found: Inspected, book: Book | None) -> Iterator[dict[str, str]]:
    became = nonconformances(whole, book)
    for number, item in enumerate(found.plan.characteristics, start=1):
        findings = found.findings[item.key]
        limit = limit_text(item, digits_of(item, findings))
        yield {
            "number": str(number),
            "location": "; ".join(filter(None, (str(item.operation or "no operation"), item.place))),
            "requirement": f"{item.title}: {limit}",
            "results": results_text(whole, item),
            "nonconformance": became.get(item.key, ""),
            "comments": "\n".join(_comments(item, findings)),
        }


def _comments(item: Characteristic, findings: tuple[Finding, ...]) -> Iterator[str]:
    yield f"{'; '.join(filter(None, (item.method, item.document)))}."
    for one in findings:
        said = one.text if item.wants_number else ""
        why = f"stale: {one.why_stale}" if one.stale else ""
        from_where = (one.applies_to, one.by, one.date, one.instrument, one.document, why)
        yield f"{said} {'; '.join(filter(None, from_where))}.".strip()
