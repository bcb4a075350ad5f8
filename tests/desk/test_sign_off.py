"""The sign-off sheet without a browser: what each panel writes, and what it says when something is wrong."""

import dataclasses
import re
import shutil
from datetime import UTC, datetime

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.places import scenarios
from gearcheck.desk import record_sheet, sign_off
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels import blocked, decisions, history, ledger, signing
from gearcheck.desk.panels.history import History
from gearcheck.desk.panels.piece import Folds
from gearcheck.desk.panels.signing import Signing
from gearcheck.desk.panels.takeaway import TakeAway
from gearcheck.record import decisions as steps
from gearcheck.record.events import Person
from gearcheck.record.ledger import confirmables
from gearcheck.record.requests import read_request
from gearcheck.record.signatures import sign, signature_text
from gearcheck.record.steps import adopt_draft, open_record
from gearcheck.record.workspace import Workspace
from gearcheck.report import release
from gearcheck.review.gear_file import read_gear_file
from tests.record.signed import KEYS, WHO, data, unsigned

EVIL = '<img src=x onerror="alert(1)">\'&'
CHAIR = Person(name="D. Hale", role="chair")
ROOT = "stress.root.drum.gear"


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """Give a workspace file with the record of a demo gear just opened."""
    made = {}

    def give(name):
        if name not in made:
            file = tmp_path_factory.mktemp("desk") / "workspace.sqlite"
            book = open_record(Workspace(file), read_gear_file(scenarios() / name / "gear.toml"), by=CHAIR)
            made[name] = file, book.record
        return made[name]

    return give


@pytest.fixture
def kept_of(opened, tmp_path):
    def give(name):
        file, record = opened(name)
        workspace = Workspace(shutil.copy(file, tmp_path / "workspace.sqlite"))
        return Kept(workspace, workspace.book(record), CHAIR)

    return give


@pytest.fixture
def fan(kept_of):
    return kept_of("tunnel_fan")


@pytest.fixture
def lift(kept_of):
    return kept_of("ship_lift")


@pytest.fixture
def quick_report(monkeypatch):
    """A report of the right structure, without the seconds in which the real one runs."""
    monkeypatch.setattr(release, "notebook_report", lambda whole, book: data(unsigned()).decode("utf-8"))


def quiet(_, lines):
    assert not lines, lines


class Told(list):
    def __call__(self, _, lines):
        self[:] = lines


class AllOpen(Folds):
    def fold(self, key, summary, body):
        self.opened.add(key)
        return super().fold(key, summary, body)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).strip()


# the head


def test_the_head_says_that_nothing_blocks(fan):
    html = blocked.blocked_html(fan)
    assert "Nothing blocks signing." in html
    assert "None of 37 requirements fails" in html
    assert "revision 1 of the record" in blocked.head_html(fan)
    assert [name in blocked.head_html(fan) for name in ("review.ipynb", "verify.ipynb")] == [True, True]


def test_what_blocks_stands_with_a_link_to_its_place_in_the_review(lift):
    html = blocked.blocked_html(lift)
    assert "5 points block signing" in html
    assert "Root stress, the gear against drum fails by calculation" in html
    keys = [item.key for item in lift.whole().requirements]
    assert f'href="review.ipynb#need-{keys.index(ROOT)}"' in html


# decisions


def test_a_question_is_asked_and_answered_on_the_sheet(fan):
    decisions.decide(fan, "ask:", {"text": f"Which lot? {EVIL}"})
    html = decisions.decisions_html(fan, AllOpen())
    number = fan.book.questions[0].number
    assert f'data-form="answer:{number}"' in html
    assert "<img" not in html
    decisions.decide(fan, f"answer:{number}", {"text": "Lot 7."})
    html = decisions.decisions_html(fan, AllOpen())
    assert "Answer: Lot 7." in html
    assert f'data-form="answer:{number}"' not in html


def test_an_action_is_set_and_closed(fan):
    decisions.decide(fan, "act:", {"text": "Measure again.", "owner": "B. Moss", "due": "2026-04-01"})
    number = fan.book.actions[0].number
    assert "B. Moss, until 2026-04-01" in decisions.decisions_html(fan, Folds())
    decisions.decide(fan, f"finish:{number}", {"note": "Measured: 1.61 mm."})
    assert "Done: Measured: 1.61 mm." in decisions.decisions_html(fan, Folds())


