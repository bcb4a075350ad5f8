"""One set of tones for page and charts, readable on the paper."""

import re
from pathlib import Path

import altair as alt
import pandas as pd
import pytest
import vl_convert

import gearcheck
from gearcheck.figures import tones
from gearcheck.figures.theme import FONT, TEXT_PX, theme, use_theme

TEMPLATE = Path(gearcheck.__file__).parent / "_jupyter" / "voila" / "templates" / "gearcheck"
SHEET = (TEMPLATE / "static" / "gearcheck.css").read_text(encoding="utf-8")
DRAWN = ("DEMAND", "CAPACITY", "LIMIT", "MEASURED", "GHOST")


def declared(name):
    return re.search(rf"--gc-{name}:\s*([^;]+);", SHEET)[1].strip()


def contrast(one, other):
    """WCAG 2.2 contrast ratio of two tones."""

    def luminance(tone):
        parts = [int(tone[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_of_contrast_is_right():
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)


def test_the_stylesheet_repeats_the_tones():
    named = {name: getattr(tones, name.upper()) for name in ("paper", "ink", "quiet", "rule", "accent")}
    named |= tones.WORDS | {name.lower(): getattr(tones, name) for name in DRAWN}
    assert {name: declared(name) for name in named} == named


def test_chart_and_page_share_their_type():
    assert declared("sans").replace('"', "'") == FONT
    assert TEXT_PX >= 14
    assert float(re.match(r"clamp\((\d+)px", declared("size"))[1]) >= 18


@pytest.mark.parametrize("name", [*tones.WORDS, "INK", "QUIET", "ACCENT"])
def test_words_stand_out_seven_to_one(name):
    tone = tones.WORDS.get(name) or getattr(tones, name)
    assert contrast(tone, tones.PAPER) >= 7
    assert contrast(tone, "#ffffff") >= 7


@pytest.mark.parametrize("name", DRAWN)
def test_what_is_drawn_stands_out_three_to_one(name):
    assert contrast(getattr(tones, name), tones.PAPER) >= 3


def test_every_answer_has_a_mark_of_its_own():
    marks = dict(re.findall(r'\.gc-answer\.([\w-]+)::before \{ content: "([^"]+)"', SHEET))
    assert set(marks) == set(tones.WORDS) - {"caution"}
    assert len(set(marks.values())) == len(marks)


def test_the_stylesheet_asks_for_nothing():
    assert "url(" not in SHEET
    assert "@import" not in SHEET


def test_no_text_of_the_theme_is_small():
    def sizes(part):
        for key, value in part.items():
            if isinstance(value, dict):
                yield from sizes(value)
            elif key.lower().endswith("fontsize"):
                yield value

    assert min(sizes(theme())) >= 14


def test_a_chart_under_the_theme_is_drawn_with_it():
    use_theme()
    rows = pd.DataFrame({"x": [0, 1], "y": [0, 1]})
    drawing = vl_convert.vegalite_to_svg(alt.Chart(rows).mark_line().encode(x="x:Q", y="y:Q").to_dict())
    assert tones.DEMAND in drawing
    assert 'font-size="14px"' in drawing
