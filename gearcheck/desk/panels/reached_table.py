"""What was measured of each part against what the class drawn allows, and the class that it makes."""

from __future__ import annotations

from gearcheck.accuracy.gear_class import GearClass
from gearcheck.accuracy.grade import FOR_INFORMATION, PARAMETERS, SIGNED
from gearcheck.accuracy.inputs import Flank
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import array, plain
from gearcheck.desk.panels.numbers import marked, value
from gearcheck.desk.words import capital, text
from gearcheck.requirements.compare import decimals_apart, reaches
from gearcheck.review.reached import Deviation, ReachedClass
from gearcheck.review.results import Review

NOT_MEASURED = (
    "Nothing has been measured yet: sections [[evidence.pitch]], [[evidence.profile]] and [[evidence.helix]] "
    "in the gear file name the files."
)
NO_CLASS = "No class is drawn, so that what was measured makes none: section [gear.accuracy] is missing."


def reached_html(shown: Review) -> str:
    """Return for each part that was measured its class, what spoils it, and every deviation in a table.

    Parameters
    ----------
    shown : Review
        Of a record without arrays.

    Returns
    -------
    str
        HTML.
    """
    stale = _stale(shown)
    if not shown.reached:
        measured = shown.record.pitch or shown.traces
        no_class = measured and shown.record.gear.accuracy is None
        return stale or f"<p>{NO_CLASS if no_class else NOT_MEASURED}</p>"
    return "".join(_part(shown, one) for one in shown.reached) + stale


def _stale(shown: Review) -> str:
    """What was measured and holds no longer, each with its reason."""
    measured = [("Pitch", one.head) for one in shown.record.pitch]
    measured += [(capital(read.item.kind), read.item.head) for read in shown.traces]
    return "".join(
        f"<p>{name} of {text(head.applies_to)} counts no longer: {text(head.stale)}.</p>"
        for name, head in measured
        if head.stale
    )


def _part(shown: Review, found: ReachedClass) -> str:
    known = {(one.parameter, one.flank): one for one in found.deviations}
    names = [name for name in PARAMETERS if any(one.parameter == name for one in found.deviations)]
    rows = "".join(_row(shown.chain.drawn, found.as_measured, name, known) for name in names)
    heads = "".join(
        f'<th scope="col" class="num">{one}</th>' for one in ("left", "class", "right", "class", "allowed")
    )
    return (
        f"<p><strong>{marked(capital(found.sentence))}</strong></p>"
        f'<table class="gc-table"><thead><tr><th scope="col">Deviation, µm</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def _row(
    drawn: Tolerances | None,
    reached: GearClass,
    name: str,
    known: dict[tuple[str, Flank | None], Deviation],
) -> str:
    limit = None if drawn is None else plain(array(getattr(drawn, f"{name}_um")))
    sign = "±" if name in SIGNED else ""
    allowed = "" if limit is None else f"{sign}{value(float(limit), 1)}"
    both = known.get((name, None))
    if both is not None:
        cells = _cells(both, reached, limit) + '<td class="num"></td><td class="num"></td>'
    else:
        cells = "".join(_cells(known.get((name, flank)), reached, limit) for flank in Flank)
    words = text(capital(PARAMETERS[name])) + ("" if both is None else ", both flanks")
    if name in FOR_INFORMATION:
        words += '<br><span class="gc-quiet">for information</span>'
    return f'<tr><th scope="row">{words}</th>{cells}<td class="num">{allowed}</td></tr>'


def _cells(item: Deviation | None, reached: GearClass, limit: object) -> str:
    """The deviation with its tooth, marked where it is over, and its class."""
    if item is None:
        return '<td class="num"></td><td class="num"></td>'
    of = getattr(reached, str(item.flank or "both"))
    grade = None if of is None else getattr(of, item.parameter)
    most = None if limit is None else float(array(limit))
    is_over = most is not None and not reaches(most, abs(item.value_um))
    decimals = 1 if most is None else decimals_apart(abs(item.value_um), most, 1)
    over = ' <span class="gc-stop">over</span>' if is_over else ""
    tooth = "" if item.tooth is None else f'<br><span class="gc-quiet">tooth {item.tooth}</span>'
    measured = f"{value(item.value_um, decimals)}{over}{tooth}"
    return f'<td class="num">{measured}</td><td class="num">{value(grade, 0)}</td>'