def test_what_is_missing_is_named_and_nothing_is_written(fan):
    before = fan.book.last
    with pytest.raises(InputError, match=r"owner: missing.*\n.*due: missing"):
        decisions.decide(fan, "act:", {"text": "Measure again.", "owner": "", "due": ""})
    assert fan.book.last == before


def test_a_concession_shows_what_has_become_of_it(lift):
    given = {"about": ROOT, "reason": "Accepted for one lot.", "limit": "12 parts"}
    lift.do(lambda workspace, book, *, by: steps.concede(workspace, book, lift.whole(), by=by, **given))
    number = lift.book.concessions[0].number
    html = decisions.decisions_html(lift, AllOpen())
    assert '<span class="gc-answer holds">holds</span>' in html
    assert "4 points block signing" in blocked.blocked_html(lift)
    lift.do(adopt_draft, values={"torque": 15_400.0}, reason="A little more torque.")
    html = decisions.decisions_html(lift, AllOpen())
    assert '<span class="gc-answer stale">stale</span>' in html
    assert "It no longer covers its requirement" in html
    decisions.decide(lift, f"withdraw:{number}", {"reason": "The lot is scrapped."})
    html = decisions.decisions_html(lift, AllOpen())
    assert "Withdrawn: The lot is scrapped." in html
    assert f'data-form="withdraw:{number}"' not in html


# confirmations


def test_values_are_confirmed_against_a_document(fan):
    items = confirmables(fan.whole(), fan.book)
    html = ledger.ledger_html(fan, Folds())
    assert f"{len(items)} of {len(items)} methods and tables" in html
    assert html.count('type="checkbox"') == len(items)
    ticked = {"items": f"{items[0].what}\n{items[1].what}"}
    ledger.confirm_ticked(
        fan, {**ticked, "edition": "ISO 1328-1:2013", "clause": "5.3", "date": "2026-03-02"}
    )
    html = ledger.ledger_html(fan, Folds())
    assert f"{len(items) - 2} of {len(items)} methods and tables" in html
    assert html.count('type="checkbox"') == len(items) - 2
    assert "D. Hale, chair, on" in words(html)


def test_what_is_confirmed_can_be_read_first(fan):
    html = ledger.ledger_html(fan, AllOpen())
    flank = next(line for line in re.findall(r"<tr><td>flank, case.*?</tr>", html) if "50000000" in line)
    assert "<td>1.6</td>" in flank
    assert "Its formulas stand" in html


def test_a_confirmation_without_its_place_is_refused(fan):
    with pytest.raises(InputError, match=r"values: missing(.|\n)*edition: missing(.|\n)*day: missing"):
        ledger.confirm_ticked(fan, {})


# signing


def signature_of(book, role, kept, key=None):
    request = read_request(signing.requests_of(kept)[signing.request_name(book, book.prepared, role)]())
    made = sign(request, key or KEYS[role], name=WHO[role], at="2026-03-02T09:30:00Z")
    return signature_text(made).encode("utf-8")


def give(panel, **files):
    panel.upload.value = tuple(
        {
            "name": name,
            "type": "",
            "size": len(content),
            "content": memoryview(content),
            "last_modified": datetime(2026, 3, 2, tzinfo=UTC),
        }
        for name, content in files.items()
    )


@pytest.fixture
def prepared(fan, quick_report):
    told = Told()
    panel = Signing(fan, told)
    panel.button.click()
    assert panel.trouble.value == ""
    return panel


def test_a_record_is_prepared_and_its_files_lie_beside_the_workspace(fan, prepared):
    html = prepared.state.html
    book = fan.book
    assert book.prepared.digest in html
    assert f"{len(confirmables(fan.whole(), book))} values unconfirmed" in html
    folder = signing.files_folder(fan)
    assert str(folder) in words(html)
    assert len(prepared.requests.names) == 4
    for name in prepared.requests.names:
        assert (folder / name).read_bytes() == prepared.requests._files[name]()
    for role in book.roles:
        name = signing.request_name(book, book.prepared, role)
        assert f"gearcheck sign {name} --report" in html
    assert prepared.button.layout.display == "none"


