"""What drawing and material quality say of each characteristic: the limits that evidence is held against."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from gearcheck.accuracy.inputs import AccuracySpecification, Group
from gearcheck.accuracy.tolerances import Tolerances
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.tables import table
from gearcheck.hardening.inputs import CaseSpecification
from gearcheck.inspection.acceptance import ITEMS, Allowed, allowed, document_name
from gearcheck.inspection.decide import Limit
from gearcheck.review.inputs import Record
from gearcheck.review.results import Chain
from gearcheck.review.size import SIZE

_PARAMETERS = {
    "single": ("single_pitch_um", Group.PITCH),
    "total": ("cumulative_pitch_um", Group.PITCH),
    "profile": ("profile_total_um", Group.PROFILE),
    "helix": ("helix_total_um", Group.HELIX),
    **{
        f"{group}_{part}": (f"{group}_{part}_um", group)
        for group in (Group.PROFILE, Group.HELIX)
        for part in ("slope", "form")
    },
}
_DRAWN = "drawing"


def limits_of(record: Record, chain: Chain) -> dict[str, Limit]:
    """Return the limit of each characteristic that the record fixes, by its key.

    Parameters
    ----------
    record : Record
        Where it holds arrays of samples, the first sample counts.
    chain : Chain
        Of it.

    Returns
    -------
    dict of str to Limit
        In the units of the rules.
    """
    found = {**dict(_sizes(record)), **_tooth_size(chain)}
    if record.gear.case is not None:
        found |= _case(record.gear.case, chain, record.normal_module_mm)
    if record.mask is not None:
        found["mask.thickness"] = Limit(least=_first(record.mask.plate_um), words=_DRAWN)
    if record.gear.steel is not None and chain.limits is not None:
        quality = f"drawing; quality {record.gear.steel.quality}"
        found["hardness.surface"] = Limit(
            least=_first(record.gear.steel.surface_hardness_HV),
            most=_known(chain.limits.surface_hardness_max_HV),
            words=quality,
        )
        found["hardness.core"] = Limit(least=_first(record.gear.steel.core_hardness_HV), words=_DRAWN)
        if record.gear.steel.hardenability_HRC is not None:
            least = _first(record.gear.steel.hardenability_HRC)
            found["hardenability"] = Limit(least=least, words=_DRAWN)
    if chain.drawn is not None and record.gear.accuracy is not None:
        found |= _tolerances(chain.drawn, record.gear.accuracy)
    found |= _agreed(record)
    for item in ITEMS:
        if (drawn := accepted(record, item)) is not None:
            most = None if drawn.is_rank else _first(drawn.value)
            words = f"{drawn.words} ({drawn.document})" if drawn.words else drawn.document
            found[item] = Limit(most=most, words=words)
    return found


def accepted(record: Record, item: str) -> Allowed | None:
    """Return what the acceptance document of a record allows of an item of metallurgy.

    Parameters
    ----------
    record : Record
        It may hold arrays.
    item : str
        One of `ITEMS`.

    Returns
    -------
    Allowed or None
        Where the document says nothing, what the material quality asks for; None where that says nothing too.
    """
    if record.gear.steel is None or record.inspection is None:
        return None
    document = document_name(record.inspection.acceptance, record.gear.steel.quality)
    return allowed(item, document, _depth(record)) or asked(record, item)


def asked(record: Record, item: str) -> Allowed | None:
    """Return what the material quality of a record asks of an item; None where it asks nothing."""
    if record.gear.steel is None:
        return None
    return allowed(item, f"ISO 6336-5 {record.gear.steel.quality}", _depth(record))


def _depth(record: Record) -> Number:
    return None if record.gear.case is None else record.gear.case.finished_min_mm


def _sizes(record: Record) -> Iterator[tuple[str, Limit]]:
    finish, tooth = record.gear.finish, record.gear.tooth
    if record.gear.case is None and tooth.stock_max_mm is not None:
        for flank in ("left", "right"):
            least, most = _first(tooth.stock_min_mm), _first(tooth.stock_max_mm)
            yield f"stock.{flank}", Limit(least=least, most=most, words=_DRAWN)
    if finish is not None:
        yield (
            "flank.roughness",
            Limit(most=_first(finish.flank_roughness_um), words="as the flank stress takes it"),
        )
        yield (
            "root.roughness",
            Limit(most=_first(finish.root_roughness_um), words="as the root stress takes it"),
        )


def _agreed(record: Record) -> Mapping[str, Limit]:
    """What is seen of the loaded contact is held against what was agreed."""
    required, found = record.required, {}
    if required is not None and required.transmission_error_um is not None:
        found["contact.error"] = Limit(most=required.transmission_error_um, words="as agreed")
    if required is not None and required.pattern_margin_mm is not None:
        found["contact.pattern"] = Limit(least=required.pattern_margin_mm, words="as agreed")
    return found


def _tooth_size(chain: Chain) -> Mapping[str, Limit]:
    """The limits of the measure that the drawing chose; none where a stop leaves no value."""
    size = chain.meshes[0].gear.size
    if size is None:
        return {}
    least, most = (_known(end) for end in size.limits_mm)
    if least is None or most is None:
        return {}
    return {SIZE: Limit(least=least, most=most, words=size.name)}


def _case(case: CaseSpecification, chain: Chain, module: Number) -> Mapping[str, Limit]:
    found = {
        "case.as_treated": Limit(
            least=_first(case.as_treated_min_mm), most=_first(case.as_treated_max_mm), words=_DRAWN
        )
    }
    for flank in ("left", "right"):
        found[f"case.left.{flank}"] = Limit(least=_first(case.finished_min_mm), words=_DRAWN)
        found[f"case.most.{flank}"] = Limit(most=_first(case.finished_max_mm), words=_DRAWN)
        least, most = (_first(stock) for stock in case.stock_mm(flank))
        for name in (f"stock.{flank}", f"ground_off.{flank}"):
            found[name] = Limit(least=least, most=most, words=_DRAWN)
    if (tip := _known(chain.case_limits.tip_limit_mm)) is not None:
        found["case.tip"] = Limit(most=tip, words="as the tip allows")
    root = table("case_depth_figures").value("ISO 6336-5 least root depth")
    least = root * _first(module)
    return {**found, "case.root": Limit(least=least, words="ISO 6336-5, least root depth")}


def _tolerances(drawn: Tolerances, accuracy: AccuracySpecification) -> Iterator[tuple[str, Limit]]:
    def words(group: Group) -> str:
        return f"class {_first(accuracy.class_of(group)):g} of {accuracy.edition}"

    for name, (field, group) in _PARAMETERS.items():
        if (value := _known(getattr(drawn, field))) is not None:
            for flank in ("left", "right"):
                least = -value if name.endswith("slope") else None  # the only ones with a sign
                yield f"accuracy.{name}.{flank}", Limit(least=least, most=value, words=words(group))
    if (runout := _known(drawn.runout_um)) is not None:
        yield "accuracy.runout", Limit(most=runout, words=words(Group.RUNOUT))


def _first(value: Number) -> float:
    return float(np.ravel(array(value))[0])


def _known(value: Number) -> float | None:
    """None where a stop left no value, or the quality names none."""
    first = _first(value)
    return None if np.isnan(first) else first
