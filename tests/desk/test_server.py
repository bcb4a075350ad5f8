"""The server's settings and surroundings, without starting it."""

import os
import socket
from pathlib import Path

import pytest

from gearcheck.basics.errors import InputError
from gearcheck.desk import server


@pytest.fixture
def settings(tmp_path):
    return server.configuration(tmp_path, port=4000, token="secret", first_words="All meet.")


def test_only_this_machine_with_a_token(settings):
    assert settings.Voila.ip == "127.0.0.1"
    assert settings.Voila.token == "secret"
    assert settings.VoilaConfiguration.file_allowlist == []
    assert settings.VoilaConfiguration.allow_template_override == "NO"
    assert settings.VoilaConfiguration.resources == {"gearcheck": {"first_words": "All meet."}}


def test_only_the_review_sheet_is_made_ready(tmp_path):
    assert not server.configuration(
        tmp_path, port=1, token="t", first_words=""
    ).VoilaConfiguration.preheat_kernel
    (tmp_path / "review.ipynb").write_text("{}", encoding="utf-8")
    settings = server.configuration(tmp_path, port=1, token="t", first_words="")
    assert settings.VoilaConfiguration.preheat_kernel
    pools = settings.VoilaKernelManager.kernel_pools_config
    assert {name: pool["pool_size"] for name, pool in pools.items()} == {"default": 0, "review.ipynb": 1}


@pytest.mark.parametrize(("value", "shown"), [("", False), ("1", True)])
def test_tracebacks_only_when_asked_for(tmp_path, monkeypatch, value, shown):
    monkeypatch.setenv("GEARCHECK_DEBUG", value)
    settings = server.configuration(tmp_path, port=1, token="t", first_words="")
    assert settings.VoilaConfiguration.show_tracebacks is shown


def test_kernels_find_the_file_the_template_and_nothing_of_the_user(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("JUPYTER_PATH", "more")
    values = server.environment(Path("gear.toml"), tmp_path / "own", Path("kept.sqlite"))
    assert Path(values["GEARCHECK_WORKSPACE"]) == tmp_path / "kept.sqlite"
    assert Path(values["GEARCHECK_FILE"]) == (tmp_path / "gear.toml").resolve()
    first, second = values["JUPYTER_PATH"].split(os.pathsep)
    assert (Path(first) / "voila" / "templates" / "gearcheck" / "index.html.j2").is_file()
    assert Path(second) == tmp_path / "more"  # a kernel runs in another folder
    assert values["JUPYTER_NO_CONFIG"] == "1"
    assert Path(values["IPYTHONDIR"]).parent == tmp_path / "own"
    assert "127.0.0.1" in values["NO_PROXY"]


def test_the_kernel_runs_this_python():
    import sys

    argv = server.ThisPython().get_kernel_spec("python3").argv
    assert Path(argv[0]) == Path(sys.executable)
    assert set(server.ThisPython().find_kernel_specs()) == {"python3"}


def test_a_free_port_is_picked_and_a_taken_one_refused():
    assert 1024 <= server.free_port() <= 65535
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with pytest.raises(InputError, match=rf"--port: given {port}; needed: a free port"):
            server.free_port(port)
    assert server.free_port(port) == port
    with pytest.raises(InputError, match="70000"):
        server.free_port(70000)
