"""The contact sheet without a browser: what follows a slider, what is made on request, what is missing."""

import re
from dataclasses import replace

import numpy as np
import pytest

from gearcheck.basics.errors import InputError
from gearcheck.basics.numbers import array
from gearcheck.basics.places import scenarios
from gearcheck.desk.contact import NOTHING_AGREED, OpenContact, RefusedContact
from gearcheck.desk.opening import Opened
from gearcheck.desk.panels import made_contact, relief_advisor
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.load_picture import LoadPicture
from gearcheck.desk.panels.made_contact import MadeContact
from gearcheck.desk.panels.measured_contact import MeasuredContact
from gearcheck.desk.panels.relief_advisor import ReliefAdvisor
from gearcheck.desk.panels.turning_picture import TurningPicture, with_torque
from gearcheck.desk.state import Sheet
from gearcheck.figures.turning import OverTorque
from gearcheck.review.contact_advice import advised
from gearcheck.review.contact_made import made_contact as made
from gearcheck.review.gear_file import read_gear_file

LIFT = scenarios() / "ship_lift" / "gear.toml"
PARTS = ("head", "load", "turning", "measured", "made", "advisor", "margins", "guesses")


@pytest.fixture(scope="module")
def lift():
    return read_gear_file(LIFT)


def words(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html)).replace("\xa0", " ").strip()


def quiet(*_):
    """Nothing is told."""


def viewed(record):
    """A state whose sliders come to rest when told; trades and remedies are no part of this sheet."""
    state = Sheet(record)
    state.rest = quiet
    return state, ContactView(state, lambda: 0, quiet)


def come_to_rest(state):
    state.rested += 1


def test_every_part_of_the_sheet_can_be_shown_before_and_after_the_slower_work(lift):
    for record in (lift, replace(lift, pitch=(), profile=(), helix=())):
        sheet = OpenContact(Opened(record=record, kept=None, file=LIFT))
        for part in PARTS:
            getattr(sheet, part)()
        sheet.state.rest()
        assert not sheet._trouble.value
        assert NOTHING_AGREED in sheet._outcome()  # nothing is agreed of the contact of this record


def test_the_map_follows_a_slider_and_a_new_geometry_waits_until_it_rests(lift):
    state, view = viewed(lift)
    assert (view.now, view.waits) == (None, True)
    come_to_rest(state)
    drawn = view.now.at("largest_pressure_MPa")
    assert not view.waits
    assert view.ghost is None

    state.move("torque", 0.5 * float(lift.meshes[0].torque_Nm))
    assert not view.waits
    assert view.now.at("largest_pressure_MPa") < 0.9 * drawn
    assert view.ghost.at("largest_pressure_MPa") == drawn
    assert view.now.of.bed is view.ghost.of.bed

    state.move("helix", float(lift.helix_angle_deg) + 2)
    assert view.waits
    assert view.now.at("largest_pressure_MPa") == drawn
    come_to_rest(state)
    assert not view.waits
    assert view.now.of.bed is not view.ghost.of.bed


def test_each_mesh_has_its_own_map(lift):
    first = lift.meshes[0]
    two = replace(lift, meshes=(first, replace(first, name="second drum", torque_Nm=first.torque_Nm / 2)))
    sheet = OpenContact(Opened(record=two, kept=None, file=LIFT))
    come_to_rest(sheet.state)
    before = sheet._view.now
    assert 'data-act="mesh:1"' in sheet._others()
    sheet._act("mesh:1")
    assert sheet._view.now.at("largest_pressure_MPa") < before.at("largest_pressure_MPa")
    assert sheet._view.now.of.bed is before.of.bed  # the teeth give way alike


def test_what_is_said_of_the_load_is_what_is_drawn(lift):
    state, view = viewed(lift)
    panel = LoadPicture(view, str, quiet, quiet)
    assert "Being worked out" in panel._said.html
    come_to_rest(state)
    found = view.now
    said = words(panel._said.html)
    assert f"{found.at('largest_pressure_MPa'):.0f} MPa" in said
    assert f"{found.at('largest_pressure_MPa'):.0f} MPa" in panel._map.words
    assert f"the rating counts {float(array(found.chain.factors.face_load_factor)):.2f}" in said
    assert "A tip corner carries up to" in panel._shared.html  # the relief of this record has no start
    assert panel._patterns.spec is not None


def test_the_error_is_told_over_torque(lift):
    state, view = viewed(lift)
    panel = TurningPicture(view, quiet)
    come_to_rest(state)
    assert f"{view.now.at('peak_to_peak_um'):.2f} µm from peak to peak" in words(panel._said.html)
    assert "It grows with the torque all the way" in panel._said.html


