"""Whatever people write in whatever order, the entries tell one story; what is refused leaves no trace."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gearcheck.basics.errors import InputError
from gearcheck.record.blocks import blocks, open_points
from gearcheck.record.book import ROLES
from gearcheck.record.closing import confirm, prepare, require_roles, take_signature
from gearcheck.record.decisions import answer, ask, concede, finish, set_action, withdraw
from gearcheck.record.events import Kind, chain_faults, read_event
from gearcheck.record.ledger import unconfirmed
from gearcheck.record.reading import book_of
from gearcheck.record.requests import read_request, request_text
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.standing import State, state_of
from gearcheck.record.steps import adopt_draft
from tests.record import signed as demo
from tests.record.opened import AT, opened
from tests.record.results import write_row

TORQUES = {"ship_lift": (14000.0, 14600.0), "tunnel_fan": (800.0, 900.0), "harvester": (900.0, 950.0)}
SEEN = {"edition": "ISO 6336-3:2019", "clause": "clause 5", "date": "2026-03-19"}


def named_step(desk, place, pick):
    """One of the steps, and some of what it may be given, good and bad; `pick` chooses."""
    number, whole = pick % (desk.book.last + 1), desk.whole
    about = whole.requirements[pick % len(whole.requirements)].key
    notebook = demo.report_of(desk.book)
    notebook["cells"][0]["source"] = [f"# Report {pick % 3}\n"]
    due = f"2026-04-{pick % 35:02}"
    return (
        lambda: (ask, {"about": about if pick % 2 else "", "text": "Which lot?" if pick % 5 else ""}),
        lambda: (answer, {"number": number, "text": "Lot 7."}),
        lambda: (set_action, {"about": "", "text": "Ask.", "owner": "B. Moss", "due": due}),
        lambda: (finish, {"number": number, "note": "Done."}),
        lambda: (concede, {"whole": whole, "about": about, "reason": "agreed", "limit": "one set"}),
        lambda: (withdraw, {"number": number, "reason": "taken back"}),
        lambda: (confirm, {"whole": whole, "items": some_values(desk, pick), **SEEN}),
        lambda: (require_roles, {"roles": list(ROLES[: pick % 4])}),
        lambda: (prepare, {"whole": whole, "notebook": demo.data(notebook)}),
        lambda: (take_signature, {"text": came_back(desk, ROLES[pick % 3])}),
        lambda: (adopt_draft, {"values": {"torque": TORQUES[desk.scenario][pick % 2]}, "reason": "agreed"}),
    )[place]()


def some_values(desk, pick):
    """A few of the values that nobody has confirmed."""
    return [item.what for item in unconfirmed(desk.whole, desk.book)][: 1 + pick % 40] or ["none"]


def came_back(desk, role):
    """A signature of what lies before the signers, or of nothing."""
    if desk.book.prepared is None or role not in desk.book.prepared.roles:
        return "none"
    request = read_request(request_text(desk.book, role, desk.whole))
    return signature_text(sign(request, demo.KEYS[role], name=demo.WHO[role], at=AT))


def write(desk, choices):
    """Take the steps; return which of them were written."""
    written = []
    for place, pick in choices:
        step, named = named_step(desk, place, pick)
        before = desk.book
        try:
            desk.do(step, **named)
        except InputError:
            assert desk.workspace.last(before.record) == before.last
            assert desk.book is before
        else:
            assert desk.book.last == before.last + 1
            written.append(step)
        is_one_story(desk)
    return written


def is_one_story(desk):
    """What must hold of every book."""
    book, events, whole = desk.book, desk.book.events, desk.whole
    open_ones = blocks(whole, book)
    assert desk.workspace.book(book.record) == book == book_of(events)
    assert book_of(read_event(event.text) for event in events) == book
    assert chain_faults(events, record=book.record) == ()
    assert [item.revision for item in book.revisions] == list(range(1, len(book.revisions) + 1))
    decided = (*book.questions, *book.actions, *book.concessions, *book.confirmations)
    assert all(1 <= item.revision <= book.revision.revision for item in decided)
    assert all(events[item.number - 1].at == item.at == AT for item in decided)
    lies = events[-1].kind in (Kind.PREPARED, Kind.SIGNED)
    assert (book.prepared is not None) is lies
    if lies:
        assert not open_ones
        assert book.prepared.revision == book.revision.revision
        assert all(item.signature["digest"] == book.prepared.digest for item in book.signatures)
        roles = [item.signature["role"] for item in book.signatures]
        assert sorted([*roles, *book.missing_roles]) == sorted(book.prepared.roles)
    else:
        assert not book.signatures
    assert book.is_signed is (lies and not book.missing_roles)
    holds = [item for item in book.concessions if state_of(item, whole) is State.HOLDS]
    assert not {item.about for item in holds} & {one.about for one in open_ones}
    assert open_points(book).endswith(".")


def at(folder, scenario):
    desk = opened(folder, scenario)
    desk.scenario = scenario
    return desk


CHOICES = st.lists(st.tuples(st.integers(0, 10), st.integers(0, 200)), min_size=5, max_size=16)


@settings(max_examples=5, deadline=None, derandomize=True)
@given(choices=CHOICES)
def test_any_order_of_steps_tells_one_story(tmp_path_factory, choices):
    write(at(tmp_path_factory.mktemp("any"), "harvester"), choices)


@pytest.mark.slow
@pytest.mark.parametrize("scenario", list(TORQUES))
def test_any_order_of_steps_tells_one_story_for_each_gear(tmp_path_factory, scenario):
    count = Counter()

    @settings(max_examples=30, deadline=None, derandomize=True)
    @given(choices=st.lists(st.tuples(st.integers(0, 10), st.integers(0, 200)), min_size=20, max_size=50))
    def run(choices):
        written = write(at(tmp_path_factory.mktemp("any"), scenario), choices)
        count.update(tried=len(choices), written=len(written))

    run()
    refused = count["tried"] - count["written"]
    outcome = (
        f"{count['written']} written, {refused} refused and nothing of them written; one story after each"
    )
    assert count["written"] > refused / 10
    write_row(f"steps in any order on {scenario}", count["tried"], outcome)


def test_a_long_run_writes_every_kind_of_entry(tmp_path):
    lift = at(tmp_path, "ship_lift")
    order = [place for place in range(11) for _ in range(2)]
    written = write(lift, [(place, 13 * count + 1) for count, place in enumerate(order)])
    keys = [item.key for item in lift.whole.requirements]
    waiting = [keys.index(one.about) for one in blocks(lift.whole, lift.book)]
    written += write(lift, [(4, pick) for pick in waiting])
    assert not blocks(lift.whole, lift.book)
    written += write(lift, [(7, 3), (8, 1), (8, 1), (9, 0), (9, 0), (9, 1), (9, 2)])
    assert lift.book.is_signed
    granted = lift.book.concessions[0].number
    asked = next((item.number for item in lift.book.questions if item.answered is None), lift.book.last + 1)
    tail = [(5, granted), (0, 1), (2, 5), (1, asked), (10, 0), (10, 0)]
    written += write(lift, tail)
    assert not lift.book.is_signed
    assert {ask, set_action, concede, withdraw, confirm, require_roles, prepare} < set(written)
    assert {take_signature, adopt_draft, answer} < set(written)
    assert written.count(take_signature) == 3
