import json
import re
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from gearcheck import cli
from gearcheck.basics.places import scenarios
from gearcheck.record.decisions import ask
from gearcheck.record.events import Person
from gearcheck.record.requests import FORMAT
from gearcheck.record.sealed import with_signatures
from gearcheck.record.signatures import read_signature
from gearcheck.record.steps import open_record
from gearcheck.record.workspace import Workspace
from gearcheck.review.gear_file import read_gear_file
from tests.record import signed as demo

SECRET = "pine needles, wet"
HALE = Person(name="D. Hale", role="chair")


class Typed:
    """An input at which nobody sits."""

    def __init__(self, text):
        self.text = text

    def isatty(self):
        return False

    def readline(self):
        return self.text + "\n"


@pytest.fixture
def typed(monkeypatch):
    return lambda text: monkeypatch.setattr(sys, "stdin", Typed(text))


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def run(capsys):
    def ran(*arguments):
        code = cli.main([str(item) for item in arguments])
        out, err = capsys.readouterr()
        return code, out, err

    return ran


@pytest.fixture
def workspace(tmp_path):
    place = Workspace(tmp_path / "gears.sqlite", now=lambda: demo.AT)
    book = open_record(place, read_gear_file(scenarios() / "ship_lift" / "gear.toml"), by=HALE)
    ask(place, book, by=HALE, about="", text="Which lot?")
    return place


def test_records_are_listed_with_their_last_change(workspace, run):
    code, out, _ = run("records", "--workspace", workspace.path)
    (head,) = workspace.records()
    assert code == 0
    assert str(workspace.path) in out
    line = next(line for line in out.splitlines() if line.startswith(head.record))
    for words in (head.part_number, "1 revision", "not signed", "D. Hale (chair)", "on 2 March 2026"):
        assert words in line


def test_no_workspace_is_made_by_looking(here, run):
    code, out, _ = run("records", "--workspace", here / "none.sqlite")
    assert (code, "no file yet" in out, list(here.iterdir())) == (0, True, [])
    assert run("export", "TF-118_C", "--workspace", here / "none.sqlite")[0] == cli.BAD_INPUT


def test_the_input_of_a_record_is_the_gear_file_with_its_evidence(workspace, here, run):
    (head,) = workspace.records()
    code, out, _ = run("export", head.record, "--input", "--to", here / "in", "--workspace", workspace.path)
    assert code == 0
    files = [Path(line) for line in out.splitlines()]
    assert len(files) > 1
    read = read_gear_file(here / "in" / "gear.toml")
    assert read.digest == workspace.book(head.record).revision.digest
    files[0].write_bytes(b"other")
    code, _, err = run("export", head.record, "--input", "--to", here / "in", "--workspace", workspace.path)
    assert (code, files[0].read_bytes()) == (cli.BAD_INPUT, b"other")
    assert "nothing is overwritten" in err


def test_an_unknown_record_and_the_input_of_a_gear_file_are_bad_input(workspace, run):
    assert run("export", "none", "--workspace", workspace.path)[0] == cli.BAD_INPUT
    assert run("export", scenarios() / "tunnel_fan" / "gear.toml", "--input")[0] == cli.BAD_INPUT


@pytest.fixture
def key(here, run, typed):
    typed(SECRET)
    code, out, err = run("key", "new", "fern.key", "--name", "A. Fern")
    assert (code, err) == (0, "")
    assert "ingerprint" in out
    assert SECRET not in out
    return here / "fern.key"


@pytest.fixture
def request_file(here):
    asked = {**vars(demo.request(demo.unsigned(), "design")), "format": FORMAT}
    (here / "request.json").write_text(json.dumps(asked), encoding="utf-8")
    (here / "report.ipynb").write_bytes(demo.data(demo.unsigned()))
    return here / "request.json"


