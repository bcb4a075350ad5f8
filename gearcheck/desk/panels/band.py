"""How the case depth needed scatters: many gears, drawn at random when they are asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gearcheck.basics.numbers import array
from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.numbers import value
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.state import Sheet
from gearcheck.desk.words import capital, text
from gearcheck.hardening.band import CaseDepthBand
from gearcheck.review.scatter import SAMPLES, depth_band, no_band

HEAD = '<h2 id="scatter">From gear to gear</h2>'


class Band:
    """The band of one mesh, drawn by a button.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    mesh : callable
        Gives the place of the mesh that is shown.
    say : Say
        Where trouble is told.
    """

    MARGIN = (
        "Drawn at random: surface and core hardness, load and stock, normal and independent of one another, "
        "with the scatter of [gear.subsurface] and of the stock. Solved anew for each gear.",
        "The same record is drawn the same way each time.",
        "The constants of the criteria scatter too, and weigh more: how steep each depth is in its constant "
        "stands in the table above.",
    )

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        self._state, self._mesh, self._beside = state, mesh, Beside(say)
        self._found: CaseDepthBand | None = None
        self.widget = Piece(self._words, say, self._act)
        state.observe(guarded(lambda _: self.follow(), say), "draft")

    def follow(self) -> None:
        """What was drawn was another gear's."""
        self._found = None
        self.widget.refresh()

    def _act(self, act: str) -> None:
        if act == "draw":
            self._beside.start(self._work(), self._take)

    def _work(self) -> Callable[[], tuple[object, CaseDepthBand]]:
        shown, place, draft = self._state.shown, self._mesh(), (dict(self._state.draft), self._mesh())
        return lambda: (draft, depth_band(shown.record, shown.chain.meshes[place]))

    def _take(self, result: Callable[[], tuple[object, CaseDepthBand]]) -> None:
        draft, found = result()
        if draft == (dict(self._state.draft), self._mesh()):
            self._found = found
        self.widget.refresh()

    def _words(self, _: Folds) -> str:
        mesh = self._state.shown.chain.meshes[self._mesh()]
        missing = no_band(self._state.shown.record, mesh)
        if missing:
            return f"{HEAD}<p>No band is drawn: {text(missing)}.</p>"
        if self._beside.at_work:
            return f'{HEAD}<p class="gc-settling">{SAMPLES} gears are being drawn and solved</p>'
        if self._found is None:
            draw = f'<button type="button" class="gc-do" data-act="draw">Draw {SAMPLES} gears</button>'
            differ = "Hardness, load and stock differ from gear to gear, and so does the case depth needed."
            return f"{HEAD}<p>{differ} {draw}</p>"
        return f"{HEAD}{band_html(self._found, mesh.name)}"


def band_html(found: CaseDepthBand, mesh: str) -> str:
    """Return the quantiles as a table, led by what they say of the drawing.

    Parameters
    ----------
    found : CaseDepthBand
        As drawn.
    mesh : str
        The name of the mate.

    Returns
    -------
    str
        HTML.
    """
    short = array(found.share_short)
    most = text(found.criteria[int(short.argmax())])
    lead = (
        f"<p>Of {value(found.samples, 0)} gears against {text(mesh)}, each with its own hardness, load and "
        f"stock, the case of {value(found.drawn_mm, 2, 'mm')} drawn is too shallow for {_shares(short)} by "
        f"the criterion that asks for most, {most}.</p>"
    )
    named = [value(100 * share, 0, "%") for share in array(found.share)]
    columns = "".join(f'<th scope="col" class="num">enough for {name}</th>' for name in named)
    rows = "".join(_row(found, place) for place in range(len(found.criteria)))
    return (
        f'{lead}<table class="gc-table"><thead><tr><th scope="col">By</th>{columns}'
        f'<th scope="col" class="num">as treated, for {named[-1]}</th>'
        '<th scope="col" class="num">drawn is too shallow for</th></tr></thead>'
        f"<tbody>{rows}</tbody></table>"
    )


def _row(found: CaseDepthBand, place: int) -> str:
    depths = (*array(found.finished_mm)[place], array(found.as_treated_mm)[place][-1])
    cells = "".join(f'<td class="num">{_depth(depth)}</td>' for depth in depths)
    short = value(100 * array(found.share_short)[place], 1, "%")
    return (
        f'<tr><th scope="row">{text(capital(found.criteria[place]))}</th>{cells}'
        f'<td class="num">{short}</td></tr>'
    )


def _depth(depth: Any) -> str:
    return "no depth suffices" if depth != depth else value(depth, 2, "mm")


def _shares(short: Any) -> str:
    most = float(short.max())
    return "none of them" if most == 0 else value(100 * most, 1, "%")
