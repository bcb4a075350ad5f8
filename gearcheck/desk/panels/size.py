"""Tooth size and backlash: the limits of each measure, the chord, and the backlash cold and warm."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from gearcheck.basics.digits import NO_BREAK
from gearcheck.basics.numbers import Number, array
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.words import text
from gearcheck.gear.body_size import body_diameter_proposed
from gearcheck.gear.inputs import SizeMeasure
from gearcheck.gear.span import span_teeth_proposed
from gearcheck.review.inputs import GearData
from gearcheck.review.results import MemberChain, MeshChain, Review
from gearcheck.review.size import SIZE, STATES, ToothSize, cannot_be_words, thickness_of, tooth_of

NO_SIZE = (
    "How thick the teeth may be is not said: [gear.size] gives the allowance, and whether it is measured "
    "over teeth, balls or pins."
)


def size_html(shown: Review) -> str:
    """Return the sizes of gear and mates, what was measured, and the backlash of each mesh."""
    head = '<h2 id="size">Tooth size and backlash</h2>'
    sizes = list(_sizes(shown))
    if not sizes:
        return f"{head}<p>{text(NO_SIZE)}</p>"
    return f"{head}{_size_table(shown, sizes)}{_measured(shown)}{_backlash(shown)}"


def _sizes(shown: Review) -> Iterator[tuple[str, MemberChain, ToothSize]]:
    """The gear once, for it is the same in each mesh, and every mate."""
    first = shown.chain.meshes[0].gear
    if first.size is not None:
        yield "the gear", first, first.size
    for mesh in shown.chain.meshes:
        if mesh.mate.size is not None:
            yield mesh.name, mesh.mate, mesh.mate.size


def _size_table(shown: Review, sizes: list[tuple[str, MemberChain, ToothSize]]) -> str:
    columns = ("least", "largest", "touches on diameter", "chord, thinnest", "chord, thickest")
    heads = "".join(f'<th scope="col" class="num">{text(name)}</th>' for name in columns)
    rows = "".join(_size_row(shown, *one) for one in sizes)
    stops = {notice: None for _, _, one in sizes for notice in (*one.thinnest.notices, *one.thickest.notices)}
    return (
        "<p>The thickness that the drawing allows, as it is measured. The chord is that on the reference "
        "circle, in the normal section.</p>"
        f'<table class="gc-table"><thead><tr><th scope="col">Measured</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>{notices(stops)}"
    )


def _size_row(shown: Review, name: str, member: MemberChain, size: ToothSize) -> str:
    low, high = (value(_known(end.contact_diameter_mm), 1) for end in (size.thinnest, size.thickest))
    touches = f"{low if low == high else f'{low} to {high}'}{NO_BREAK}mm"
    chords = [value(_known(one.chord_mm), 3, "mm") for one in size.chords] or ["", ""]
    cells = (*(value(_known(end), 3, "mm") for end in size.limits_mm), touches, *chords)
    numbers = "".join(f'<td class="num">{cell}</td>' for cell in cells)
    better = _better(shown, member.data, size)
    beside = f'<br><span class="gc-quiet">{text(better)}</span>' if better else ""
    return f'<tr><th scope="row">{text(name.capitalize())}, {text(size.name)}{beside}</th>{numbers}</tr>'


def _better(shown: Review, gear: GearData, size: ToothSize) -> str:
    """What would touch in the middle of the tooth."""
    tooth = tooth_of(shown.record, gear)
    if size.drawn.measure is SizeMeasure.SPAN:
        best = _known(span_teeth_proposed(**tooth, face_width_mm=gear.tooth.face_width_mm))
        if best is None or best == size.drawn.span_teeth:
            return ""
        return f"over {best:.0f} teeth the anvils touch nearer to the middle of the tooth"
    best = _known(body_diameter_proposed(**tooth, internal=size.internal))
    if best is None or size.drawn.body_diameter_mm is None:
        return ""
    far = abs(best / float(size.drawn.body_diameter_mm) - 1.0) > 0.1
    return f"{best:.1f} mm would touch in the middle of the tooth" if far else ""


def _measured(shown: Review) -> str:
    """What was measured, with the thickness that it stands for."""
    said = []
    for one in shown.record.result:
        found = thickness_of(shown.record, one.value) if one.characteristic == SIZE and one.value else None
        if found is None or one.value is None:
            continue
        name = f"{text(one.head.applies_to.capitalize())} measures {value(one.value, 3, 'mm')}"
        wrong = cannot_be_words(shown.record, one.value)
        if wrong or found.thickness_mm is None:
            said.append(f"{name}, which {text(wrong)}: another body, or another number of teeth?")
            continue
        said.append(
            f"{name}: a normal "
            f"thickness of {value(found.thickness_mm, 3, 'mm')}, an allowance of "
            f"{value(found.allowance_mm, 3, 'mm')}."
        )
    return f"<p>{' '.join(said)}</p>" if said else ""


def _backlash(shown: Review) -> str:
    known = [mesh for mesh in shown.chain.meshes if mesh.backlash is not None]
    missing = [
        f"<p>Backlash against {text(mesh.name)}: {text(mesh.missing_backlash)}.</p>"
        for mesh in shown.chain.meshes
        if mesh.backlash is None
    ]
    if not known:
        return "".join(missing)
    heads = "".join(f'<th scope="col" class="num">{text(name)}</th>' for name in STATES)
    rows = "".join(row for mesh in known for row in _backlash_rows(mesh))
    said = "".join(f"<p>{sentence}</p>" for mesh in known for sentence in _answers(shown, mesh.name))
    return (
        f"{said}<p>Backlash from the thickest teeth on the closest axes to the thinnest on the widest, "
        "with the runouts of both gears as far as they count. Negative: the teeth jam.</p>"
        f"{_temperatures(shown)}"
        f'<table class="gc-table"><thead><tr><th scope="col">Backlash, mm</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table>{''.join(missing)}"
    )


def _answers(shown: Review, mesh: str) -> Iterator[str]:
    """What the calculation says of the backlash that is needed or agreed."""
    for item in shown.requirements:
        if item.key in (f"geometry.backlash.{mesh}", f"geometry.backlash.{mesh}.most"):
            yield f"<b>{text(item.title)} {text(str(item.by_calculation))}</b>: {text(item.native)}."


def _temperatures(shown: Review) -> str:
    """How cold and how warm it is meant."""
    said = []
    for mesh in shown.record.meshes:
        given = mesh.backlash
        if given is not None:
            said += [
                f"Against {mesh.name}, {state}: "
                + ", ".join(
                    f"{body} {value(_known(getattr(given, f'{body}_{state}_C')), 0, '°C')}"
                    for body in ("gear", "mate", "housing")
                )
                + "."
                for state in ("cold", "warm")
            ]
    return f"<p>{' '.join(said)}</p>"


def _backlash_rows(mesh: MeshChain) -> Iterator[str]:
    assert mesh.backlash is not None
    for kind, words in (
        ("normal", "normal to the flank"),
        ("transverse", "around the working pitch circle"),
        ("radial", "radial"),
    ):
        cells = "".join(
            f'<td class="num">{value(_known(getattr(state.least, f"{kind}_backlash_mm")), 2)} to '
            f"{value(_known(getattr(state.greatest, f'{kind}_backlash_mm')), 2)}</td>"
            for state in mesh.backlash.states
        )
        yield f'<tr><th scope="row">{text(mesh.name.capitalize())}, {words}</th>{cells}</tr>'


def _known(number: Number) -> float | None:
    """The first sample; None where a stop left no value."""
    first = float(np.ravel(array(number))[0])
    return None if np.isnan(first) else first