def test_signing_says_what_is_signed_and_the_signature_holds(key, request_file, run, typed, here):
    typed(SECRET)
    code, out, err = run("sign", request_file, "--key", key, "--report", here / "report.ipynb")
    assert (code, err) == (0, "")
    for words in (
        "Part TF-118",
        "drawing revision C",
        "revision 1 of the record",
        "requirements fail",
        "Concession: none",
        "in the role: design",
        "this machine's clock",
    ):
        assert words in out
    assert re.search(r"Values not confirmed: [1-9]\d+\b", out)
    file = Path(out.splitlines()[-1])
    made = read_signature(file.read_bytes())
    assert (made["name"], made["role"]) == ("A. Fern", "design")
    notebook = with_signatures(demo.unsigned(), [made])
    (here / "signed.ipynb").write_bytes(demo.data(notebook))
    code, out, _ = run("verify", "signed.ipynb", "--signers", "fern.key.signer.toml", "--json")
    told = json.loads(out)
    assert (code, told["exit_code"], told["altered"]["ok"], told["numbers"]["ok"]) == (4, 4, True, False)
    assert "It has 4 cells where a report of what it carries has" in told["numbers"]["words"][0]
    assert "with a key that is known" in told["signed"]["words"][0]
    typed(SECRET)
    assert run("sign", request_file, "--key", key)[0] == cli.BAD_INPUT
    assert read_signature(file.read_bytes()) == made


@pytest.mark.parametrize("change", ["digest", "outcome", "part_number", "stage", "title"])
def test_a_request_for_another_report_is_not_signed(change, key, request_file, run, typed, here):
    asked = json.loads(request_file.read_text(encoding="utf-8"))
    other = {"digest": "00" * 32, "stage": "release"}.get(change, "another")
    request_file.write_text(json.dumps({**asked, change: other}), encoding="utf-8")
    typed(SECRET)
    code, _, err = run("sign", request_file, "--key", key, "--report", here / "report.ipynb")
    assert code == cli.BAD_INPUT
    assert "another report" in err
    assert not list(here.glob("*.signature.json"))


def test_a_wrong_passphrase_signs_nothing_and_is_not_repeated(key, request_file, run, typed, here):
    for wrong in ("", "not the passphrase"):
        typed(wrong)
        code, out, err = run("sign", request_file, "--key", key)
        assert code == cli.BAD_INPUT
        assert "passphrase" in err
        assert "not the passphrase" not in out + err
    assert not list(here.glob("*.signature.json"))


def test_a_key_without_a_name_beside_it_asks_for_one(key, request_file, run, typed):
    key.with_name("fern.key.signer.toml").unlink()
    typed(SECRET)
    code, _, err = run("sign", request_file, "--key", key)
    assert (code, "--name" in err) == (cli.BAD_INPUT, True)
    typed(SECRET)
    assert run("sign", request_file, "--key", key, "--name", "A. Fern")[0] == 0


def test_a_passphrase_is_asked_twice_where_someone_types(here, run, monkeypatch):
    import getpass

    told = iter([SECRET, "another", SECRET, SECRET])
    typed = Typed("")
    typed.isatty = lambda: True
    monkeypatch.setattr(sys, "stdin", typed)
    monkeypatch.setattr(getpass, "getpass", lambda prompt: next(told))
    assert run("key", "new", "fern.key", "--name", "A. Fern")[0] == cli.BAD_INPUT
    assert not list(here.iterdir())
    assert run("key", "new", "fern.key", "--name", "A. Fern")[0] == 0


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has other rights")
def test_only_the_owner_may_read_the_key(key):
    assert stat.S_IMODE(key.stat().st_mode) == 0o600


def test_verify_says_three_things_apart(here, run):
    (here / "signed.ipynb").write_bytes(demo.data(demo.real()))
    code, out, _ = run("verify", "signed.ipynb")
    assert code == 4
    for words in (
        "Not altered: yes",
        "known: no",
        "same numbers with this version: yes",
        "No list of signers",
    ):
        assert words in out
    assert "compare this fingerprint" in out


def test_verify_says_what_it_cannot_read(here, run):
    (here / "other.ipynb").write_text("{}", encoding="utf-8")
    assert run("verify", "other.ipynb")[0] == cli.BAD_INPUT
    assert run("verify", "none.ipynb")[0] == cli.BAD_INPUT
    (here / "list.toml").write_text("x = 1", encoding="utf-8")
    (here / "signed.ipynb").write_bytes(demo.data(demo.signed()))
    assert run("verify", "signed.ipynb", "--signers", "list.toml")[0] == cli.BAD_INPUT


def test_help_loads_nothing_heavy():
    script = (
        "import sys\nfrom gearcheck import cli\n"
        "try:\n    cli.main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'sqlalchemy', 'cryptography', 'pydantic', 'altair', 'tomlkit', 'voila', 'typst'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "exit codes of verify" in done.stdout