def test_signatures_come_back_several_at_once_and_a_bad_one_is_refused_by_name(fan, prepared):
    book = fan.book
    good = {f"{role}.json": signature_of(book, role, fan) for role in ("design", "metallurgy")}
    give(prepared, **good, **{"photo.json": b"\xff\xd8", "again.json": good["design.json"]})
    assert "photo.json, " in prepared.trouble.value
    assert "again.json, role: given design" in prepared.trouble.value
    assert "design.json, " not in prepared.trouble.value.replace("again.json", "")
    assert fan.book.missing_roles == ("quality",)
    html = prepared.state.html
    assert "A. Fern" in html
    assert "2 March 2026 at 09:30 UTC" in html
    assert '<b id="missing">quality</b>' in html
    assert len(prepared.requests.names) == 2
    give(prepared, **{"quality.json": signature_of(fan.book, "quality", fan)})
    assert prepared.trouble.value == ""
    assert "All have signed revision 1" in prepared.state.html
    assert prepared.upload.layout.display == "none"


def test_a_signature_of_another_report_is_refused(fan, prepared):
    signature = signature_of(fan.book, "design", fan)
    tampered = signature.replace(b'"role": "design"', b'"role": "quality"')
    give(prepared, **{"q.json": tampered})
    assert "what it says was changed after it was signed" in prepared.trouble.value
    assert fan.book.signatures == ()


def test_a_record_that_went_on_says_so_and_can_be_prepared_again(fan, prepared):
    first = fan.book.prepared.digest
    give(prepared, **{"design.json": signature_of(fan.book, "design", fan)})
    decisions.decide(fan, "ask:", {"text": "One more question?"})
    html = prepared.state.html
    assert "The record went on after D. Hale (chair) put the report before the signers" in html
    assert "asked question" in html
    assert "ask all signers again" in html
    assert prepared.requests.names == []
    assert prepared.button.layout.display is None
    assert not prepared.button.disabled
    prepared.button.click()
    assert fan.book.prepared.digest == first  # the report without its history; the book has the last word
    assert fan.book.signatures == ()


def test_what_blocks_is_not_prepared(lift):
    panel = Signing(lift, quiet)
    assert panel.button.disabled
    assert "what blocks signing stands at the head" in panel.state.html
    panel._clicked(None)
    assert lift.book.prepared is None


def test_roles_are_changed_by_the_form(fan):
    panel = Signing(fan, quiet)
    panel._form("roles", {"roles": "design, chair"})
    assert fan.book.roles == ("design", "chair")
    assert "design, chair" in panel.roles.html
    with pytest.raises(InputError, match="each once"):
        signing.set_roles(fan, {"roles": "design, Design"})


def test_a_folder_that_cannot_be_written_to_is_told_and_the_report_stays_prepared(fan, quick_report):
    signing.files_folder(fan).write_text("a file where a folder should be", encoding="utf-8")
    panel = Signing(fan, quiet)
    panel.button.click()
    assert "a folder that can be written to" in panel.trouble.value
    assert fan.book.prepared is not None
    assert len(panel.requests.names) == 4


def test_a_second_writer_is_not_overwritten(fan, quick_report):
    panel = Signing(fan, quiet)
    other = Kept(fan.workspace, fan.book, Person(name="B. Moss"))
    decisions.decide(other, "ask:", {"text": "Which lot?"})
    panel.button.click()
    assert "B. Moss asked question" in panel.trouble.value
    assert fan.book.prepared is None
    assert len(fan.book.questions) == 1


# history


def test_two_revisions_are_compared(fan):
    panel = History(fan, quiet)
    assert "nothing to compare it with" in panel.revisions.html
    fan.do(adopt_draft, values={"torque": 1400.0}, reason=f"More torque {EVIL}")
    assert "<img" not in panel.revisions.html
    assert '<option value="1" selected>' in panel.revisions.html
    panel._form("compare", {"before": "1", "after": "2"})
    assert "1290 N·m" in words(panel.found.html).replace("\xa0", " ")
    assert "Root stress" in panel.found.html
    panel._form("compare", {"before": "2", "after": "2"})
    assert "They say the same." in panel.found.html
    assert history.revisions_html(fan.book).count("<tr>") == 3


# files


