"""The small pieces of the page: query, guard, words, charts."""

import logging
from importlib.metadata import version
from pathlib import Path

import altair as alt
import ipywidgets as widgets
import pandas as pd
import pytest
import vl_convert

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk import charts
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.page import Page, query_string, without_secret
from gearcheck.desk.words import answer, text
from gearcheck.requirements.types import Calculation, Evidence


def test_the_query_comes_without_the_token(monkeypatch):
    monkeypatch.setenv("QUERY_STRING", "token=abc&draft=a%26b&empty=")
    monkeypatch.setenv("VOILA_PREHEAT", "False")
    assert query_string() == "draft=a%26b&empty="
    monkeypatch.delenv("QUERY_STRING")
    assert query_string() == ""
    assert without_secret("token=a&token=b") == ""


def test_a_ready_kernel_waits_until_a_visitor_comes_even_after_a_broken_wait(monkeypatch):
    calls = []

    def wait():
        calls.append(1)
        if len(calls) == 3:
            monkeypatch.setenv("QUERY_STRING", "draft=late")

    monkeypatch.delenv("QUERY_STRING", raising=False)
    monkeypatch.setenv("VOILA_PREHEAT", "True")
    monkeypatch.setattr("voila.utils.wait_for_request", wait)
    monkeypatch.setattr("gearcheck.desk.page._WAIT_S", 0)
    assert query_string() == "draft=late"
    assert len(calls) == 3


def test_a_beat_is_answered(monkeypatch):
    sent = []
    page = Page()
    monkeypatch.setattr(page, "send", sent.append)
    page._handle_custom_msg({"beat": 7}, [])
    page._handle_custom_msg({"other": 7}, [])
    assert sent == [{"beat": 7}]


def test_the_error_of_a_click_becomes_visible(caplog):
    bar, button = Trouble(), widgets.Button()

    def handler(_):
        raise RuntimeError("no <room>")

    button.on_click(guarded(handler, bar.say))
    with caplog.at_level(logging.ERROR, "gearcheck.desk"):
        button.click()
    assert 'role="alert"' in bar.value
    assert "RuntimeError (no &lt;room&gt;)" in bar.value
    assert "Traceback" in caplog.text


def test_faults_of_an_entry_all_show_and_go_when_mended():
    bar, other = Trouble(), []
    wrong = [True]

    def handler():
        if wrong:
            raise InputError([Fault("teeth", "2", "5 or more"), Fault("torque", "", "a text such as 5 N·m")])

    def failing():
        other.append(1)
        raise ValueError

    guarded(failing, bar.say)()
    call = guarded(handler, bar.say)
    call()
    assert "teeth: given 2; needed: 5 or more" in bar.value
    assert "torque: missing" in bar.value
    wrong.clear()
    call()
    assert "teeth" not in bar.value
    assert "ValueError" in bar.value  # the trouble of another handler stays


def test_a_guard_passes_everything_on():
    seen = []

    def handler(*args, **kwargs):
        seen.append((args, kwargs))

    guarded(handler, lambda *_: None)(1, b=2)
    assert seen == [((1,), {"b": 2})]


@pytest.mark.parametrize("word", [*Calculation, *Evidence])
def test_each_answer_is_written_with_its_class(word):
    assert answer(word) == f'<span class="gc-answer {word.value.replace(" ", "-")}">{word.value}</span>'


def test_text_of_a_file_is_never_markup():
    assert text("<img src=x onerror='a' title=\"b\">&") == (
        "&lt;img src=x onerror=&#x27;a&#x27; title=&quot;b&quot;&gt;&amp;"
    )
    assert text(None) == ""


def _chart(factor):
    line = pd.DataFrame({"x": range(4), "y": [factor * x for x in range(4)]})
    limit = pd.DataFrame({"y": [factor]})
    return alt.layer(
        alt.Chart(line).mark_line().encode(x="x:Q", y="y:Q"), alt.Chart(limit).mark_rule().encode(y="y:Q")
    )


def test_only_the_rows_of_a_moved_chart_differ():
    one, other = (charts.SharedChart(_chart(factor)).spec for factor in (1.0, 2.0))
    assert one["datasets"] != other["datasets"]
    assert {**one, "datasets": None} == {**other, "datasets": None}
    assert [layer["data"]["name"] for layer in one["layer"]] == ["rows_0", "rows_1"]


def test_a_renamed_chart_draws_the_same():
    chart = _chart(1.5)
    assert vl_convert.vegalite_to_svg(charts.SharedChart(chart).spec) == vl_convert.vegalite_to_svg(
        chart.to_dict()
    )


def test_a_chart_may_leave_its_place_empty():
    drawn = charts.SharedChart(_chart(1))
    drawn.show(None)
    assert drawn.spec is None


@pytest.fixture
def fresh(monkeypatch, tmp_path):
    made = []

    def bundle(source):
        made.append(source)
        return f"export default {len(made)}; // µ"

    monkeypatch.setattr(charts.vl_convert, "javascript_bundle", bundle)
    monkeypatch.setattr(charts, "cache_folder", lambda: tmp_path / "cache" / "gearcheck")
    charts.vega_bundle.cache_clear()
    yield made
    charts.vega_bundle.cache_clear()


def test_the_bundle_is_made_once_and_kept(fresh, tmp_path):
    first = charts.vega_bundle()
    charts.vega_bundle.cache_clear()
    assert charts.vega_bundle() == first
    assert len(fresh) == 1
    files = list((tmp_path / "cache" / "gearcheck").iterdir())
    assert [file.suffix for file in files] == [".js"]
    assert version("vl-convert-python") in files[0].name


def test_a_home_that_cannot_be_written_is_no_trouble(fresh, tmp_path):
    (tmp_path / "cache").write_text("a file where a folder should be", encoding="utf-8")
    assert charts.vega_bundle().startswith("export default")


def test_a_full_disk_leaves_no_half_file(fresh, tmp_path, monkeypatch):
    def fail(self, target):
        raise OSError("no space left on device")

    monkeypatch.setattr(Path, "replace", fail)
    assert charts.vega_bundle().startswith("export default")
    assert list((tmp_path / "cache" / "gearcheck").iterdir()) == []


def test_a_home_that_nobody_has_is_no_trouble(fresh, monkeypatch):
    def nobody():
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(charts, "cache_folder", nobody)
    assert charts.vega_bundle().startswith("export default")
