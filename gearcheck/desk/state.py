"""What a sheet knows: the record, the draft and both reviews; traits without widgets."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import traitlets

from gearcheck.record.affected import aged_by_draft
from gearcheck.requirements.types import Calculation
from gearcheck.review.change import Change
from gearcheck.review.changes import CHANGES, changed, open_changes
from gearcheck.review.draft import differs, draft_from_query, draft_to_query, draft_words
from gearcheck.review.inputs import Record
from gearcheck.review.remedies import Remedy, remedies
from gearcheck.review.results import Review
from gearcheck.review.trade import Trade, trade
from gearcheck.review.whole import review

REST_S = 0.4  # a slider that has not moved for so long rests
KEPT = 32  # drafts whose slower work is remembered


@dataclass(frozen=True, kw_only=True)
class Slower:
    """What is worked out when a slider rests: the whole review, the trades, what would fix each failure.

    A sheet of one station shows no trades, and mends its own trouble alone.
    """

    whole: Review
    trades: Trade | None
    remedies: Mapping[str, tuple[Remedy, ...]]


class Sheet(traitlets.HasTraits):
    """The state of one open sheet.

    Parameters
    ----------
    record : Record
        As it stands; a draft never changes it.
    query : str
        The query of the address, with a draft in it.
    mark : callable, optional
        What is said of every review on top: which values were confirmed.
    station : str
        The one that is shown; empty for all of them, with what trades against what.

    Attributes
    ----------
    rested : int
        How often a draft came to rest: what takes longer than a slider may wait follows this.
    """

    draft = traitlets.Dict()
    shown = traitlets.Instance(Review)
    slower = traitlets.Instance(Slower, allow_none=True)
    settled = traitlets.Bool(False)
    rested = traitlets.Int(0)
    refused = traitlets.Tuple()

    def __init__(
        self,
        record: Record,
        query: str = "",
        mark: Callable[[Review], Review] = lambda whole: whole,
        station: str = "",
    ) -> None:
        draft, refused = draft_from_query(query, record)
        self.record, self._mark, self._station = record, mark, station
        self.ghost = mark(review(record))
        self._known: dict[tuple[tuple[str, float], ...], Slower] = {}
        self._resting: asyncio.TimerHandle | None = None
        self._at_work: set[asyncio.Task[None]] = set()
        self._one_at_a_time = asyncio.Lock()
        self._solved = self.ghost
        self.on_failure: Callable[[Exception | None], None] = _raise
        whole = mark(review(_drafted(record, draft), with_settled=False)) if draft else self.ghost
        super().__init__(draft=draft, shown=whole, refused=refused)

    @property
    def drafted(self) -> Record:
        """The record with the draft in it."""
        return _drafted(self.record, self.draft)

    @property
    def drawn(self) -> Review:
        """What is shown; until the slower work has followed, with what it last found."""
        shown: Review = self.shown
        if shown.settled:
            return shown
        last = self._solved
        slower = {
            name: getattr(last, name) for name in ("settled", "predicted", "balance", "contact", "fatigue")
        }
        return replace(shown, **slower)

    @property
    def changes(self) -> tuple[Change, ...]:
        """The inputs that may move."""
        return open_changes(self.record)

    @property
    def query(self) -> str:
        """The draft as it stands in the address."""
        return draft_to_query(self.draft)

    @property
    def words(self) -> str:
        """The draft in words; empty without one."""
        return draft_words(self.draft, self.record)

    def value(self, key: str) -> float:
        """The value of one input as drafted."""
        change = next(change for change in CHANGES if change.key == key)
        return float(self.draft.get(key, change.read(self.record)))

    def move(self, key: str, value: float) -> None:
        """Move one input; back at the record's value it leaves the draft."""
        change = next(change for change in self.changes if change.key == key)
        kept = {name: given for name, given in self.draft.items() if name not in (key, *change.apart)}
        self._set(kept | {key: value} if differs(change, self.record, value) else kept)

    def move_all(self, values: Mapping[str, float]) -> None:
        """Move several inputs at once; what else the draft holds stays."""
        self.take({**self.draft, **values})

    def take(self, values: Mapping[str, float]) -> None:
        """Take another draft in the place of this one."""
        known = {change.key: change for change in self.changes}
        self._set({key: one for key, one in values.items() if differs(known[key], self.record, one)})

    def drop(self) -> None:
        """Drop the draft: everything stands as in the record."""
        self._set({})

    def _set(self, draft: dict[str, float]) -> None:
        if draft == self.draft:
            return
        known = self._known.get(_key(draft))
        drafted = _drafted(self.record, draft)
        if known:
            whole = known.whole
        else:
            whole = self._mark(review(drafted, with_settled=False)) if draft else self.ghost
        with self.hold_trait_notifications():
            self.draft, self.shown, self.slower, self.settled = draft, whole, known, known is not None
        self.rest()

    def rest(self) -> None:
        """Do the slower work once nothing has moved for a while; at once where no event loop runs."""
        loop = running_loop()
        if loop is None:
            self.settle()
            return
        if self._resting is not None:
            self._resting.cancel()
        self._resting = loop.call_later(REST_S, self._start, loop)

    def _start(self, loop: asyncio.AbstractEventLoop) -> None:
        task = loop.create_task(self._settle_beside())
        self._at_work.add(task)
        task.add_done_callback(self._at_work.discard)

    async def _settle_beside(self) -> None:
        """Work in a thread, so that a slider may move meanwhile; what comes too late is kept, not shown."""
        try:
            async with self._one_at_a_time:
                draft = dict(self.draft)
                whole = await asyncio.to_thread(self._reviewed, draft)
                self._hand_over(draft, whole)
                self._take(draft, await asyncio.to_thread(self._worked_out, draft, whole))
        except Exception as error:  # noqa: BLE001 - told on the page by who listens
            self.on_failure(error)

    def settle(self) -> None:
        """Do the slower work now."""
        self._take(dict(self.draft), self._worked_out(self.draft, self._reviewed(self.draft)))

    def _reviewed(self, draft: Mapping[str, float]) -> Review:
        """The complete review: what is solved, treated and ground follows first."""
        known = self._known.get(_key(draft))
        if known:
            return known.whole
        return self._mark(review(_drafted(self.record, draft))) if draft else self.ghost

    def _hand_over(self, draft: Mapping[str, float], whole: Review) -> None:
        """Show what is solved; trades and remedies are still to come."""
        if draft == self.draft and not self.settled:
            self._solved = self.shown = whole

    def _worked_out(self, draft: Mapping[str, float], whole: Review) -> Slower:
        """Trades and remedies, which take longest."""
        known = self._known.get(_key(draft))
        if known:
            return known
        drafted = _drafted(self.record, draft)
        failing = [
            item.key
            for item in whole.requirements
            if item.by_calculation is Calculation.FAILS and self._station in ("", item.station)
        ]
        return Slower(
            whole=whole,
            trades=None if self._station else trade(drafted),
            remedies={key: remedies(drafted, key) for key in failing},
        )

    def _take(self, draft: Mapping[str, float], found: Slower) -> None:
        while len(self._known) >= KEPT:
            self._known.pop(next(iter(self._known)))
        self._known[_key(draft)] = found
        if draft == self.draft:
            self._solved = found.whole
            with self.hold_trait_notifications():
                self.shown, self.slower, self.settled = found.whole, found, True
                self.rested += 1


def running_loop() -> asyncio.AbstractEventLoop | None:
    """Return the event loop of the kernel; None where a sheet is used without one."""
    try:
        return asyncio.get_running_loop()
    except RuntimeError:
        return None


def _key(draft: Mapping[str, float]) -> tuple[tuple[str, float], ...]:
    return tuple(sorted(draft.items()))


def _drafted(record: Record, draft: Mapping[str, float]) -> Record:
    """The record with a draft in it: what was measured on parts made to the record holds no longer."""
    return aged_by_draft(record, changed(record, draft)) if draft else record


def _raise(error: Exception | None) -> None:
    if error is not None:
        raise error
