"""What contradicts a limit waits for a disposition; what is decided lifts no more than it may."""

import json

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.record.book import Verdict
from gearcheck.record.decisions import withdraw
from gearcheck.record.dispositions import contradictions, dispose, due, stale_after
from gearcheck.record.events import Kind, Person
from gearcheck.record.inspecting import add_result
from gearcheck.record.past import book_from
from gearcheck.record.standing import conceded
from gearcheck.record.steps import adopt_draft, fork
from tests.record.opened import CASE_LEFT, FERN, PITCH, edited, gear, opened

QUALITY = Person(name="M. Teal", role="quality")
HEAD = {
    "revision": "E",
    "applies_to": "serial number 0007",
    "by": "measuring room",
    "date": "2026-03-08",
    "instrument": "gear measuring centre 2",
}
GROUND_OFF = "ground_off.left"
WHY = {"reason": "the wheel makes up for it", "limit": "serial number 0007"}


@pytest.fixture
def lift(tmp_path):
    return opened(tmp_path)


def waiting(lift):
    return {item.characteristic.key: item for item in due(lift.whole, lift.book)}


def decide(lift, characteristic, verdict, by=QUALITY, **given):
    about = waiting(lift)[characteristic].key
    return lift.do(dispose, lift.whole, by=by, about=about, verdict=verdict, **given)


def test_each_contradiction_waits_for_a_disposition(lift):
    found = waiting(lift)
    assert list(found) == [GROUND_OFF, CASE_LEFT, PITCH]
    assert [one.key for one in found[GROUND_OFF].requirements] == [CASE_LEFT]
    assert [one.key for one in found[CASE_LEFT].requirements] == [CASE_LEFT]
    # 1.55 mm are left where 1.60 mm is drawn, and 1.15 mm is needed for the stress
    assert found[CASE_LEFT].kept == ("Case depth, finished, against drum",)
    assert (found[CASE_LEFT].may_be_accepted, found[PITCH].may_be_accepted) == (True, False)


@pytest.mark.parametrize("verdict", ["accept", "concession"])
def test_what_is_accepted_stays_contradicted_and_lifts_its_own_requirement_alone(lift, verdict):
    before = lift.requirement(CASE_LEFT)
    decide(lift, CASE_LEFT, verdict, **WHY)
    assert lift.requirement(CASE_LEFT).by_evidence == before.by_evidence == "contradicted"
    assert conceded(lift.whole, lift.book) == {CASE_LEFT}
    assert list(waiting(lift)) == [PITCH]
    (made,) = lift.book.dispositions
    assert (made.verdict, made.requirements, made.operations, dict(made.stale)) == (
        verdict,
        (CASE_LEFT,),
        (),
        {},
    )
    assert [event.kind for event in lift.book.events[-2:]] == [Kind.DISPOSED, Kind.CONCEDED]
    assert lift.book.revision.revision == 1


def test_nothing_is_accepted_whose_need_nothing_shows(lift):
    with pytest.raises(InputError) as error:
        decide(lift, PITCH, "accept", **WHY)
    assert "a concession is needed" in str(error.value)
    decide(lift, PITCH, "concession", **WHY)
    assert list(waiting(lift)) == [GROUND_OFF, CASE_LEFT]


def test_a_concession_that_is_taken_back_or_outrun_leaves_the_finding_waiting_again(lift):
    decide(lift, CASE_LEFT, "accept", **WHY)
    lift.do(withdraw, number=lift.book.concessions[-1].number, reason="the customer said no")
    assert CASE_LEFT in waiting(lift)
    decide(lift, CASE_LEFT, "concession", **WHY)
    assert CASE_LEFT not in waiting(lift)
    lift.do(adopt_draft, {"torque": 14_000.0}, reason="less load leaves the finding as it is")
    assert CASE_LEFT not in waiting(lift)
    head = {
        "revision": "E",
        "applies_to": "serial number 0008",
        "by": "x",
        "date": "2026-03-08",
        "instrument": "y",
    }
    lift.do(add_result, values=head | {"characteristic": CASE_LEFT, "value": "1.50 mm"})
    assert len([item for item in due(lift.whole, lift.book) if item.characteristic.key == CASE_LEFT]) == 2


def test_rework_makes_stale_what_the_operations_touch_and_nothing_else(lift):
    decide(lift, CASE_LEFT, "rework", reason="ground again", first="grind", last="final")
    whole = lift.whole
    told = {
        key: [one.why_stale for one in findings if one.stale]
        for key, findings in whole.inspected.findings.items()
    }
    why = f"operations 110 to 160 run again (disposition {lift.book.dispositions[-1].number})"
    for key in (CASE_LEFT, PITCH, "accuracy.profile.left", "surface_temper", "cracks", "size.tip", "marking"):
        assert told[key] == [why], key
    for key in (
        "chemistry",
        "mask.coverage",
        "furnace.chart",
        "size.blank",
        "stock.left",
        "mate.released",
        "hardenability",
    ):
        assert not told[key], key
    assert waiting(lift) == {}
    assert lift.requirement(CASE_LEFT).by_evidence == "stale"
    assert lift.book.revision.source == "disposition"
    assert {one["key"] for one in lift.book.revision.moved} >= {CASE_LEFT, PITCH}


