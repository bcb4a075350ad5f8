import json
import os
import subprocess
import sys
import tomllib

import pytest

from gearcheck import cli
from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.places import scenarios
from gearcheck.record.place import workspace_path
from gearcheck.report.cautions import CAUTIONS
from gearcheck.review import whole
from gearcheck.review.gear_file import read_gear_file

DEMOS = sorted(file.parent.name for file in scenarios().glob("*/gear.toml"))


def demo(name):
    return str(scenarios() / name / "gear.toml")


def expected(name):
    return tomllib.loads((scenarios() / name / "expected.toml").read_text(encoding="utf-8"))


def strictly(text):
    def refuse(constant):
        raise ValueError(constant)

    return json.loads(text, parse_constant=refuse)


@pytest.mark.parametrize("name", DEMOS)
def test_check_exits_and_speaks_as_the_story_says(name, capsys):
    assert cli.main(["check", demo(name)]) == expected(name)["exit"]
    out, err = capsys.readouterr()
    assert whole.outcome(whole.review(read_gear_file(demo(name)))) in out
    assert not err


@pytest.mark.parametrize("name", DEMOS)
def test_check_as_json_is_strict_and_complete(name, capsys):
    assert cli.main(["check", demo(name), "--json"]) == expected(name)["exit"]
    printed = strictly(capsys.readouterr().out)
    fails = [item["key"] for item in printed["requirements"] if item["by_calculation"] == "fails"]
    contradicted = [item["key"] for item in printed["requirements"] if item["by_evidence"] == "contradicted"]
    assert sorted(fails) == sorted(expected(name)["fails"])
    assert sorted(contradicted) == sorted(expected(name)["contradicted"])
    assert printed["outcome"] == whole.outcome(whole.review(read_gear_file(demo(name))))


def test_all_faults_are_said_each_on_its_line(tmp_path, capsys):
    text = (scenarios() / "tunnel_fan" / "gear.toml").read_text(encoding="utf-8")
    file = tmp_path / "gear.toml"
    file.write_text(text.replace("teeth = 23", "teeth = 2").replace('"58 mm"', "58"), encoding="utf-8")
    for command in ("check", "export", "open"):
        assert cli.main([command, str(file)]) == cli.BAD_INPUT
        out, err = capsys.readouterr()
        assert not out
        assert any(line.startswith("gear.teeth") and "line" in line for line in err.splitlines())
        assert any(line.startswith("gear.face_width") for line in err.splitlines())


@pytest.mark.parametrize("arguments", [[], ["nonsense"], ["check"], ["open", "--port", "many"]])
def test_a_wrong_command_line_is_bad_input(arguments, capsys):
    with pytest.raises(SystemExit) as end:
        cli.main(arguments)
    assert end.value.code == cli.BAD_INPUT
    assert "usage" in capsys.readouterr().err


def test_a_missing_file_is_bad_input(tmp_path, capsys):
    assert cli.main(["check", str(tmp_path / "none.toml")]) == cli.BAD_INPUT
    assert "none.toml" in capsys.readouterr().err


def test_help_says_the_cautions_and_the_exit_codes(capsys):
    with pytest.raises(SystemExit) as end:
        cli.main(["--help"])
    out = capsys.readouterr().out
    assert end.value.code == 0
    assert all(sentence in out for sentence in (*CAUTIONS, "exit codes"))


def test_version_is_the_one_installed(capsys):
    with pytest.raises(SystemExit):
        cli.main(["--version"])
    assert capsys.readouterr().out == f"gearcheck {whole._versions()['gearcheck']}\n"


