"""From specimens to the gear: named transfers of the strength, each with its source, never one twice."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import ClassVar

import numpy as np

from gearcheck.basics.digits import number_text
from gearcheck.basics.errors import Faults
from gearcheck.basics.methods import Level, Method, Notice, Status
from gearcheck.basics.numbers import Number, array
from gearcheck.basics.results import Result, term
from gearcheck.fatigue.inputs import Aspect, Transfer, TransferKind
from gearcheck.fatigue.mean_stress import HAIGH, stress_ratio_factor

TRANSFER = Method(
    key="named_transfers",
    title="From specimen to gear",
    source="product of named factors on the strength; variances of their logarithms add up",
    edition="",
    clause="",
    status=Status.COMMON_PRACTICE,
    implements=(
        "two transfers that cover the same are refused, unless it is said why both stand",
        "a factor between rigs holds the number of teeth, unless it is said why not",
        "a part that is bent further back than the specimens needs a transfer of the stress ratio",
    ),
    leaves_out=("how transfers depend on one another: each is taken for independent",),
    departures=(
        "A factor is its median; what is not sure of it belongs to estimation, not to the gears.",
        "The weakest tooth is no factor: its teeth are counted where shares of failures are worked out.",
    ),
)

PULSATOR_TO_RUNNING = 0.9
"""Strength in running gears over that in a pulsator, after Rettig, from memory."""
FURTHER_BACK = 0.1
"""By so much the stress ratio of a part may lie below that of its specimens without a transfer."""


@dataclass(frozen=True, kw_only=True)
class TransferChain(Result):
    """All transfers together, on the strength."""

    method: ClassVar[Method] = TRANSFER
    transfers: tuple[Transfer, ...]
    test_ratio: Number = term("Stress ratio of the test", "R_t")
    part_ratio: Number = term("Stress ratio of the gear", "R_p")
    factors: tuple[Number, ...]
    factor: Number = term(
        "Strength of the gear over that of the specimens",
        "f_T",
        words="product of the factors; the weakest tooth counts as 1",
    )
    log_factor: Number = term("Its logarithm", "λ_T", "", "ln(f_T)")
    log_deviation: Number = term(
        "Standard deviation of its logarithm", "s_T", words="√ of the sum of ln(1 + V²), V of each factor"
    )

    @property
    def weakest_tooth(self) -> bool:
        """Whether all teeth of the gear are to be counted where the specimens were single teeth."""
        return any(transfer.kind is TransferKind.WEAKEST_TOOTH for transfer in self.transfers)


def pulsator_to_running(*, variation: Number, despite: str = "") -> Transfer:
    """Return the flat factor from a pulsator to running gears.

    f = 0.9

    Parameters
    ----------
    variation : float or array
        What is not sure of it: its source gives none, and calculations by multiaxial criteria disagree.
    despite : str
        Why it stands beside another transfer, such as one from R = 0 to the root of an idler.

    Returns
    -------
    Transfer
        It covers the rig, the number of teeth and the stress ratio: it came from tests of both kinds, in
        which these cannot be told apart.

    Notes
    -----
    Source: after Rettig, from memory.
    Valid for: tooth root strength of case-hardened gears that run one way.
    Departures: none.
    Checked: GEAR-06.

    Examples
    --------
    >>> pulsator_to_running(variation=0.05).factor
    0.9
    """
    return Transfer(
        name="pulsator to running gears",
        kind=TransferKind.FACTOR,
        factor=PULSATOR_TO_RUNNING,
        variation=variation,
        source="Rettig",
        status=Status.FROM_MEMORY,
        covers=(Aspect.RIG, Aspect.SIZE, Aspect.STRESS_RATIO),
        despite=despite,
    )


def transferred(
    *, transfers: Sequence[Transfer], test_ratio: Number = None, part_ratio: Number = None
) -> TransferChain:
    """Return all transfers as one factor on the strength, and how well it is known.

    f_T = Π f_i, s_T² = Σ ln(1 + V_i²)

    Parameters
    ----------
    transfers : sequence of Transfer
        In any order; none leaves the strength of the specimens as it is, with a caution.
    test_ratio, part_ratio : float, array or None
        R_t and R_p, where a transfer goes to another stress ratio.

    Returns
    -------
    TransferChain
        The product, with a caution for every overlap that stands and every factor that raises the strength; a
        stop where the gear is bent further back than the specimens and nothing covers it.

    Raises
    ------
    InputError
        Two transfers that cover the same without a word why; two of one name; a factor of 0 or less, a
        variation below 0, no source, nothing covered, or a stress ratio that is missing.

    Notes
    -----
    Source: common practice; lognormal factors, taken for independent.
    Valid for: factors on the strength at one life.
    Departures: the weakest tooth is no factor; `gear_failed_share` counts its teeth.
    Checked: TRANSFER-PRODUCT.

    Examples
    --------
    >>> found = transferred(transfers=[pulsator_to_running(variation=0.05)])
    >>> found.factor, round(found.log_deviation, 4)
    (0.9, 0.05)
    """
    _check(transfers, test_ratio, part_ratio)
    factors = tuple(_factor(transfer, test_ratio, part_ratio) for transfer in transfers)
    log_factor, variance = array(0.0), array(0.0)
    for transfer, factor in zip(transfers, factors, strict=True):
        log_factor = log_factor + np.log(array(factor))
        variance = variance + np.log1p(array(transfer.variation) ** 2)
    back = tuple(_bent_back(transfers, test_ratio, part_ratio))
    if any(notice.level is Level.STOP for notice in back):
        log_factor, variance = array(np.nan), array(np.nan)
    return TransferChain(
        transfers=tuple(transfers),
        test_ratio=test_ratio,
        part_ratio=part_ratio,
        factors=factors,
        factor=np.exp(log_factor),
        log_factor=log_factor,
        log_deviation=np.sqrt(variance),
        notices=_notices(transfers, factors) + back,
    )


def overlaps(*, transfers: Sequence[Transfer]) -> Iterator[tuple[Transfer, Transfer, str, bool]]:
    """Yield each pair of transfers that cover the same.

    Parameters
    ----------
    transfers : sequence of Transfer
        All of one chain.

    Yields
    ------
    first, second, both, said : tuple of Transfer, Transfer, str and bool
        The pair, what both cover, and whether one of them says why both stand.
    """
    for first, second in combinations(transfers, 2):
        both = " and ".join(aspect for aspect in Aspect if aspect in _held(first) & _held(second))
        if both:
            yield first, second, both, bool(first.despite.strip() or second.despite.strip())


def _held(transfer: Transfer) -> set[Aspect]:
    """What a transfer covers; running gears were tested with all their teeth, so a rig holds their number."""
    covers = set(transfer.covers)
    return covers | {Aspect.SIZE} if Aspect.RIG in covers else covers


def _factor(transfer: Transfer, test_ratio: Number, part_ratio: Number) -> Number:
    if transfer.kind is TransferKind.WEAKEST_TOOTH:
        return 1.0
    if transfer.kind is TransferKind.STRESS_RATIO:
        return stress_ratio_factor(
            test_ratio=test_ratio, part_ratio=part_ratio, sensitivity=transfer.sensitivity
        )
    return transfer.factor


def _check(transfers: Sequence[Transfer], test_ratio: Number, part_ratio: Number) -> None:
    faults = Faults()
    names = [transfer.name for transfer in transfers]
    for place, transfer in enumerate(transfers):
        _check_one(faults, transfer)
        own = names.index(transfer.name) == place
        faults.need(own, f"transfers, {transfer.name}", "twice", "a name of its own for each transfer")
        if transfer.kind is TransferKind.STRESS_RATIO:
            for name, ratio in (("test_ratio", test_ratio), ("part_ratio", part_ratio)):
                faults.need(ratio is not None, name, ratio, f"a stress ratio, for {transfer.name}")
    for first, second, both, said in overlaps(transfers=transfers):
        needed = f"one transfer of it, or why both stand (despite): {first.name} covers it too"
        why = "what is taken off twice is not safer but wrong"
        faults.need(said, f"transfers, {second.name}, covers", both, needed, why)
    faults.check()


def _check_one(faults: Faults, transfer: Transfer) -> None:
    at = f"transfers, {transfer.name}"
    if transfer.kind is TransferKind.FACTOR:
        given = transfer.factor
        faults.need(
            given is not None and not np.any(array(given) <= 0), f"{at}, factor", given, "a factor above 0"
        )
    if transfer.kind is TransferKind.STRESS_RATIO:
        faults.need(
            transfer.sensitivity is not None, f"{at}, sensitivity", None, "M, the mean stress sensitivity"
        )
    variation = transfer.variation
    faults.need(not np.any(array(variation) < 0), f"{at}, variation", variation, "0 or more")
    faults.need(bool(transfer.source.strip()), f"{at}, source", None, "where it comes from")
    faults.need(bool(transfer.covers), f"{at}, covers", None, "what it stands for")


def _bent_back(transfers: Sequence[Transfer], test_ratio: Number, part_ratio: Number) -> Iterator[Notice]:
    """What is said of the stress ratio of the gear, where it is another one than that of the test."""
    if any(transfer.kind is TransferKind.STRESS_RATIO for transfer in transfers):
        yield from HAIGH.outside(test_ratio=test_ratio, part_ratio=part_ratio)
        return
    if test_ratio is None or part_ratio is None:
        return
    if not np.any(array(part_ratio) < array(test_ratio) - FURTHER_BACK):
        return
    two = (
        f"from {number_text(float(np.max(array(test_ratio))), 3)} to "
        f"{number_text(float(np.min(array(part_ratio))), 3)}"
    )
    named = [transfer.name for transfer in transfers if Aspect.STRESS_RATIO in transfer.covers]
    if named:
        text = (
            f"{' and '.join(named)} covers the stress ratio by a factor that is given: it has to come from "
            f"roots bent {two}, not from gears that run one way."
        )
        yield Notice(Level.CAUTION, f"{TRANSFER.key}.bent_back", text)
        return
    text = (
        f"The root of the gear is bent further back than that of the specimens, R {two}, and no transfer "
        "covers the stress ratio: the tests support no life of it."
    )
    yield Notice(Level.STOP, f"{TRANSFER.key}.not_bent_back", text)


def _notices(transfers: Sequence[Transfer], factors: Sequence[Number]) -> tuple[Notice, ...]:
    said = []
    if not transfers:
        text = "No transfer is named: the strength of the specimens is taken for that of the gear."
        said.append(("none", text))
    for first, second, both, _ in overlaps(transfers=transfers):
        why = " ".join(part.strip() for part in (first.despite, second.despite) if part.strip())
        said.append(("overlap", f"“{first.name}” and “{second.name}” both cover {both}; both stand: {why}"))
    for transfer, factor in zip(transfers, factors, strict=True):
        most = float(np.max(array(factor)))
        if most > 1:
            text = (
                f"The transfer “{transfer.name}” raises the strength above what was tested, by a factor of "
                f"{number_text(most)}."
            )
            said.append(("raised", text))
        known = transfer.kind is TransferKind.WEAKEST_TOOTH  # its teeth are counted: there is no factor
        if not known and not np.any(array(transfer.variation) > 0):
            text = f"The transfer “{transfer.name}” is taken for exact: no variation is given for it."
            said.append(("exact", text))
    return tuple(Notice(Level.CAUTION, f"{TRANSFER.key}.{key}", text) for key, text in said)
