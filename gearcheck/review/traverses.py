"""What a measured hardness traverse says: the case depth, how sure it is, and what else can be said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from gearcheck.basics.methods import Level, Notice
from gearcheck.basics.numbers import Array, array, plain
from gearcheck.basics.results import Result
from gearcheck.basics.tables import table
from gearcheck.hardening.indents import IndentSpacing, indent_spacing
from gearcheck.hardening.traverse import TraverseCaseDepth, traverse_case_depth
from gearcheck.review.findings import End
from gearcheck.review.inputs import Record, State, TraverseEvidence, TraversePlace

CASE_HV = 550.0
_HIGHER_HV = (575.0, 600.0)
_POINTS = 201
_DEEPER = 2.5  # times the deepest case, as of the case drawn
FLAT_HV_PER_MM = 40.0
"""A traverse whose hardness falls by no more than this at its end, below 550 HV, has come to the core."""
_RECTANGULAR = 3**0.5
_COVERAGE = 2.0
NOT_CHECKED = "The test force of this traverse is not given: the spacing of its indents was not checked."


@dataclass(frozen=True, kw_only=True)
class ReadTraverse:
    """One traverse as read: its depth at 550 HV, or the end that it is known from, and what has to be said.

    `words` goes behind the depth in a sentence. `uncertainty_mm` (k = 2) joins what the laboratory states
    with what the straight line between two indents may be off; `of_line_mm` is the share of the line alone.
    `skin_mm` is how far a surface softer than 550 HV goes, 0 where there is none.
    """

    item: TraverseEvidence
    case: TraverseCaseDepth
    spacing: IndentSpacing | None
    depth_mm: float
    end: End
    words: str
    uncertainty_mm: float | None
    of_line_mm: float
    skin_mm: float

    def results(self) -> Iterator[tuple[str, Result]]:
        """Yield the results behind it with their titles."""
        where = traverse_name(self.item)
        yield f"Measured traverse, {where}", self.case
        if self.spacing is not None:
            yield f"Spacing of the indents, {where}", self.spacing


def traverse_name(item: TraverseEvidence) -> str:
    """Say where a traverse runs and in which state: ``right flank at the pitch line, as treated``."""
    on = "" if item.flank is None else f"{item.flank} flank at the "
    return f"{on}{item.place}, {item.state}"


def read_traverse(item: TraverseEvidence) -> ReadTraverse:
    """Read the case depth of a measured traverse, and say what it cannot show.

    Parameters
    ----------
    item : TraverseEvidence
        As measured, in HV.

    Returns
    -------
    ReadTraverse
        The depth at 550 HV where it is crossed; else 0 mm behind a surface that is softer, with the depth
        below that skin in words, or the end of a traverse that ends inside the case.
    """
    depth, hardness = array(item.depth_mm), array(item.hardness_HV)
    found = traverse_case_depth(depth_mm=depth, hardness_HV=hardness, criterion_HV=CASE_HV)
    spacing = None
    if item.test_force_kgf is not None:
        spacing = indent_spacing(
            depth_mm=depth,
            hardness_HV=hardness,
            test_force_kgf=item.test_force_kgf,
            sideways_mm=item.sideways_offset_mm or 0.0,
        )
    else:
        unchecked = Notice(Level.NOTE, "iso18203.indents.no_force", NOT_CHECKED)
        found = replace(found, notices=(*found.notices, unchecked))
    at, end, skin = _read(item, found)
    off = plain(found.curve_off_mm)
    of_line = 0.0 if off is None else _COVERAGE * float(off) / _RECTANGULAR
    return ReadTraverse(
        item=item,
        case=found,
        spacing=spacing,
        depth_mm=at,
        end=end,
        words=_words(item, found, spacing, end, skin),
        uncertainty_mm=_joined(item.head.uncertainty, of_line),
        of_line_mm=of_line,
        skin_mm=skin,
    )


def _joined(stated: float | None, of_line: float) -> float | None:
    """Both in quadrature, to 0.001 mm; what is stated stays as written where the line adds nothing to it."""
    whole = round(float(np.hypot(stated or 0.0, of_line)), 3)
    if stated is not None and whole <= round(stated, 3):
        return stated
    return whole or None


def _read(item: TraverseEvidence, found: TraverseCaseDepth) -> tuple[float, End, float]:
    depth, hardness = item.depth_mm, item.hardness_HV
    at = plain(found.case_depth_mm)
    if at is not None:
        return float(at), End.CROSSES, 0.0
    if hardness[0] < CASE_HV:
        return 0.0, End.SOFT, _skin(item)
    return float(depth[-1]), End.DEEPER, 0.0


def _skin(item: TraverseEvidence) -> float:
    """How deep the metal stays softer than 550 HV from the surface; to the end where it never gets there."""
    hard = np.flatnonzero(item.hardness_HV >= CASE_HV)
    if not hard.size:
        return float(item.depth_mm[-1])
    k = int(hard[0])
    return float(np.interp(CASE_HV, item.hardness_HV[k - 1 : k + 1], item.depth_mm[k - 1 : k + 1]))


def below_skin(item: TraverseEvidence) -> float | None:
    """Return the depth at 550 HV counted through a soft skin, mm from the surface; None without one."""
    hard = np.flatnonzero(item.hardness_HV >= CASE_HV)
    return None if not hard.size else depth_at(item, CASE_HV, first=int(hard[0]))


def depth_at(item: TraverseEvidence, criterion_HV: float, *, first: int = 0) -> float | None:
    """Return the depth in mm where a traverse falls to a hardness, from indent `first` on; None where not."""
    if item.depth_mm.size - first < 2:
        return None
    found = traverse_case_depth(
        depth_mm=item.depth_mm[first:], hardness_HV=item.hardness_HV[first:], criterion_HV=criterion_HV
    )
    at = plain(found.case_depth_mm)
    return None if at is None else float(at)


def _words(
    item: TraverseEvidence, found: TraverseCaseDepth, spacing: IndentSpacing | None, end: End, skin: float
) -> str:
    """What stands behind the depth: each thing that is wrong with its numbers, and what can still be said."""
    keys = {one.key.rpartition(".")[2] for one in found.notices}
    said = [*_ends(item, end, skin)]
    if "crosses_again" in keys:
        said.append("harder again below: the shallowest crossing counts")
    if "hard_core" in keys:
        said.append(_hard_core(item, found))
    if "rising" in keys and end is not End.SOFT:
        peak = int(np.argmax(item.hardness_HV))
        said.append(
            f"a soft skin: {item.hardness_HV[0]:.0f} HV at {item.depth_mm[0]:.2f} mm, "
            f"{item.hardness_HV[peak]:.0f} HV at {item.depth_mm[peak]:.2f} mm"
        )
    if "few" in keys:
        fewest = table("traverse_rules").value("fewest indents")
        said.append(f"{item.depth_mm.size} indents alone, at least {fewest:.0f} are usual")
    if "gap" in keys:
        low, high = float(array(found.depth_above_mm)), float(array(found.depth_below_mm))
        said.append(f"no indent between {low:.2f} and {high:.2f} mm: it lies somewhere between them")
    if spacing is not None:
        said += [_spaced(one, spacing) for one in spacing.notices if one.level is Level.CAUTION]
    if item.scale == "HRC":
        said.append("converted from HRC by ASTM E140")
    return "".join(f", {one}" for one in said)


def _spaced(notice: Notice, spacing: IndentSpacing) -> str:
    rule = table("traverse_rules").value
    if notice.key.endswith(".edge"):
        asked = rule("least distance from the edge in diagonals")
        near = f"{float(array(spacing.first_in_diagonals)):.1f} of the {asked:g} diagonals"
        return f"first indent too near the surface: {near}"
    if notice.key.endswith(".near"):
        asked = rule("least spacing in diagonals")
        near = f"{float(array(spacing.tightest_in_diagonals)):.1f} of the {asked:g} diagonals"
        return f"indents too near one another: {near}"
    return f"HV {float(array(spacing.test_force_kgf)):g} is no usual force for a case"


def _ends(item: TraverseEvidence, end: End, skin: float) -> Iterator[str]:
    """What can be said of a traverse that does not fall through 550 HV."""
    depth, hardness = item.depth_mm, item.hardness_HV
    if end is End.DEEPER:
        yield "the traverse ends harder: the case is deeper"
        yield f"its last indent has {hardness[-1]:.0f} HV at {depth[-1]:.2f} mm"
    if end is not End.SOFT:
        return
    peak = int(np.argmax(hardness))
    if hardness[peak] < CASE_HV:
        yield f"it never reaches 550 HV: {hardness[peak]:.0f} HV at {depth[peak]:.2f} mm is its hardest"
        at = depth_at(item, 513.0, first=int(np.argmax(hardness >= 513)))
        if hardness[peak] >= 513:
            yield "50 HRC (513 HV) " + ("holds to its end" if at is None else f"goes to {at:.2f} mm")
        yield f"its last indent has {hardness[-1]:.0f} HV at {depth[-1]:.2f} mm"
        return
    yield f"the first indent is softer, {hardness[0]:.0f} HV at {depth[0]:.2f} mm"
    at = below_skin(item)
    to = "beyond its end" if at is None else f"to {at:.2f} mm"
    yield f"the skin is soft to {skin:.2f} mm and the case goes on below it {to}"


def _hard_core(item: TraverseEvidence, found: TraverseCaseDepth) -> str:
    known = [(one, depth_at(item, one)) for one in _HIGHER_HV]
    still = " and ".join(f"{at:.2f} mm at {one:.0f} HV" for one, at in known if at is not None)
    core = float(array(found.hardness_at_three_HV))
    last = float(item.depth_mm[-1])
    where = (
        f"at its end, {last:.2f} mm"
        if last < 3 * float(array(found.case_depth_mm))
        else "at three times that depth"
    )
    return f"{core:.0f} HV {where}, where under 450 HV are needed: agree another limit hardness" + (
        f"; it gives {still}" if still else ""
    )


def stock_off(record: Record, item: TraverseEvidence) -> tuple[float, str] | None:
    """Return what is to come off a traverse before it is the finished flank, and in words how that is known.

    Parameters
    ----------
    record : Record
        With the stock drawn.
    item : TraverseEvidence
        At the pitch line.

    Returns
    -------
    tuple of float and str, or None
        Stock in mm: none of a finished tooth, that which came off where it is said, else the largest that is
        drawn for the flank. None where nothing is drawn, and at root and tip, which are not ground with it.
    """
    if item.place is not TraversePlace.PITCH_LINE or item.flank is None:
        return None
    if item.state is State.FINISHED:
        return 0.0, ""
    if item.stock_removed_mm is not None:
        return item.stock_removed_mm, f"less the {item.stock_removed_mm:.2f} mm ground off"
    if record.gear.case is None:
        return None
    largest = float(record.gear.case.stock_mm(item.flank)[1])
    return largest, f"less the largest stock drawn, {largest:.2f} mm"


def measured_profiles(record: Record) -> Iterator[tuple[str, Array, Array, str]]:
    """Return the hardness below the finished flank of each traverse at the pitch line.

    Parameters
    ----------
    record : Record
        With its traverses and what is drawn.

    Yields
    ------
    tuple
        Its name, depths in mm from 0, the hardness there in HV, and to which depth it can be assessed.
        Above its first indent that one counts; below its last one that one, where the hardness is that of a
        core and has become flat; else it ends there.
    """
    case = record.gear.case
    for item in record.traverse:
        known = stock_off(record, item)
        if known is None or case is None or item.depth_mm[-1] <= known[0]:
            continue
        off, how = known
        reach, deepest = float(item.depth_mm[-1]) - off, _DEEPER * float(case.finished_max_mm)
        at_core = _is_at_core(item)
        depth = np.linspace(0, deepest if at_core else min(reach, deepest), _POINTS)
        hardness = array(np.interp(depth + off, item.depth_mm, item.hardness_HV))
        name = ", ".join(part for part in (f"measured, {item.flank} flank", how) if part)
        yield name, depth, hardness, _assessed(item, reach, deepest, at_core=at_core)


def _is_at_core(item: TraverseEvidence) -> bool:
    """Whether a traverse ends below the case, where its hardness falls no further."""
    fall, step = (float(np.diff(one[-2:])[0]) for one in (item.hardness_HV, item.depth_mm))
    return float(item.hardness_HV[-1]) < CASE_HV and abs(fall) <= FLAT_HV_PER_MM * step


def _assessed(item: TraverseEvidence, reach: float, deepest: float, *, at_core: bool) -> str:
    if reach >= deepest:
        return ""
    if at_core:
        return f"below {reach:.2f} mm the {item.hardness_HV[-1]:.0f} HV of its last indent, at core"
    return f"assessed to {reach:.2f} mm alone, where the traverse ends above the core"
