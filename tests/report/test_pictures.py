import re

import pandas as pd
import pytest

from gearcheck.basics.places import scenarios
from gearcheck.figures.drawing import Drawing, layout, rows
from gearcheck.report.html import _shown
from gearcheck.report.pictures import Picture, pictures, svg_text
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations import NAMES
from gearcheck.review.whole import review
from tests.report.markup import Markup


@pytest.fixture(scope="module")
def fan():
    return review(read_gear_file(scenarios() / "tunnel_fan" / "gear.toml"))


@pytest.fixture(scope="module")
def tram():
    return review(read_gear_file(scenarios() / "tram_bogie" / "gear.toml"))


@pytest.fixture(scope="module")
def harvester():
    return review(read_gear_file(scenarios() / "harvester" / "gear.toml"))


def clipped():
    chart = rows("line").mark_line(clip=True).encode(x="x:Q", y="y:Q")
    line = pd.DataFrame({"x": [0, 1, 2], "y": [0, 1, 4]})
    return Drawing(layout=layout(chart, height=100), rows={"line": line}, words="A line")


def test_names_inside_a_drawing_are_its_own():
    drawings = [svg_text(clipped(), title="A line", key=key) for key in ("one", "two")]
    names = [set(re.findall(r'\bid="([^"]+)"', drawing)) for drawing in drawings]
    used = [set(re.findall(r"url\(#([^)]+)\)", drawing)) for drawing in drawings]
    assert names == used
    assert names[0]
    assert not names[0] & names[1]


def test_a_drawing_is_the_same_every_time():
    assert svg_text(clipped(), title="A line", key="one") == svg_text(clipped(), title="A line", key="one")


def test_title_and_words_are_only_text():
    hostile = '"><script>alert(1)</script>'
    drawn = svg_text(clipped(), title=hostile, key="one")
    picture = Picture(title=hostile, words=hostile, svg=drawn)
    markup = Markup(_shown("image/svg+xml", picture.bundle["text/plain"], picture.svg))
    markup.check_harmless()
    assert hostile in markup.text
    assert ("aria-label", f"{hostile}. {hostile}.") in markup.attributes


@pytest.mark.parametrize("station", [name for name in NAMES if name != "inspection"])
def test_each_station_is_drawn(fan, tram, harvester, station):
    shown = {"contact": tram, "fatigue": harvester}.get(station, fan)
    drawn = pictures(shown, station)
    assert drawn
    for picture in drawn:
        Markup(picture.svg).check_harmless()
        assert picture.title in Markup(picture.svg).text
        assert len(picture.title) > 20 < len(picture.words)
        assert "NaN" not in picture.svg


def test_without_ratings_there_is_no_chart_of_stress(fan):
    bare = read_gear_file(scenarios() / "tunnel_fan" / "gear.toml")
    bare = review(type(bare)(**{**vars(bare), "methods": None, "lubricant": None}))
    assert not pictures(bare, "stress")
    assert pictures(bare, "geometry")
