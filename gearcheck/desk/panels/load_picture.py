"""Where the load sits: the pressure over the flank at the nominal torque, and the pattern at several."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import ipywidgets as widgets

from gearcheck.basics.numbers import array
from gearcheck.desk.charts import SharedChart
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_later import NOMINAL, OfMesh, shared_pressure_MPa
from gearcheck.desk.panels.contact_view import ContactView
from gearcheck.desk.panels.numbers import notices, value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.figures.contact_map import flank_pressure, patterns_drawing, pressure_map_drawing
from gearcheck.review.contact import END_SHARE, TORQUE_FACTORS

WAITS = '<p class="gc-settling">Being worked out</p>'
_SHARED = (
    "Small maps: the flank at shares of the nominal torque, drawn where anything presses; below each, how "
    "much of the face carries."
)
_CORNER = 0.1  # in % of the load: more than that is told


class LoadPicture:
    """The pressure map of the mesh that is shown.

    Parameters
    ----------
    view : ContactView
        What is known of it.
    others : callable
        Gives the buttons of the other meshes.
    say : Say
        Where trouble is told.
    act : callable
        Called with what was clicked.
    """

    MARGIN = (
        "Each place of the flank carries the largest pressure that it sees in a mesh cycle: Hertz, slice by "
        "slice, on teeth that bend, shear and tilt in their rim. Without friction and dynamic load.",
        "At the nominal torque, without application factor. A pattern of marking compound shows more than "
        "presses: the film of the compound, about 5 µm, is part of it (common practice).",
        "Dotted: the pattern of the record under a draft.",
    )

    def __init__(
        self, view: ContactView, others: Callable[[], str], say: Say, act: Callable[[str], None]
    ) -> None:
        self._view, self._others = view, others
        self._map, self._patterns = SharedChart(), SharedChart()
        self._said = Piece(self._words, say, act)
        self._shared = Piece(self._below, say)
        self.widget = widgets.VBox([self._said, self._map, self._shared, self._patterns])
        self._follow()
        view.observe(guarded(lambda _: self._follow(), say), "moved")

    def _drawn(self) -> OfMesh | None:
        now = self._view.now
        return None if now is None or now.over is None else now

    def _follow(self) -> None:
        self._said.refresh()
        self._shared.refresh()
        now, ghost = self._drawn(), self._view.ghost
        if now is None or now.over is None:
            self._map.draw(None)
            self._patterns.draw(None)
            return
        each = [flank_pressure(now.over, place) for place in range(len(TORQUE_FACTORS))]
        was = None if ghost is None or ghost.over is None else flank_pressure(ghost.over, NOMINAL)
        self._map.draw(pressure_map_drawing(each[NOMINAL], was))
        self._patterns.draw(patterns_drawing(each, TORQUE_FACTORS))

    def _words(self, _: Folds) -> str:
        head = '<h2 id="load">Where the load sits</h2>'
        now = self._view.now
        if now is None:
            return f"{head}{WAITS}"
        grey = ' class="gc-settling"' if self._view.waits else ""
        which = f"<p>The gear against {text(now.chain.name)}.{self._others()}</p>"
        if isinstance(now.of, str):
            return f"{head}{which}<p{grey}>There is no loaded contact to show: {text(now.of)}.</p>"
        said = "".join(f"<p>{line}</p>" for line in _sentences(now))
        return f"{head}{which}<div{grey}>{said}</div>"

    def _below(self, _: Folds) -> str:
        """What stands between the map and the small ones."""
        now = self._drawn()
        return "" if now is None else f"{_cautions(now)}<p>{_SHARED}</p>"


def _sentences(now: OfMesh) -> Iterator[str]:
    assert not isinstance(now.of, str)
    yield (
        f"At the nominal torque, {value(now.of.torque_Nm, 0, 'N·m')} at the pinion{_with_share(now)}, the "
        "largest contact "
        f"pressure is <b>{value(now.at('largest_pressure_MPa'), 0, 'MPa')}</b>, "
        f"{_where(now)} and "
        f"{value(now.at('pressure_face_mm'), 1, 'mm')} from the reference face.{_beside(now)}"
    )
    yield (
        f"Along the face the load comes to an equivalent K<sub>Hβ</sub> of "
        f"<b>{value(now.at('face_load_factor'), 2)}</b>{_rated(now)}. The pattern reaches from "
        f"{value(now.at('pattern_from_mm'), 1)} to {value(now.at('pattern_to_mm'), 1, 'mm')} of "
        f"{value(now.of.bed.width_mm, 1, 'mm')}. One pair of teeth carries at most "
        f"{value(100 * now.at('largest_share'), 0, '%')} of the load."
    )


def _with_share(now: OfMesh) -> str:
    """The mesh load factor, where it is in the torque."""
    factors = now.chain.factors
    factor = 1.0 if factors is None else float(array(factors.mesh_load_factor))
    return "" if factor == 1.0 else f" with K<sub>γ</sub> = {value(factor, 2)}"


def _where(now: OfMesh) -> str:
    """Where along the path of contact."""
    assert not isinstance(now.of, str)
    place, end = now.at("pressure_place_mm"), float(array(now.of.bed.pair.path_length_mm))
    if place <= 0:
        return "at the start A of the path of contact"
    if place >= end:
        return "at the end E of the path of contact"
    return f"{value(place, 1, 'mm')} along the path of contact"


def _beside(now: OfMesh) -> str:
    shared = shared_pressure_MPa(now.chain)
    if shared is None:
        return ""
    return (
        f" That is {value(now.at('largest_pressure_MPa') / shared, 2)} times the "
        f"{value(shared, 0, 'MPa')} of the load sharing along the path, at the same torque and evenly over "
        "the face."
    )


def _rated(now: OfMesh) -> str:
    factors = now.chain.factors
    if factors is None or factors.face_load_factor is None:
        return ""
    return f"; the rating counts {value(float(array(factors.face_load_factor)), 2)}"


def _cautions(now: OfMesh) -> str:
    """What is not in it, and where the pressure is more than that of a line."""
    assert not isinstance(now.of, str)
    said = notices(now.of.notices)
    corner, end = 100 * now.at("corner_share"), 100 * now.at("face_end_share")
    if corner > _CORNER:
        said += (
            f'<p class="gc-caution">A tip corner carries up to {value(corner, 1, "%")} of the load off the '
            "path of contact, where teeth touch before or after their time; the pressure of a corner is "
            "higher than that of the line contact drawn.</p>"
        )
    if end >= 100 * END_SHARE:
        said += (
            f'<p class="gc-caution">An end of the face carries {value(end, 0, "%")} of the largest load '
            "along it: an edge presses harder than drawn.</p>"
        )
    return said
