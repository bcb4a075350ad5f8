"""How long a person waits at the page: printed, not asserted, since a busy machine must not fail a build.

By hand: ``python -m pytest tests/browser/test_times.py -m slow``; the table stands in tests/bench/results.md.
"""

from __future__ import annotations

import statistics
import time

import pytest

from gearcheck.basics.places import scenarios

pytestmark = pytest.mark.slow
MOVES = 18  # two presses each, inside the reach of the slider

LOOK = """([selector, words]) => {
  const seen = [...document.querySelectorAll(selector)].find((e) => e.textContent.includes(words));
  window.timed = {seen: () => [...document.querySelectorAll(selector)]
    .find((e) => e.textContent.includes(words))?.innerHTML, before: seen.innerHTML, begun: performance.now()};
}"""
CHANGED = "timed.seen() !== timed.before ? performance.now() - timed.begun : false"
SEEN = {"ladder": (".gc-ladder", "Torque reserve"), "chart": (".gc-chart-now svg", "contact stress")}


@pytest.fixture
def desk(desk_for):
    found = desk_for(scenarios() / "ship_lift" / "gear.toml")
    time.sleep(12)  # the kernel that waits for the first visitor has come up
    return found


def test_what_a_person_waits_for(desk, visit, capsys):
    start = time.monotonic()
    page = visit(desk.sheet("review.ipynb"), wait=".gc-outcome")
    first_words = time.monotonic() - start
    slider = page.locator(".widget-slider", has_text="Torque").get_by_role("slider")
    slider.wait_for()
    first_control = time.monotonic() - start
    slider.focus()
    page.wait_for_timeout(3000)
    times = {name: [] for name in SEEN}
    for _ in range(MOVES):
        for name, where in SEEN.items():
            page.evaluate(LOOK, list(where))
            slider.press("ArrowRight")
            times[name].append(page.wait_for_function(CHANGED, polling="raf").json_value())
            page.wait_for_timeout(250)
    with capsys.disabled():
        print(f"\nfirst sentence {first_words:.2f} s, first control {first_control:.2f} s")
        for name, found in times.items():
            median, p95 = statistics.median(found), statistics.quantiles(found, n=20)[-1]
            print(f"slider to redrawn {name}: median {median:.0f} ms, p95 {p95:.0f} ms of {len(found)}")
