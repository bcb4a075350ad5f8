"""What everything rests on: methods, readings, and once the list of what was not seen in print."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict

from gearcheck.basics.digits import NO_BREAK, value_text
from gearcheck.basics.methods import Status
from gearcheck.desk.panels.numbers import marked, whole
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import text
from gearcheck.report.cautions import CAUTIONS
from gearcheck.review.inputs import Record, Required
from gearcheck.review.results import Review
from gearcheck.review.sources import SourceEntry, resting_on, row_statuses

CLAUSES = {
    "life_at_1e10": "Life factor at 10¹⁰ load cycles",
    "limited_life": "Permissible stress between static and reference strength",
    "tip_relief_in_kv": "Classes in which tip relief counts in the dynamic factor K_V",
    "light_load_stiffness": "Mesh stiffness below 100 N/mm",
    "root_face_width": "Face width in the root stress",
    "supercritical_kv": "K_V above the main resonance",
    "deviation_in_khalpha": "Deviation in K_Hα and K_Fα",
    "relief_factor": "Tip relief factor in Z_B and Z_D",
    "helix_factor": "Helix factor of the contact stress, Z_β",
    "dynamic_accuracy_number": "Accuracy number A_v in the dynamic factor of AGMA",
    "pitting_point": "Point of the radii in the geometry factor Z_I of AGMA",
    "helical_root_factor": "Slope of the contact line in the geometry factor Y_J of AGMA",
}
"""The clauses that can be read two ways, by the name of the reading."""


def sources_html(shown: Review, folds: Folds) -> str:
    """Return the section on methods, readings, required values and sources.

    Parameters
    ----------
    shown : Review
        As drafted.
    folds : Folds
        Of this piece.

    Returns
    -------
    str
        HTML.
    """
    record = shown.record
    return (
        '<section><h2 id="sources">What it rests on</h2>'
        f"{_required(record)}{_governing(record)}"
        f"{folds.fold('readings', 'Readings used', lambda: _readings(record))}"
        f"{folds.fold('ledger', 'Values from memory or common practice', lambda: _ledger(shown))}</section>"
    )


def cautions_html() -> str:
    """Return what is said of every result."""
    return "".join(f"<p>{text(sentence)}</p>" for sentence in CAUTIONS)


def _required(record: Record) -> str:
    agreed = record.required
    if agreed is None:
        return "<p>Nothing is agreed yet: no safety, life or class is required.</p>"
    least = ", ".join(
        (
            f"{marked('S_H')} ≥ {agreed.flank_safety:.2f}".replace(" ", NO_BREAK),
            f"{marked('S_F')} ≥ {agreed.root_safety:.2f}".replace(" ", NO_BREAK),
            f"against yielding below the surface ≥{NO_BREAK}{agreed.subsurface_safety:.2f}",
            f"life {value_text(float(agreed.life_h), 'h')} at a reliability of {agreed.reliability:g}",
            f"accuracy class {agreed.accuracy_class:g}",
            *_of_contact(agreed),
        )
    )
    return f"<p>Agreed in {text(agreed.set_by)}: {least}.</p>"


def _of_contact(agreed: Required) -> Iterator[str]:
    if agreed.transmission_error_um is not None:
        most = value_text(agreed.transmission_error_um, "µm")
        yield f"transmission error ≤{NO_BREAK}{most} from peak to peak"
    if agreed.pattern_margin_mm is not None:
        least = value_text(agreed.pattern_margin_mm, "mm")
        yield f"contact pattern ≥{NO_BREAK}{least} from the ends of the face"


def _governing(record: Record) -> str:
    methods = record.methods
    if methods is None:
        return "<p>The record names no governing method.</p>"
    return (
        f"<p>Governing: {whole(methods.stress)} for stress, {whole(methods.case_depth)} for case depth, "
        f"{whole(methods.accuracy)} for accuracy. Case depths that are solved rest on the contact pressure "
        f"of the {whole(methods.contact_pressure)}.</p>"
    )


def _readings(record: Record) -> str:
    if record.methods is None:
        return "<p>The record names no methods.</p>"
    rows = {
        CLAUSES.get(name, name.replace("_", " ")): str(reading)
        for name, reading in asdict(record.methods.readings).items()
    }
    return _table(("Clause that can be read two ways", "Reading followed"), rows)


def _ledger(shown: Review) -> str:
    rows = {entry.cite: _said(entry) for entry in resting_on(shown) if entry.weakest is not Status.PUBLISHED}
    return _table(("Source", "What was not seen in print"), rows)


def _said(entry: SourceEntry) -> str:
    methods = [
        f"{item.title} ({item.status})" for item in entry.methods if item.status is not Status.PUBLISHED
    ]
    tables = [
        f"{item.title} ({', '.join(f'{count} {status}' for status, count in weak.items())})"
        for item in entry.tables
        if (weak := _weak(row_statuses(item)))
    ]
    return "; ".join([*methods, *tables])


def _weak(counts: Mapping[Status, int]) -> dict[Status, int]:
    return {status: count for status, count in counts.items() if status is not Status.PUBLISHED}


def _table(heads: tuple[str, str], rows: Mapping[str, str]) -> str:
    head = "".join(f'<th scope="col">{text(name)}</th>' for name in heads)
    body = "".join(
        f'<tr><th scope="row">{marked(name)}</th><td>{marked(said)}</td></tr>' for name, said in rows.items()
    )
    return f'<table class="gc-table"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