def test_new_writes_a_gear_file_that_can_be_reviewed_and_never_over_another(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    assert cli.main(["new"]) == 0
    assert capsys.readouterr().out == "gear.toml\n"
    assert cli.main(["check", "gear.toml"]) in (0, 1)
    before = (tmp_path / "gear.toml").read_bytes()
    assert cli.main(["new", "gear.toml"]) == cli.BAD_INPUT
    assert (tmp_path / "gear.toml").read_bytes() == before
    assert cli.main(["new", "nowhere/gear.toml"]) == cli.BAD_INPUT


def test_sources_lists_documents_with_their_status(capsys):
    assert cli.main(["sources"]) == 0
    out = capsys.readouterr().out
    assert "ISO 6336-2:2019 (from memory)" in out
    assert "rows: " in out


def test_export_prints_the_paths(tmp_path, monkeypatch, capsys):
    from gearcheck.report import notebook

    monkeypatch.setattr(notebook, "notebook_report", lambda _: "notebook")
    ends = ("ipynb", "html", "pdf")
    monkeypatch.setattr(notebook, "prints", lambda data, stem: {f"{stem}.{end}": data for end in ends})
    assert cli.main(["export", demo("tunnel_fan"), "--to", str(tmp_path)]) == 0
    assert capsys.readouterr().out.splitlines() == [
        str(tmp_path / "TF-118_C.ipynb"),
        str(tmp_path / "TF-118_C.html"),
        str(tmp_path / "TF-118_C.pdf"),
    ]


def test_open_starts_the_desk_on_the_demo_with_its_outcome(monkeypatch, capsys):
    from gearcheck.desk import server

    served = []
    monkeypatch.setattr(server, "serve", lambda *given, **named: served.append((given, named)))
    assert cli.main(["open", "--no-browser", "--port", "8765"]) == 0
    (((file,), named),) = served
    assert str(file) == demo("tunnel_fan")
    words = whole.outcome(whole.review(read_gear_file(file)))
    first = f"TF-118, drawing revision C: {words}"  # a page of another record must not take them for its own
    told = {"port": 8765, "open_browser": False, "first_words": first}
    assert named == {**told, "workspace": workspace_path()}
    out = capsys.readouterr().out
    assert words in out
    assert str(workspace_path()) in out


def test_an_internal_error_says_what_to_report(monkeypatch, capsys):
    def broken(*_, **__):
        raise ZeroDivisionError("no teeth")

    monkeypatch.setattr(whole, "review", broken)
    monkeypatch.delenv("GEARCHECK_DEBUG", raising=False)
    assert cli.main(["check", demo("tunnel_fan")]) == cli.INTERNAL_ERROR
    err = capsys.readouterr().err
    assert "ZeroDivisionError: no teeth (test_cli.py, line" in err
    assert "Traceback" not in err
    monkeypatch.setenv("GEARCHECK_DEBUG", "1")
    assert cli.main(["check", demo("tunnel_fan")]) == cli.INTERNAL_ERROR
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("error", "code"),
    [(KeyboardInterrupt(), cli.INTERRUPTED), (InputError([Fault("x", "1", "2")]), cli.BAD_INPUT)],
)
def test_what_ends_a_command_has_its_own_code(error, code, monkeypatch):
    def ended(*_, **__):
        raise error

    monkeypatch.setattr(whole, "review", ended)
    assert cli.main(["check", demo("tunnel_fan")]) == code


def run(*arguments, **environment):
    return subprocess.run(
        [sys.executable, "-m", "gearcheck", *arguments],
        capture_output=True,
        env={**os.environ, **environment},
        check=False,
    )


def test_a_console_without_the_letters_loses_letters_only():
    done = run("check", demo("tunnel_fan"), PYTHONIOENCODING="cp437", PYTHONUTF8="0")
    assert done.returncode == expected("tunnel_fan")["exit"]
    assert b"TF-118" in done.stdout
    assert not done.stderr


def test_json_is_utf8_on_every_console():
    done = run("check", demo("tunnel_fan"), "--json", PYTHONIOENCODING="cp437", PYTHONUTF8="0")
    assert "σ_H" in done.stdout.decode("utf-8")
    strictly(done.stdout.decode("utf-8"))


@pytest.mark.skipif(os.name == "nt", reason="Windows has no broken pipes of this kind")
def test_nobody_reading_is_no_error():
    with subprocess.Popen(
        [sys.executable, "-m", "gearcheck", "sources"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        process.stdout.close()
        said = process.stderr.read()
    assert process.returncode == cli.NOBODY_READS
    assert said == b""
