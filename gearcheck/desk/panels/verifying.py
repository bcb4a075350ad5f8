"""Verification without a command line: a file goes in, three answers come out, nothing of it is run."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from gearcheck.basics.errors import Fault, InputError
from gearcheck.desk.beside import Beside
from gearcheck.desk.guard import Trouble, guarded
from gearcheck.desk.panels.piece import Piece
from gearcheck.desk.words import text
from gearcheck.record.answers import Answer
from gearcheck.record.signers import Signer, read_signers
from gearcheck.record.verify import Verification, verify
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.cells import misprints

AT_WORK = (
    "The file is being read and its numbers worked out anew; it takes some seconds. Nothing in it is run."
)
NOTHING = (
    "Give the signed notebook, or the archive of an export. It is read here, on this machine, and nothing in "
    "it is ever run."
)
NO_REPORT = "This is no report that can be verified."
WITHOUT_LIST = (
    "Without a list of signers every key is unknown: compare each fingerprint with its owner, by a way that "
    "does not come from the file."
)
_ANSWERS = {True: ("holds", "yes"), False: ("fails", "no"), None: ("not assessed", "cannot be said")}


def sentence(found: Verification) -> str:
    """Say in one sentence what came of it.

    Parameters
    ----------
    found : Verification
        All three answers.

    Returns
    -------
    str
        The worst of them first.
    """
    if found.altered.ok is False:
        return "Do not rely on this file: it was altered, or is not what was signed."
    if found.altered.ok is None:
        return "It cannot be said whether this file was altered."
    if not found.signed.ok:
        return "Nothing in this file was altered, but signatures with known keys are missing."
    if found.numbers.ok is False:
        return "Nothing was altered and all have signed, but this version of the program gets other numbers."
    if found.numbers.ok is None:
        return (
            "Nothing was altered and all have signed; whether the numbers come out the same cannot be said."
        )
    return "This file is as it was signed, by all who have to, and its numbers come out the same."


def answers_html(found: Verification, name: str, *, with_list: bool) -> str:
    """Return the three answers, the plain sentence first.

    Parameters
    ----------
    found : Verification
        As it came out.
    name : str
        Of the file.
    with_list : bool
        Whether a list of signers was given.

    Returns
    -------
    str
        HTML.
    """
    tone = "good" if found.exit_code == 0 else "bad"
    part = f"{found.part_number}, drawing revision {found.drawing_revision}"
    about = f"{part}, revision {found.revision} of the record"
    said = "" if with_list else f'<p class="gc-caution">{text(WITHOUT_LIST)}</p>'
    return (
        f'<p class="gc-outcome gc-{tone}" role="status" id="verified">{text(sentence(found))}</p>'
        f"<p>{text(name)} says that it is {text(about)}. Digest of what it is: "
        f"<code>{text(found.digest)}</code></p>"
        f"{_answer('Is it as it was signed?', found.altered)}"
        f"{_answer('Is it signed by all who have to, with known keys?', found.signed)}{said}"
        f"{_answer('Do the numbers come out the same?', found.numbers)}"
    )


def _answer(question: str, found: Answer) -> str:
    tone, word = _ANSWERS[found.ok]
    tone = tone.replace(" ", "-")
    each = "".join(f"<li>{text(line)}</li>" for line in found.words)
    return (
        f'<section class="gc-verified"><h2>{text(question)} <span class="gc-answer {tone}">{word}</span></h2>'
        f'<ul class="gc-list">{each}</ul></section>'
    )


class Verifying:
    """The panel: where the file goes in, and what came of it."""

    def __init__(self) -> None:
        self.trouble = Trouble()
        say = self.trouble.say
        self._beside, self._said = Beside(say), f"<p>{text(NOTHING)}</p>"
        self.found: Verification | None = None
        self._file: tuple[str, bytes] | None = None
        self._signers: tuple[Signer, ...] | None = None
        self.said = Piece(lambda _: self._said, say)
        self.file = widgets.FileUpload(
            accept=".ipynb,.zip", icon="", description="Signed notebook or archive"
        )
        self.signers = widgets.FileUpload(
            accept=".toml", icon="", description="List of signers, if you have one"
        )
        self.listed = Piece(lambda _: self._list(), say)
        self.file.observe(guarded(self._given, say), "value")
        self.signers.observe(guarded(self._listed, say), "value")

    def widget(self) -> widgets.Widget:
        """Return the panel."""
        buttons = widgets.HBox([self.file, self.signers]).add_class("gc-control")
        return widgets.VBox([buttons, self.trouble, self.listed, self.said])

    def _list(self) -> str:
        if self._signers is None:
            return ""
        names = ", ".join(item.name for item in self._signers)
        return f"<p>List of signers: {text(names)}.</p>"

    def _given(self, change: Any) -> None:
        given = _one(self.file, change)
        if given is not None:
            self._file = given
            self._verify()

    def _listed(self, change: Any) -> None:
        given = _one(self.signers, change)
        if given is None:
            return
        self._signers = read_signers(given[1])
        self.listed.refresh()
        if self._file is not None:
            self._verify()

    def _verify(self) -> None:
        assert self._file is not None
        (name, data), signers = self._file, self._signers
        self._show(f'<p role="status">{text(AT_WORK)}</p>')
        self.found = None
        self._beside.start(
            lambda: verify(data, signers=signers or (), reprint=misprints),
            lambda result: self._answered(name, result, with_list=signers is not None),
        )

    def _answered(self, name: str, result: Callable[[], Verification], *, with_list: bool) -> None:
        try:
            self.found = result()
            self._show(answers_html(self.found, name, with_list=with_list))
        except InputError as error:
            self._show(f'<p class="gc-outcome gc-bad" role="status" id="verified">{NO_REPORT}</p>')
            raise InputError(
                [Fault(f"{name}, {one.field}", one.given, one.needed, one.why) for one in error.faults]
            ) from None

    def _show(self, said: str) -> None:
        self._said = said
        self.said.refresh()


def _one(upload: widgets.FileUpload, change: Any) -> tuple[str, bytes] | None:
    """The file that was given; the place is empty again, so that the same one may be given once more."""
    files = change["new"]
    if not files:
        return None
    upload.value = ()
    return str(files[0]["name"]), bytes(files[0]["content"])


def cautions_html() -> str:
    """Return what a verification does not say, and what is said of every result."""
    own = "That a file holds says that it is unchanged and who signed it, not that its inputs are right."
    return "".join(f"<p>{text(line)}</p>" for line in (own, *CAUTIONS))
