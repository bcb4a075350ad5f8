"""Routes, needs and limits drawn at random."""

from dataclasses import replace

from hypothesis import strategies as st

from gearcheck.basics.places import scenarios
from gearcheck.inspection.decide import Limit
from gearcheck.inspection.route import PROPERTIES, Operation, Route, RouteName, route
from gearcheck.inspection.rules import rules
from gearcheck.review.gear_file import read_gear_file
from gearcheck.review.stations.inspection import is_of_plan
from gearcheck.review.whole import review

NAMED = [RouteName.INDUSTRIAL, RouteName.AEROSPACE]
_READ = read_gear_file(scenarios() / "ship_lift" / "gear.toml")
# where the loaded contact is agreed too, so that every characteristic has its need
_AGREED = replace(_READ.required, transmission_error_um=3.0, pattern_margin_mm=2.0)
LIFT = review(replace(_READ, required=_AGREED), with_settled=False)
NEEDS = tuple(
    item.key for item in LIFT.requirements if not is_of_plan(item.key) and item.key != "inspection.drawing"
)
ALL_NEEDS = (*NEEDS, "process.peening", "fatigue.root.wheel", "stress.root.planet.gear", "something.else")
KEYS = tuple(rule.key for rule in rules())
LIMITS = {key: Limit(least=1.0, words="given") for key in KEYS}
NEED_SETS = st.lists(st.sampled_from(ALL_NEEDS), unique=True).map(tuple)
LIMITED = st.lists(st.sampled_from(KEYS), unique=True).map(lambda keys: {key: LIMITS[key] for key in keys})

HEATS = st.sampled_from([None, 150.0, 177.0, 180.0, 191.0])
NEW = st.builds(
    Operation,
    key=st.sampled_from(["wash", "hone", "polish", "straighten"]),
    number=st.just(0),
    title=st.just("Put in"),
    changes=st.lists(st.sampled_from(PROPERTIES), max_size=2, unique=True).map(tuple),
    spoils=st.lists(st.sampled_from(PROPERTIES), max_size=2, unique=True).map(tuple),
    temperature_C=HEATS,
)


def numbered(steps):
    """A route of one's own of operations in this order."""
    found = tuple(replace(step, number=10 * place) for place, step in enumerate(steps, start=1))
    return Route(name=RouteName.OWN, title="", note="", operations=found)


@st.composite
def kept(draw):
    """The operations of a named route, some left out, others put in."""
    steps = [step for step in route(draw(st.sampled_from(NAMED))).operations if draw(st.integers(0, 4))]
    for new in draw(st.lists(NEW, max_size=3, unique_by=lambda step: step.key)):
        steps.insert(draw(st.integers(0, len(steps))), new)
    return steps


@st.composite
def shuffled(draw):
    """The same in any order, at other temperatures, with a superfinish now and then."""
    steps = draw(kept().flatmap(st.permutations))
    if draw(st.booleans()):
        finish = Operation(key="superfinish", number=0, title="Superfinish", changes=("surface",))
        steps.insert(draw(st.integers(0, len(steps))), finish)
    heated = ("temper", "bake")
    return [replace(step, temperature_C=draw(HEATS)) if step.key in heated else step for step in steps]
