"""What-if: drafts, trade table and remedies on the real calculation."""

from __future__ import annotations

import numpy as np
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.requirements.types import Calculation
from gearcheck.review.changes import CHANGES, changed, open_changes
from gearcheck.review.draft import draft_from_query, draft_to_query, draft_words
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.judge import judged
from gearcheck.review.remedies import remedies
from gearcheck.review.trade import trade

SCENARIOS = sorted(path.parent.name for path in scenarios().glob("*/gear.toml"))


@pytest.fixture(scope="module", params=SCENARIOS)
def record(request):
    return read_gear_file(scenarios() / request.param / "gear.toml")


@pytest.fixture(scope="module")
def failing():
    return read_gear_file(scenarios() / "ship_lift" / "gear.toml")


def test_a_change_writes_what_it_reads(record):
    for change in open_changes(record):
        low, high = change.bounds(record)
        target = round(low) if change.whole else (2 * low + high) / 3
        assert float(change.read(change.write(record, target))) == pytest.approx(target, abs=1e-12)


def test_a_change_to_the_same_value_changes_nothing(record):
    same = changed(record, {change.key: float(change.read(record)) for change in open_changes(record)})
    assert [item.native for item in judged(same)] == [item.native for item in judged(record)]


def test_the_record_itself_is_never_touched(record):
    before = repr(record)
    changed(record, {"torque": 1.0, "face_width": 20.0, "class": 9, "stock": 0.0})
    assert repr(record) == before


def test_shift_is_given_back_by_the_mates(record):
    moved = changed(record, {"profile_shift": record.gear.tooth.profile_shift + 0.1})
    for old, new in zip(record.meshes, moved.meshes, strict=True):
        assert float(new.mate.tooth.profile_shift) == pytest.approx(old.mate.tooth.profile_shift - 0.1)
    sums = [
        float(item.gear.tooth.profile_shift) + float(item.meshes[0].mate.tooth.profile_shift)
        for item in (record, moved)
    ]
    assert sums[0] == pytest.approx(sums[1])


def test_a_draft_survives_the_address(record):
    values = {}
    for change in open_changes(record):
        low, high = change.bounds(record)
        values[change.key] = float(round(low)) if change.whole else round((low + 2 * high) / 3, change.digits)
    draft, refused = draft_from_query(draft_to_query(values), record)
    assert not refused
    assert draft == pytest.approx(values)
    words = draft_words(draft, record)
    assert all(change.label.lower() in words for change in open_changes(record) if change.key in draft)


@pytest.mark.parametrize("text", ["nan", "inf", "-5", "abc", "1e400", "<script>", "", "999999999"])
def test_what_an_address_cannot_mean_is_refused_in_words(record, text):
    draft, refused = draft_from_query(f"torque={text}&other=3", record)
    assert draft == {}
    assert refused == () if text == "" else (len(refused) == 1 and refused[0].startswith("Torque"))


def test_the_trade_table_agrees_with_one_review_for_each_row(record):
    table = trade(record)
    now = {item.key: item for item in judged(record)}
    for place, (change, after) in enumerate(zip(table.changes, table.after, strict=True)):
        alone = {item.key: item for item in judged(changed(record, {change.key: after}))}
        for key, values in table.reserves.items():
            for sample, review in ((0, now), (place + 1, alone)):
                single = review[key].reserve
                assert single is not None
                expected = np.nan if single.factor is None else single.factor
                np.testing.assert_allclose(values[sample], expected, rtol=1e-6, err_msg=f"{change.key} {key}")
        for key, values in table.shares.items():
            np.testing.assert_allclose(values[place + 1], alone[key].share, err_msg=f"{change.key} {key}")


def test_more_torque_lowers_every_reserve_in_step(record):
    table = trade(record)
    row = [change.key for change in table.changes].index("torque") + 1
    for key, values in table.reserves.items():
        np.testing.assert_allclose(values[row] * 1.05, values[0], rtol=2e-6, err_msg=key)


def test_a_remedy_meets_and_half_of_it_does_not(failing):
    fails = [item for item in judged(failing) if item.by_calculation is Calculation.FAILS]
    assert fails
    for item in fails:
        found = remedies(failing, item.key)
        assert [remedy.change.key for remedy in found if remedy.after is not None], "nothing fixes it"
        for remedy in found:
            if remedy.after is None:
                continue
            fixed = changed(failing, {remedy.change.key: remedy.after})
            assert _answer(fixed, item.key) is Calculation.MEETS
            if not remedy.change.whole:
                short = remedy.before + 0.98 * (remedy.after - remedy.before)
                assert _answer(changed(failing, {remedy.change.key: short}), item.key) is Calculation.FAILS


def test_a_thin_film_is_mended_by_flank_and_oil():
    tram, key = read_gear_file(scenarios() / "tram_bogie" / "gear.toml"), "stress.micropitting.wheel"
    found = {remedy.change.key: remedy.after for remedy in remedies(tram, key) if remedy.after is not None}
    assert {"roughness", "viscosity", "oil_temperature"} <= found.keys()
    assert found["roughness"] < 3 and found["viscosity"] > 150 and found["oil_temperature"] < 85
    for change, value in found.items():
        assert _answer(changed(tram, {change: value}), key) is Calculation.MEETS


def test_a_remedy_says_what_it_costs(failing):
    thin = changed(failing, {"stock": 0.35})
    assert _answer(thin, "case.left.left") is Calculation.FAILS
    costs = {remedy.change.key: remedy.costs for remedy in remedies(thin, "case.left.left") if remedy.after}
    assert any(text.startswith("Case after grinding at most") for text in costs["stock"])


def _answer(record, key):
    return next(item.by_calculation for item in judged(record) if item.key == key)


def test_every_change_has_its_own_key_and_unit():
    assert len({change.key for change in CHANGES}) == len(CHANGES)
