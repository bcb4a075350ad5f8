"""The ladder: torque reserves worst first, trouble off that scale, what is not assessed, and the folds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial

from gearcheck.desk.panels.numbers import (
    AS_ABOVE,
    anchor,
    margin_of,
    marked,
    moved_from,
    reasons,
    source,
)
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.words import answer, text
from gearcheck.figures.ladder import Ladder, Rung, TorqueScale, ladder, torque_scale
from gearcheck.requirements.types import Calculation, Evidence, Requirement
from gearcheck.review.results import Review
from gearcheck.review.stations import NAMES
from gearcheck.review.words import share_text

_SHARE_END = 1.25  # the scale of shares ends here
_NOTHING = '<div class="gc-margin"></div>'


def ladder_html(
    shown: Review, record: Review, folds: Folds, conceded: frozenset[str] = frozenset(), station: str = ""
) -> str:
    """Return the ladder.

    Parameters
    ----------
    shown, record : Review
        As drafted, and as it stands.
    folds : Folds
        Of this piece.
    conceded : frozenset of str
        Requirements from which a departure is conceded; they keep their answers.
    station : str
        The one whose requirements it holds; empty for all.

    Returns
    -------
    str
        HTML.
    """
    here = [item for item in shown.requirements if station in ("", item.station)]
    found = ladder(here, record.requirements)
    places = {item.key: place for place, item in enumerate(shown.requirements)}
    before = {item.key: item for item in record.requirements}
    scale = torque_scale(found.rungs)
    parts = ['<section class="gc-ladder" id="ladder">']
    if found.rungs:
        parts.append(_head("Torque reserve, worst first", _torque_ticks(scale)))
        parts += [_rung(rung, scale, places, conceded) for rung in found.rungs]
    judged = [item for item in found.others if item.by_calculation is not Calculation.NOT_ASSESSED]
    unknown = [item for item in found.others if item.by_calculation is Calculation.NOT_ASSESSED]
    if judged:
        parts.append(_head("Not on the torque scale: share of the limit used", _share_ticks()))
        parts += [_other(item, before[item.key], places, conceded) for item in judged]
    if unknown:
        parts.append(_head("Not assessed", ""))
        parts += _unknown(unknown, places)
    return "".join([*parts, _folded(found, before, places, folds), "</section>"])


def _head(title: str, ticks: str) -> str:
    return (
        '<div class="gc-row gc-ladder-head"><div class="gc-main gc-rung">'
        f'<h2>{title}</h2><div class="gc-track" aria-hidden="true">{ticks}</div><span></span>'
        f"</div>{_NOTHING}</div>"
    )


def _torque_ticks(scale: TorqueScale) -> str:
    return "".join(_tick(scale.share(tick), f"{tick:g}" if tick != 1 else "1.0") for tick in scale.ticks)


def _share_ticks() -> str:
    return "".join(_tick(share / _SHARE_END, f"{100 * share:.0f} %") for share in (0.0, 0.5, 1.0))


def _tick(share: float, label: str) -> str:
    return f'<span class="gc-tick" style="left:{100 * share:.2f}%">{label}</span>'


def _rung(rung: Rung, scale: TorqueScale, places: Mapping[str, int], conceded: frozenset[str]) -> str:
    item, one = rung.item, scale.share(1.0)
    end = scale.share(rung.factor)
    beyond = " beyond" if rung.factor > scale.high else " before" if rung.factor < scale.low else ""
    bar = _bar(min(one, end), max(one, end), f"{item.by_calculation}{beyond}")
    ghost = (
        ""
        if rung.ghost is None
        else f'<div class="gc-ghost" style="left:{100 * scale.share(rung.ghost):.2f}%"></div>'
    )
    was = "" if rung.ghost is None else f"record {rung.ghost:.2f}"
    return _row(item, places, one, f"{bar}{ghost}", rung.value, _quiet(was, item, conceded))


def _other(
    item: Requirement, before: Requirement, places: Mapping[str, int], conceded: frozenset[str]
) -> str:
    one = 1 / _SHARE_END
    track = (
        "" if item.share is None else _bar(0.0, min(item.share / _SHARE_END, 1.0), str(item.by_calculation))
    )
    return _row(
        item,
        places,
        one if item.share is not None else None,
        track,
        margin_of(item),
        _quiet(moved_from(item, before), item, conceded),
    )


def _quiet(was: str, item: Requirement, conceded: frozenset[str]) -> str:
    """What stands small below a value: the record's, and that a departure is conceded."""
    return ", ".join(part for part in (was, "conceded" if item.key in conceded else "") if part)


