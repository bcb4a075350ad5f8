"""Named transfers: their product, what is not sure of them, and that nothing is taken off twice unsaid."""

from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.methods import Status
from gearcheck.fatigue.inputs import Aspect, Transfer, TransferKind
from gearcheck.fatigue.mean_stress import stress_ratio_factor
from gearcheck.fatigue.transfers import pulsator_to_running, transferred
from tests.checks import cases, holds

FINISH = Transfer(
    name="ground root",
    kind=TransferKind.FACTOR,
    factor=0.95,
    variation=0.03,
    source="two series, ground and not",
    status=Status.COMMON_PRACTICE,
    covers=(Aspect.FINISH,),
)
WEAKEST = replace(
    FINISH, name="all teeth", kind=TransferKind.WEAKEST_TOOTH, factor=None, covers=(Aspect.SIZE,)
)
RATIO = replace(
    FINISH,
    name="idler",
    kind=TransferKind.STRESS_RATIO,
    factor=None,
    sensitivity=0.4,
    covers=(Aspect.STRESS_RATIO,),
)
FLAT = pulsator_to_running(variation=0.05)
RATIOS = {"test_ratio": 0.05, "part_ratio": -1.2}


@pytest.mark.parametrize(
    "check", cases("fatigue_transfer", "gearcheck.fatigue.transfers:pulsator_to_running"), ids=str
)
def test_the_flat_factor(check):
    holds(check, factor=pulsator_to_running(**check.inputs).factor)


@pytest.mark.parametrize(
    "check", cases("fatigue_transfer", "gearcheck.fatigue.transfers:transferred"), ids=str
)
def test_product_and_variance(check):
    chain = [
        replace(FINISH, name=aspect, factor=factor, variation=variation, covers=(aspect,))
        for factor, variation, aspect in zip(
            check.inputs["factor"], check.inputs["variation"], Aspect, strict=False
        )
    ]
    found = transferred(transfers=chain)
    holds(check, factor=found.factor, log_deviation=found.log_deviation)
    assert transferred(transfers=chain[::-1]).factor == pytest.approx(found.factor)
    assert not found.notices


def test_what_is_drawn_has_that_scatter():
    found = transferred(transfers=[FINISH, FLAT])
    generator = np.random.default_rng(4)
    drawn = np.ones(100000)
    for transfer in found.transfers:
        deviation = np.sqrt(np.log1p(transfer.variation**2))
        drawn *= transfer.factor * np.exp(deviation * generator.standard_normal(drawn.size))
    assert np.log(drawn).std() == pytest.approx(found.log_deviation, rel=0.01)
    assert np.median(drawn) == pytest.approx(found.factor, rel=0.002)


def test_what_follows_is_worked_out():
    found = transferred(transfers=[WEAKEST, RATIO, FINISH], **RATIOS)
    reversed_bending = stress_ratio_factor(**RATIOS, sensitivity=0.4)
    assert found.factors == (1.0, reversed_bending, 0.95)
    assert found.factor == pytest.approx(0.95 * reversed_bending)
    assert found.weakest_tooth
    assert not transferred(transfers=[FINISH]).weakest_tooth
    far = transferred(transfers=[RATIO], test_ratio=0.05, part_ratio=-2)
    assert [notice.key for notice in far.notices] == ["haigh_line.part_ratio"]


def test_the_flat_factor_overlaps_with_teeth_and_stress_ratio():
    with pytest.raises(InputError) as raised:
        transferred(transfers=[FLAT, WEAKEST, FINISH, RATIO], **RATIOS)
    assert [(fault.field, fault.given) for fault in raised.value.faults] == [
        ("transfers, all teeth, covers", "number of teeth"),
        ("transfers, idler, covers", "stress ratio"),
    ]


def test_a_factor_between_rigs_holds_the_number_of_teeth_though_it_does_not_say_so():
    with pytest.raises(InputError, match="number of teeth"):
        transferred(transfers=[replace(FLAT, covers=(Aspect.RIG,)), WEAKEST])


def test_an_overlap_with_its_reason_stands_and_is_told():
    why = "0.9 stands for gears that run one way; this one is an idler."
    found = transferred(transfers=[FLAT, replace(RATIO, despite=why)], **RATIOS)
    assert found.factor == pytest.approx(0.9 * stress_ratio_factor(**RATIOS, sensitivity=0.4))
    (notice,) = found.notices
    assert notice.key == "named_transfers.overlap"
    assert "both cover stress ratio" in notice.text
    assert why in notice.text


@pytest.mark.parametrize(
    ("transfers", "key"),
    [
        ([], "none"),
        ([replace(FINISH, factor=1.1)], "raised"),
        ([replace(FINISH, factor=[0.9, 1.1])], "raised"),
        ([replace(FINISH, variation=0.0)], "exact"),
    ],
)
def test_what_has_to_be_told(transfers, key):
    found = transferred(transfers=transfers)
    assert [notice.key for notice in found.notices] == [f"named_transfers.{key}"]


def test_samples_go_through():
    found = transferred(transfers=[replace(FINISH, factor=[0.9, 0.8]), RATIO], **RATIOS)
    assert found.factor == pytest.approx(
        np.array([0.9, 0.8]) * stress_ratio_factor(**RATIOS, sensitivity=0.4)
    )


def test_a_transfer_without_its_footing_is_refused():
    bad = replace(FINISH, factor=None, variation=-1, source=" ", covers=())
    with pytest.raises(InputError) as raised:
        transferred(transfers=[FINISH, bad, replace(RATIO, sensitivity=None)])
    assert [fault.field for fault in raised.value.faults] == [
        "transfers, ground root, factor",
        "transfers, ground root, variation",
        "transfers, ground root, source",
        "transfers, ground root, covers",
        "transfers, ground root",
        "transfers, idler, sensitivity",
        "test_ratio",
        "part_ratio",
    ]


def said(found):
    return [notice.key.removeprefix("named_transfers.") for notice in found.notices]


def test_a_root_bent_further_back_than_the_specimens_needs_a_transfer():
    """Full load both ways: R = -1.2 at the root where specimens were bent one way."""
    stopped = transferred(transfers=[FINISH], **RATIOS)
    assert (stopped.factor, stopped.log_factor, stopped.log_deviation) == (None, None, None)
    assert [notice.text for notice in stopped.stops] == [
        "The root of the gear is bent further back than that of the specimens, R from 0.05 to −1.2, and no "
        "transfer covers the stress ratio: the tests support no life of it."
    ]
    assert not transferred(transfers=[FINISH, RATIO], **RATIOS).stops
    assert not transferred(transfers=[FINISH], test_ratio=0.05, part_ratio=0.0).stops
    assert not transferred(transfers=[FINISH], test_ratio=-1.2, part_ratio=0.0).stops
    # a flat factor of gears that run one way does not stand for it unsaid
    assert said(transferred(transfers=[FLAT], **RATIOS)) == ["bent_back"]
