"""Signing: who has to, what lies before them, the files that go out to them and come back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.errors import Fault, InputError
from gearcheck.basics.names import file_stem
from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Say, Trouble, guarded
from gearcheck.desk.kept import Kept
from gearcheck.desk.panels.download import Downloads
from gearcheck.desk.panels.entries import entry, form
from gearcheck.desk.panels.piece import Folds, Piece
from gearcheck.desk.words import text
from gearcheck.record.blocks import blocks
from gearcheck.record.book import Book, Prepared
from gearcheck.record.closing import require_roles, take_signature
from gearcheck.record.events import Kind
from gearcheck.record.fingerprint import fingerprint
from gearcheck.record.requests import request_text
from gearcheck.record.words import event_words, moment_words
from gearcheck.record.workspace import Workspace

WHAT_IT_DOES = (
    "Preparing writes the report of this revision as a notebook and keeps it: its digest is what the signers "
    "sign. Whatever is written to the record afterwards takes it back."
)
AT_WORK = "The report is being written; it takes some seconds."


def files_folder(kept: Kept) -> Path:
    """Return where the files of a record go: a folder of its name beside the workspace."""
    workspace: Workspace = kept.workspace
    return workspace.path.parent / str(kept.book.record)


def roles_html(kept: Kept, folds: Folds) -> str:
    """Return who has to sign, and the form that changes it."""
    book = kept.book
    said = ", ".join(book.roles) if book.roles else "nobody yet"
    wanted = form(
        "roles", entry("roles", "Roles, with commas between", value=", ".join(book.roles)), "Set the roles"
    )
    return (
        f"<p>Who has to sign, one signer a role: <b>{text(said)}</b>.</p>"
        f"{folds.fold('roles', 'change the roles', lambda: wanted)}"
    )


def set_roles(kept: Kept, values: Mapping[str, str]) -> None:
    """Write down who has to sign, as the form says; an InputError says what is missing."""
    roles = [role.strip() for role in values.get("roles", "").split(",") if role.strip()]
    kept.do(require_roles, roles=roles)


def requests_of(kept: Kept) -> dict[str, Callable[[], bytes]]:
    """Return the request of each role that has not signed yet, by its file name."""
    book, prepared = kept.book, kept.book.prepared
    if prepared is None:
        return {}
    return {request_name(book, prepared, role): partial(_request, kept, role) for role in book.missing_roles}


def _request(kept: Kept, role: str) -> bytes:
    return request_text(kept.book, role, kept.whole()).encode("utf-8")


def request_name(book: Book, prepared: Prepared, role: str) -> str:
    """Return the file name of a request; another report has other ones."""
    return f"{_stem(book, prepared)}_{file_stem(role)}.request.json"


def report_name(book: Book, prepared: Prepared) -> str:
    """Return the file name of the report that the signers read before they sign."""
    return f"{_stem(book, prepared)}_to-sign.ipynb"


def _stem(book: Book, prepared: Prepared) -> str:
    return f"{book.record}_r{prepared.revision}_{prepared.digest[:8]}"


def state_html(kept: Kept, folder: Path) -> str:
    """Return what lies before the signers, who has signed and who is missing."""
    book = kept.book
    if book.prepared is None:
        return _not_prepared(kept)
    return _prepared(book, book.prepared) + _signed(book) + _missing(book, book.prepared, folder)


def _not_prepared(kept: Kept) -> str:
    blocked = blocks(kept.whole(), kept.book)
    said = (
        ""
        if not blocked
        else "<p>It cannot be prepared yet: what blocks signing stands at the head of this sheet.</p>"
    )
    return f"{_went_on(kept.book)}<p>{text(WHAT_IT_DOES)}</p>{said}"


def _went_on(book: Book) -> str:
    """What was written after a report had been prepared."""
    places = [place for place, event in enumerate(book.events) if event.kind is Kind.PREPARED]
    if not places:
        return ""
    since = [one for one in book.events[places[-1] + 1 :] if one.kind is not Kind.SIGNED]
    each = "".join(f"<li>{text(event_words(one))}.</li>" for one in since)
    return (
        f"<p><b>The record went on after {text(event_words(book.events[places[-1]]))}:</b></p>"
        f'<ul class="gc-list">{each}</ul><p>Requests and signatures of that report no longer count. '
        "Prepare it again, and ask all signers again.</p>"
    )


def _prepared(book: Book, prepared: Prepared) -> str:
    count = prepared.unconfirmed
    said = "no value unconfirmed" if count == 0 else f"{count} value{'s'[: count != 1]} unconfirmed"
    return (
        f"<p>Revision {prepared.revision} of the record lies before the signers, with {said}; "
        f"{text(prepared.by)} prepared it {text(moment_words(prepared.at))}.</p>"
        f'<p>Its digest: <code id="digest">{text(prepared.digest)}</code></p>'
    )


def _signed(book: Book) -> str:
    if not book.signatures:
        return "<p>Nobody has signed yet.</p>"
    heads = ("Role", "Name", "Signed, by the clock of the signer's machine", "Fingerprint of the key")
    head = "".join(f'<th scope="col">{name}</th>' for name in heads)
    rows = "".join(
        f'<tr><th scope="row">{text(one["role"])}</th><td>{text(one["name"])}</td>'
        f"<td>{text(moment_words(one['signed_at']))}</td><td>{text(fingerprint(one['public_key']))}</td></tr>"
        for one in (item.signature for item in book.signatures)
    )
    return (
        f'<table class="gc-table" id="signed"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'
        "<p>A name is only as good as the fingerprint beside it: ask its owner to read theirs aloud.</p>"
    )


def _missing(book: Book, prepared: Prepared, folder: Path) -> str:
    if not book.missing_roles:
        return f"<p><b>All have signed revision {prepared.revision} of the record.</b></p>"
    names = [request_name(book, prepared, role) for role in book.missing_roles]
    report = report_name(book, prepared)
    commands = "".join(
        f"<li><code>gearcheck sign {text(name)} --report {text(report)} --key KEY</code></li>"
        for name in names
    )
    where = f" They also lie in {text(folder)}." if all((folder / name).is_file() for name in names) else ""
    return (
        f'<p>Missing: <b id="missing">{text(", ".join(book.missing_roles))}</b>. Send each of them the '
        f"report and the request of that role, to be saved below.{where} They read the report, and type:</p>"
        f'<ul class="gc-list">{commands}</ul><p>KEY is the signer\'s own key file, which never leaves its '
        "owner; <code>gearcheck key new</code> makes one. A signature file comes back: take it in below.</p>"
    )


class Signing:
    """The panel: what lies before the signers, the button that puts it there, and the files.

    Parameters
    ----------
    kept : Kept
        The record.
    form_say : Say
        Where the trouble of a form is told a second time: it stands beside the form already.
    """

    def __init__(self, kept: Kept, form_say: Say) -> None:
        self.kept, self.trouble = kept, Trouble()
        say = self.trouble.say
        self._beside = Beside(say)
        self.roles = Piece(lambda folds: roles_html(kept, folds), form_say, form=self._form)
        self.state = Piece(lambda _: self._state(), say)
        self.button = widgets.Button(description="Prepare the report for signing")
        self.button.on_click(guarded(self._clicked, say))
        self.requests = Downloads(say, "Files for the signers")
        self.upload = widgets.FileUpload(multiple=True, icon="", description="Take in signature files")
        self.upload.observe(guarded(self._uploaded, say), "value")
        kept.observe(guarded(self._follow, say), "book")
        self._follow()

    def widget(self) -> widgets.Widget:
        """Return the panel."""
        buttons = widgets.HBox([self.button, self.upload]).add_class("gc-control")
        title = widgets.HTML('<h2 id="signing">Signing</h2>')
        return widgets.VBox([title, self.trouble, self.roles, self.state, self.requests, buttons])

    def _state(self) -> str:
        if self._beside.at_work:
            return f'<p role="status">{text(AT_WORK)}</p>'
        return state_html(self.kept, files_folder(self.kept))

    def _form(self, _: str, values: Mapping[str, str]) -> None:
        set_roles(self.kept, values)

    def _follow(self, _: Any = None) -> None:
        book = self.kept.book
        self.roles.refresh()
        self.state.refresh()
        blocked = book.prepared is not None or bool(blocks(self.kept.whole(), book))
        self.button.disabled = blocked or self._beside.at_work
        self.button.layout.display = None if book.prepared is None else "none"
        self.upload.layout.display = None if book.missing_roles and book.prepared is not None else "none"
        self.requests.offer(self._files())

    def _files(self) -> Mapping[str, Callable[[], bytes]]:
        prepared = self.kept.book.prepared
        if prepared is None:
            return {}
        report = report_name(self.kept.book, prepared)
        return {report: lambda: self.kept.workspace.content(prepared.report)} | requests_of(self.kept)

    def _clicked(self, _: Any) -> None:
        from gearcheck.report.release import prepare

        workspace, book, person = self.kept.workspace, self.kept.book, self.kept.person
        self._beside.start(lambda: prepare(workspace, book, by=person), self._taken)
        self._follow()

    def _taken(self, result: Callable[[], Book]) -> None:
        try:
            self.kept.do(lambda *_, **__: result())
            _write(files_folder(self.kept), self._files())
        finally:
            self._follow()

    def _uploaded(self, change: Any) -> None:
        files = change["new"]
        if not files:
            return
        faults: list[Fault] = []
        for file in files:
            try:
                self.kept.do(take_signature, text=bytes(file["content"]))
            except InputError as error:
                faults += [_named(fault, file["name"]) for fault in error.faults]
        self.upload.value = ()
        if faults:
            raise InputError(faults)


def _named(fault: Fault, name: str) -> Fault:
    return Fault(f"{name}, {fault.field}", fault.given, fault.needed, fault.why)


def _write(folder: Path, files: Mapping[str, Callable[[], bytes]]) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            (folder / name).write_bytes(data())
    except OSError as error:
        needed = "a folder that can be written to; the files can be saved below all the same"
        raise InputError([Fault("folder", str(folder), needed, error.strerror or str(error))]) from None