def test_files_are_written_beside_the_workspace_and_offered(fan, tmp_path, monkeypatch):
    def export(workspace, book, folder):
        folder.mkdir()
        (folder / "a.ipynb").write_bytes(b"notebook")
        return release.Exported(paths=(folder / "a.ipynb",))

    monkeypatch.setattr(release, "export", export)
    panel = TakeAway(fan)
    assert panel.inputs.names == ["gear.toml", "pitch.csv"]
    assert panel.inputs._files["gear.toml"]() == (scenarios() / "tunnel_fan" / "gear.toml").read_bytes()
    panel.button.click()
    assert f"Written to {tmp_path / fan.book.record};" in words(panel.done.html)
    sent = []
    monkeypatch.setattr(panel.files, "send", lambda *message, **more: sent.append((message, more)))
    panel.files._handle_custom_msg({"get": "a.ipynb"}, [])
    panel.files._handle_custom_msg({"get": "other"}, [])
    assert sent == [(({"file": "a.ipynb"},), {"buffers": [b"notebook"]})]
    decisions.decide(fan, "ask:", {"text": "Which lot?"})
    assert panel.files.names == []


def test_the_first_article_report_is_offered_in_both_revisions(fan):
    panel = TakeAway(fan)
    assert panel.articles.names == [
        f"TF-118_C_r1_first-article_{end}" for end in ("B.xlsx", "B.csv", "C.xlsx", "C.csv")
    ]
    assert panel.articles._files["TF-118_C_r1_first-article_B.csv"]().startswith(b"\xef\xbb\xbf")
    assert panel.articles._files["TF-118_C_r1_first-article_C.xlsx"]().startswith(b"PK")
    assert "by the revision of AS9102 that the order asks for" in words(panel.of_article.html)


def test_without_an_inspection_plan_no_first_article_report_is_offered(fan, monkeypatch):
    bare = dataclasses.replace(fan.whole(), inspected=None)
    monkeypatch.setattr(fan, "whole", lambda: bare)
    panel = TakeAway(fan)
    assert (panel.articles.names, panel.of_article.html) == ([], "")


def test_trouble_while_writing_is_told_and_the_button_works_again(fan, monkeypatch):
    def fail(*_):
        raise OSError("disk full")

    monkeypatch.setattr(release, "export", fail)
    panel = TakeAway(fan)
    panel.button.click()
    assert "disk full" in panel.trouble.value
    assert not panel.button.disabled


# the whole sheet


@pytest.fixture
def shown(monkeypatch):
    found = []
    monkeypatch.setattr(record_sheet, "display", found.append)
    return found


def show_all(sheet):
    for show in (sheet.head, sheet.decisions, sheet.confirm, sheet.signing, sheet.history, sheet.files):
        show()


def test_the_sheet_of_the_record_in_the_address(opened, monkeypatch, shown):
    file, record = opened("ship_lift")
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(file))
    sheet = sign_off.open_sign_off(f"record={record}")
    show_all(sheet)
    assert len(shown) == 6
    assert len(sheet.blocked) == 5
    assert sheet._page.query == f"record={record}"
    assert sheet._trouble.value == ""


def test_a_fresh_workspace_gets_the_record_of_the_gear_file(tmp_path, monkeypatch, shown):
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "new" / "workspace.sqlite"))
    monkeypatch.delenv("GEARCHECK_FILE", raising=False)
    first = sign_off.open_sign_off("")
    assert first.kept.book.record == "TF-118_C"
    assert sign_off.open_sign_off("").kept.book.last == first.kept.book.last


def test_a_record_that_is_not_there_is_told(tmp_path, monkeypatch, shown):
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(tmp_path / "workspace.sqlite"))
    sheet = sign_off.open_sign_off("record=nothing")
    show_all(sheet)
    assert len(shown) == 1
    assert "record: given nothing" in shown[0].children[0].value
    assert sheet.blocked == sheet.requirements == ()


def test_what_another_sheet_wrote_shows_at_the_next_beat_and_is_taken_in_on_request(
    opened, tmp_path, monkeypatch, shown
):
    file, record = opened("tunnel_fan")
    monkeypatch.setenv("GEARCHECK_WORKSPACE", str(shutil.copy(file, tmp_path / "workspace.sqlite")))
    sheet, other = (sign_off.open_sign_off(f"record={record}&torque=1400") for _ in range(2))
    assert sheet._page.query == f"record={record}&torque=1400"  # the draft of the review, for the way back
    show_all(sheet)
    seen = sheet.kept.book.last
    decisions.decide(other.kept, "ask:", {"text": "Which lot?"})
    sheet._page._handle_custom_msg({"beat": 1}, [])
    assert sheet.kept.book.last == seen
    assert "asked question" in blocked.blocked_html(sheet.kept)
    sheet._act("take")
    assert sheet.kept.book.last == other.kept.book.last
    assert "1 question is open" in blocked.blocked_html(sheet.kept)
