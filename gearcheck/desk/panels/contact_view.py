"""The loaded contact that the sheet shows: it follows a slider where the teeth give way as before."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import traitlets

from gearcheck.desk.guard import Say, guarded
from gearcheck.desk.panels.contact_later import OfMesh, every_mesh, over_torques
from gearcheck.desk.panels.later import Later
from gearcheck.desk.state import Sheet
from gearcheck.review.inputs import Record
from gearcheck.review.results import MeshChain, Review

Both = tuple[tuple[OfMesh, ...], tuple[OfMesh, ...]]


class ContactView(traitlets.HasTraits):
    """What is known of the mesh that is shown.

    While a slider moves what does not change how the teeth give way, the loaded contact follows it; another
    geometry, and the teeth that were measured, wait until it rests.

    Parameters
    ----------
    state : Sheet
        The state of the sheet.
    mesh : callable
        Gives the place of the mesh that is shown.
    say : Say
        Where trouble is told.

    Attributes
    ----------
    moved : int
        How often something new was there to be drawn.
    """

    moved = traitlets.Int(0)

    def __init__(self, state: Sheet, mesh: Callable[[], int], say: Say) -> None:
        super().__init__()
        self.state, self._mesh = state, mesh
        self._record: tuple[OfMesh, ...] | None = None
        self._live: tuple[Review, int, OfMesh] | None = None
        self.later = Later(state, say, self._both)
        state.observe(guarded(lambda _: self.follow(), say), "shown")
        self.later.observe(guarded(lambda _: self.follow(), say), ["found", "waits"])

    def _both(self, record: Record) -> Both:
        """As drafted, and the record itself, which is worked out once."""
        if self._record is None:
            self._record = every_mesh(self.state.record)
        return (every_mesh(record) if self.state.draft else self._record), self._record

    def follow(self) -> None:
        """Draw again, as when another mesh is chosen."""
        self.moved += 1

    @property
    def place(self) -> int:
        """Which mesh is shown."""
        return self._mesh()

    @property
    def at_rest(self) -> OfMesh | None:
        """What was last worked out at rest; None before the first time."""
        found: Both | None = self.later.found
        return None if found is None else found[0][self._mesh()]

    @property
    def now(self) -> OfMesh | None:
        """The mesh as drafted, where that is known; else as it was last known."""
        rest = self.at_rest
        return self._following(rest) or rest if rest is not None and self.later.waits else rest

    @property
    def waits(self) -> bool:
        """Whether `now` is still that of another draft, or not known at all."""
        rest = self.at_rest
        return rest is None or (bool(self.later.waits) and self._following(rest) is None)

    @property
    def ghost(self) -> OfMesh | None:
        """The record under a draft; None without a draft, and where it has no loaded contact."""
        found: Both | None = self.later.found
        if found is None or not self.state.draft:
            return None
        record = found[1][self._mesh()]
        return None if record.over is None else record

    def _following(self, rest: OfMesh) -> OfMesh | None:
        """What a slider makes of it, where the teeth give way as before."""
        shown, place = self.state.shown, self._mesh()
        if self._live is not None and self._live[0] is shown and self._live[1] == place:
            return self._live[2]
        if not _as_soft(shown.chain.meshes[place], rest.chain):
            return None
        found = replace(over_torques(shown, place), turned=rest.turned, order=rest.order)
        self._live = (shown, place, found)
        return found


def _as_soft(one: MeshChain, other: MeshChain) -> bool:
    """Whether the teeth of a mesh give way as those of the other."""
    members = ((one.gear, other.gear), (one.mate, other.mate))
    alike = all(a.data.blank == b.data.blank and a.data.tooth == b.data.tooth for a, b in members)
    return alike and one.pair == other.pair