def test_an_error_that_rises_and_falls_with_the_torque_is_not_said_to_grow_all_the_way():
    over = OverTorque(
        torque_Nm=np.array([50.0, 100.0, 150.0]),
        peak_to_peak_um=np.array([1.0, 3.0, 2.0]),
        first_order_um=np.array([0.5, 1.5, 1.0]),
        nominal_Nm=100.0,
    )
    said = words(with_torque(over))
    assert "least, 1.00 µm at 50 % of the nominal one, and largest, 3.00 µm at 100 %" in said
    falls = replace(over, peak_to_peak_um=np.array([3.0, 2.0, 1.0]))
    assert "It falls with the torque all the way: 3.00 µm at 50 %" in words(with_torque(falls))


def test_measured_teeth_turn_once_and_without_them_the_sheet_says_what_is_missing(lift):
    state, view = viewed(lift)
    panel = MeasuredContact(view, quiet)
    come_to_rest(state)
    turned = view.now.turned
    said = words(panel._said.html)
    assert f"{float(array(turned.peak_to_peak_um)):.2f} µm" in said
    assert sorted(view.now.order) == list(range(1, 20))
    assert f"tooth {view.now.order[int(turned.pressure_pinion_tooth) - 1]}." in said
    assert f"z {float(array(turned.spectrum_um)[18]):.2f} µm" in panel._spectrum.words  # 19 teeth

    state, view = viewed(replace(lift, pitch=(), profile=(), helix=()))
    panel = MeasuredContact(view, quiet)
    come_to_rest(state)
    assert "No teeth to put in" in panel._said.html
    assert panel._turn.spec is None


def test_gears_are_made_on_request_and_age_with_the_draft(lift, monkeypatch):
    def few(record, chain, place):
        return made(record, chain, place, gears=8)

    monkeypatch.setattr(made_contact, "made_contact", few)
    state, view = viewed(lift)
    panel = MadeContact(state, view, quiet, lambda: 0.0)
    come_to_rest(state)
    assert all(chart.spec is None for chart in panel._charts)
    panel.running.start()
    said = words(panel._said.html)
    assert "Of 8 gears half have" in said
    assert "8 gears" in panel._charts[0].words
    assert "of another draft" not in said
    state.move("torque", 0.8 * float(lift.meshes[0].torque_Nm))
    assert "of another draft" in words(panel._said.html)

    bare = replace(lift, gear=replace(lift.gear, accuracy=None))
    mates = tuple(replace(mesh, mate=replace(mesh.mate, accuracy=None)) for mesh in bare.meshes)
    state, view = viewed(replace(bare, meshes=mates))
    panel = MadeContact(state, view, quiet, lambda: 0.0)
    come_to_rest(state)
    assert "neither gear has an accuracy class drawn" in panel._said.html


def test_a_point_of_the_front_says_what_it_trades_and_can_be_tried(lift, monkeypatch):
    def short(*given):
        found = advised(*given)
        yield next(found)
        yield next(found)

    monkeypatch.setattr(relief_advisor, "advised", short)
    state, view = viewed(lift)
    panel = ReliefAdvisor(state, view, quiet, lambda: 0.0)
    come_to_rest(state)
    panel.running.start()
    front = array(panel._found.peak_to_peak_um).size
    assert panel._slider.max == front > 1
    panel._slider.value = 1
    said = words(panel._point.html)
    assert f"Point 1 of {front}" in said
    assert "One point further" in said
    panel._chart.picked = {"pick": {"place": [front - 1]}}
    assert panel._slider.value == front
    panel._act("try")
    assert state.draft["relief"] == pytest.approx(
        float(panel._found.pinion_tip_relief_um[front - 1]), abs=0.6
    )
    assert "It is on the sheet now" in panel._point.html
    state.move("torque", 0.8 * float(lift.meshes[0].torque_Nm))
    panel._slider.value = 1
    assert "This was looked for on another draft" in panel._point.html


def test_a_relief_that_leaves_no_tooth_is_the_reason_why_nothing_is_shown(lift):
    state, view = viewed(replace(lift, gear=replace(lift.gear, tip_relief_um=9000.0)))
    panels = [
        LoadPicture(view, str, quiet, quiet),
        MadeContact(state, view, quiet, lambda: 0.0),
        ReliefAdvisor(state, view, quiet, lambda: 0.0),
    ]
    turning = TurningPicture(view, quiet)
    come_to_rest(state)
    assert all("gear.finish.tip_relief" in panel._said.html for panel in panels)
    assert "no transmission error to show" in turning._said.html
    assert panels[0]._map.spec is None


def test_without_a_record_the_sheet_shows_what_has_to_be_mended():
    sheet = RefusedContact(InputError([]))
    for part in PARTS:
        getattr(sheet, part)()