def _unknown(items: Iterable[Requirement], places: Mapping[str, int]) -> Iterator[str]:
    """What is not assessed, under the reason that it shares with others."""
    by_reason: dict[tuple[str, ...], list[Requirement]] = {}
    for item in items:
        by_reason.setdefault(reasons(item), []).append(item)
    for reason, sharing in by_reason.items():
        said = "".join(f"<p>{marked(one)}</p>" for one in reason)
        yield f'<div class="gc-row"><div class="gc-main gc-reason">{said}</div>{_NOTHING}</div>'
        cited = ""
        for item in sharing:
            where = source(item.cite, item.status)
            yield (
                f'<div class="gc-row" data-key="{text(item.key)}"><div class="gc-main gc-rung gc-unknown">'
                f"{answers(item)}<span>{_link(item, places)}</span></div>"
                f'<div class="gc-margin">{where if where != cited else AS_ABOVE}</div></div>'
            )
            cited = where


def _bar(low: float, high: float, kind: str) -> str:
    style = f"left:{100 * low:.2f}%;width:{100 * (high - low):.2f}%"
    return f'<div class="gc-bar {kind}" style="{style}"></div>'


def answers(item: Requirement) -> str:
    """Both answers, under one another; evidence that is not needed yet is left unsaid."""
    evidence = "" if item.by_evidence is Evidence.NOT_NEEDED_YET else answer(item.by_evidence)
    return f'<span class="gc-answers">{answer(item.by_calculation)}{evidence}</span>'


def _link(item: Requirement, places: Mapping[str, int]) -> str:
    place = anchor(places[item.key])
    return f'<a href="#{place}" data-act="open:{text(item.station)}">{text(item.title)}</a>'


def _row(
    item: Requirement, places: Mapping[str, int], one: float | None, track: str, value: str, was: str
) -> str:
    style = "" if one is None else f' style="--one:{100 * one:.2f}%"'
    quiet = f'<small class="gc-was">{was}</small>' if was else ""
    return (
        f'<div class="gc-row" data-key="{text(item.key)}"><div class="gc-main gc-rung">'
        f"{answers(item)}<span>{_link(item, places)}</span>"
        f'<div class="gc-track" aria-hidden="true"{style}>{track}</div>'
        f'<span class="gc-value">{text(value)}{quiet}</span></div>'
        f'<div class="gc-margin">{source(item.cite, item.status)}</div></div>'
    )


def _folded(found: Ladder, before: Mapping[str, Requirement], places: Mapping[str, int], folds: Folds) -> str:
    def line(item: Requirement) -> str:
        words = _margin_words(item, before[item.key])
        return f"<li>{answer(item.by_calculation)} {_link(item, places)}: {words}</li>"

    def lines(items: Iterable[Requirement]) -> str:
        return f'<ul class="gc-list">{"".join(line(item) for item in items)}</ul>'

    parts = []
    for station in NAMES:
        items = [item for item in found.folded if item.station == station]
        if items:
            summary = (
                f"{station.capitalize()}: {len(items)} more, {'meets' if len(items) == 1 else 'all meet'}"
            )
            parts.append(folds.fold(f"rest:{station}", summary, partial(lines, items)))
    return f'<div class="gc-folded">{"".join(parts)}</div>' if parts else ""


def _margin_words(item: Requirement, before: Requirement) -> str:
    margin, was = margin_of(item), moved_from(item, before)
    said = f"torque reserve {margin}" if item.reserve is not None else share_text(item) or item.native
    return marked(f"{said} ({was})" if was else said)
