"""Which set of measurements is shown, where there are several."""

from __future__ import annotations

from collections.abc import Sequence

from gearcheck.desk.words import capital, text
from gearcheck.review.evidence_inputs import EvidenceHead


def sets_html(kind: str, heads: Sequence[EvidenceHead], chosen: int) -> str:
    """Return what is shown, by whom and when it was measured, and a button for each other set.

    Parameters
    ----------
    kind : str
        The first word of what a button does: ``pitch`` gives ``set:pitch:1``.
    heads : sequence of EvidenceHead
        Of all sets.
    chosen : int
        The place of the one that is shown.

    Returns
    -------
    str
        HTML, one paragraph.
    """
    head = heads[chosen]
    others = "".join(
        f' <button type="button" class="gc-do" data-act="set:{kind}:{place}">show {text(one.applies_to)}, '
        f"{text(one.date)}</button>"
        for place, one in enumerate(heads)
        if place != chosen
    )
    return (
        f"<p>{text(capital(head.applies_to))}, measured {text(head.date)} by {text(head.by)} with "
        f"{text(head.instrument)}.{_stale(head)}{others}</p>"
    )


def _stale(head: EvidenceHead) -> str:
    return f' <span class="gc-stop">It no longer holds: {text(head.stale)}.</span>' if head.stale else ""
