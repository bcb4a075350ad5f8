"""Where names are written: clear of lines, rules and one another."""

import numpy as np

from gearcheck.figures.placing import Line, placed


def test_names_stand_apart_and_clear_of_the_other_line():
    across = np.linspace(0, 1, 50)
    upper = Line(label="the upper of both lines", across=across, level_px=100 + 60 * across)
    lower = Line(label="the lower of both lines", across=across, level_px=120 + 60 * across)
    first, second = placed([upper, lower], [])
    assert not first.below
    assert second.below


def test_a_name_stands_beside_a_rule_where_there_is_room():
    flat = Line(label="short", across=np.array([0.0, 1.0]), level_px=np.array([50.0, 50.0]))
    (place,) = placed([flat], [0.06, 0.1])
    left = place.at if not place.below else place.at - 5 * 7.6 / 520
    assert not any(left < rule < left + 5 * 7.6 / 520 for rule in (0.06, 0.1))


def test_two_lines_on_one_another_have_their_names_on_either_side_or_apart():
    flat = [
        Line(label=name, across=np.array([0.0, 1.0]), level_px=np.array([50.0, 50.0]))
        for name in ("one name", "two names", "three names")
    ]
    places = placed(flat, [])
    assert len({(place.at, place.below) for place in places}) == 3
