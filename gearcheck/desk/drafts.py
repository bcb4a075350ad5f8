"""Drafts under a name: saved when a slider rests, and carried in the address."""

from __future__ import annotations

from collections.abc import Mapping
from urllib.parse import parse_qs, urlencode

from gearcheck.basics.errors import Fault, Faults, InputError
from gearcheck.desk.kept import Kept
from gearcheck.record import checks
from gearcheck.record.heads import SavedDraft
from gearcheck.record.workspace import StaleWrite
from gearcheck.review.draft import draft_to_query


class Drafts:
    """The saved drafts of one record, and the one that a sheet moves.

    Parameters
    ----------
    kept : Kept
        The record.
    query : str
        The query of the address; ``draft`` names a saved one.
    """

    def __init__(self, kept: Kept, query: str = "") -> None:
        self.kept = kept
        self.name = _named(query)
        known = self.saved().get(self.name)
        # an older address has not seen what the draft became since: it may not write over it
        is_seen = known is not None and _moves(query) in ({}, parse_qs(draft_to_query(known.values)))
        self._version = known.version if known is not None and is_seen else 0

    def saved(self) -> dict[str, SavedDraft]:
        """Return the saved drafts by their names."""
        return {item.name: item for item in self.kept.workspace.drafts(self.kept.book.record)}

    def opening_query(self, query: str) -> str:
        """Return the query with the values of a saved draft, where it names one and moves nothing itself."""
        known = self.saved().get(self.name)
        return query if known is None or _moves(query) else f"{query}&{draft_to_query(known.values)}"

    def query(self, values: Mapping[str, float]) -> str:
        """Return the query of the address: record, name of the draft, and what it moves."""
        named = {"record": self.kept.book.record}
        if values and self.name:
            named["draft"] = self.name
        return "&".join(part for part in (urlencode(named), draft_to_query(values)) if part)

    def save(self, values: Mapping[str, float]) -> None:
        """Save what a draft moves, under its name or the next free one.

        Parameters
        ----------
        values : mapping of str to float
            None of them: there is no draft, and a saved one stays as it is.

        Raises
        ------
        StaleWrite
            If someone else moved the draft of that name: this one goes on under another name, and says so.
        """
        if not values:
            self.name, self._version = "", 0
            return
        if not self.name:
            same = (name for name, item in self.saved().items() if item.values == dict(values))
            self.name = next(same, "") or self._free_name()
        known = self.saved().get(self.name)
        if known is not None and known.values == dict(values):
            self._version = known.version
            return
        try:
            self._save(values)
        except StaleWrite as error:
            before, self.name, self._version = self.name, self._free_name(), 0
            self._save(values)
            faults = [
                Fault(f"draft {before}", "", f"yours goes on as {self.name}", fault.why)
                for fault in error.faults
            ]
            raise StaleWrite(faults) from None

    def _save(self, values: Mapping[str, float]) -> None:
        kept = self.kept
        self._version = kept.workspace.save_draft(
            kept.book.record,
            self.name,
            values,
            by=kept.person,
            version=self._version,
            revision=kept.book.revision.revision,
        ).version

    def rename(self, name: str, values: Mapping[str, float]) -> None:
        """Give the draft another name; an InputError says what is wrong with it."""
        faults = Faults()
        name = checks.line(name, "name of the draft", "a name", faults)
        faults.need(name not in self.saved(), "name of the draft", name, "a name that no other draft has")
        faults.check()
        before, seen = self.name, self._version
        self.name, self._version = name, 0
        self._save(values)
        if before:  # where someone else moved it meanwhile, theirs stays under the old name
            self.kept.workspace.drop_draft(self.kept.book.record, before, version=seen)

    def take(self, name: str) -> Mapping[str, float]:
        """Go on with a saved draft, and return what it moves; an InputError says that it is gone."""
        known = self.saved().get(name)
        if known is None:
            raise InputError([Fault("draft", name, "a saved draft", "it was dropped meanwhile")])
        self.name, self._version = name, known.version
        return known.values

    def drop(self, name: str = "") -> None:
        """Forget a saved draft: that of the name, or the one that the sheet moves."""
        is_own = not name or name == self.name
        name = name or self.name
        if name:  # what someone else moved meanwhile is theirs
            seen = self._version if is_own else None
            self.kept.workspace.drop_draft(self.kept.book.record, name, version=seen)
        if is_own:
            self.name, self._version = "", 0

    def _free_name(self) -> str:
        taken, count = self.saved(), 1
        while f"what-if {count}" in taken:
            count += 1
        return f"what-if {count}"


def _moves(query: str) -> dict[str, list[str]]:
    """What an address moves."""
    return {key: given for key, given in parse_qs(query).items() if key not in ("record", "draft")}


def _named(query: str) -> str:
    """The name of a draft in an address; none where it is no name."""
    faults = Faults()
    given = parse_qs(query).get("draft", [""])[0]
    name = checks.line(given, "name of the draft", "a name", faults)
    return "" if faults.found else name