def test_what_was_reworked_stays_stale_until_it_is_measured_again(lift):
    decide(lift, CASE_LEFT, "rework", reason="ground again", first="grind", last="final")
    lift.do(adopt_draft, {"torque": 14_000.0}, reason="less load")
    assert lift.requirement(CASE_LEFT).by_evidence == "stale"
    head = {
        "revision": "E",
        "applies_to": "serial number 0007",
        "by": "x",
        "date": "2026-03-08",
        "instrument": "y",
    }
    for flank in ("left", "right"):
        for name, value in (("case.left", "1.66 mm"), ("ground_off", "0.2 mm"), ("case.most", "1.66 mm")):
            lift.do(add_result, values=head | {"characteristic": f"{name}.{flank}", "value": value})
    assert lift.whole.inspected.answers[CASE_LEFT] == "shown"


def test_a_rejected_part_takes_all_its_evidence_with_it(lift):
    decide(lift, CASE_LEFT, "reject", reason="not worth it")
    whole = lift.whole
    for findings in whole.inspected.findings.values():
        for one in findings:
            assert bool(one.stale) == ("0007" in one.applies_to), one.text
    # the gear goes; what the coupon of its load and the certificate of its heat showed stays
    assert whole.inspected.answers["chemistry"] == whole.inspected.answers["carbides"] == "shown"
    assert waiting(lift) == {}


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"verdict": "accept", "reason": "fine"}, "limit"),
        ({"verdict": "accept", **WHY, "reason": " "}, "reason"),
        ({"verdict": "scrap", **WHY}, "verdict"),
        ({"verdict": "rework", "reason": "again", "first": "grind", "last": "polish"}, "last operation"),
        ({"verdict": "rework", "reason": "again"}, "first operation"),
        ({"verdict": "rework", "reason": "again", "first": "final", "last": "grind"}, "last operation"),
        ({"verdict": "accept", **WHY, "about": "marking:00"}, "finding"),
        ({"verdict": "accept", **WHY, "by": FERN.__class__(name="M. Teal")}, "role"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_missing_is_said_and_nothing_is_written(lift, given, field):
    last, about = lift.book.last, waiting(lift)[CASE_LEFT].key
    with pytest.raises(InputError) as error:
        lift.do(dispose, lift.whole, **{"about": about, "by": QUALITY} | given)
    assert field in [fault.field for fault in error.value.faults]
    assert lift.workspace.last(lift.book.record) == last


def test_the_preview_says_what_the_decision_makes_stale(lift):
    item, route = waiting(lift)[CASE_LEFT], lift.whole.inspected.plan.route
    again = route.operations[route.operations.index(route.find("grind")) :]
    preview = stale_after(lift.whole, item, Verdict.REWORK, again, lift.book.last + 1)
    decide(lift, CASE_LEFT, "rework", reason="ground again", first="grind", last=again[-1].key)
    assert dict(lift.book.dispositions[-1].stale) == preview
    assert stale_after(lift.whole, item, Verdict.ACCEPT, (), 1) == {}


def test_a_fork_keeps_what_was_rejected_away(lift):
    decide(lift, CASE_LEFT, "reject", reason="not worth it")
    other = edited("ship_lift", ('torque = "15.2 kN·m"', 'torque = "15.0 kN·m"'))
    lift.book = fork(lift.workspace, other, by=FERN, reason="another way", follows="SL-040_E")
    assert lift.requirement(CASE_LEFT).by_evidence == "stale"
    assert contradictions(lift.whole) == ()


def test_a_history_with_a_disposition_reads_back_and_one_of_another_shape_does_not(lift):
    decide(lift, CASE_LEFT, "reject", reason="not worth it")
    history = [event.text for event in lift.book.events]
    book, faults = book_from(history)
    assert (faults, book.dispositions) == ((), lift.book.dispositions)
    place = next(at for at, event in enumerate(lift.book.events) if event.kind is Kind.DISPOSED)
    for name, value in (("stale", ["x"]), ("verdict", 3), ("requirements", "all"), ("operations", [1])):
        content = json.loads(history[place])
        content["body"][name] = value
        text = json.dumps(content, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        read, said = book_from([*history[:place], text])
        assert read is None
        assert "does not say what it should" in said[0]


def test_without_a_plan_nothing_waits(tmp_path):
    plain = gear("harvester")
    assert plain.inspection is not None
    assert contradictions(opened(tmp_path, "harvester").whole) == ()


def test_what_was_written_down_wrongly_is_set_aside_and_waits_for_the_same_piece(lift):
    wrong = HEAD | {"characteristic": "size.tip", "value": "291.65 mm"}
    lift.do(add_result, values=wrong)
    assert lift.whole.inspected.answers["size.tip"] == "contradicted"
    decide(lift, "size.tip", "set aside", reason="two digits were swapped")
    # the gear was measured well once before: that speaks for it again
    assert lift.whole.inspected.answers["size.tip"] == "shown"
    assert lift.whole.inspected.answers[CASE_LEFT] == "contradicted"
    lift.do(add_result, values=wrong | {"applies_to": "serial number 0008"})
    decide(lift, "size.tip", "set aside", reason="two digits were swapped")
    assert lift.whole.inspected.answers["size.tip"] == "stale"
    told = [one.why_stale for one in lift.whole.inspected.findings["size.tip"]]
    assert any("set aside, to be measured again" in why for why in told)
    right = {"applies_to": "serial number 0008", "value": "219.65 mm"}
    lift.do(add_result, values=wrong | right)
    assert lift.whole.inspected.answers["size.tip"] == "shown"
