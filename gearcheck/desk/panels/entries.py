"""The lines of a form: each names in plain words what it wants."""

from __future__ import annotations

from collections.abc import Iterable

from gearcheck.desk.words import text


def entry(name: str, label: str, *, hint: str = "", kind: str = "text", value: str = "") -> str:
    """Return a line to type in.

    Parameters
    ----------
    name : str
        By which its value comes back.
    label : str
        What it wants.
    hint : str
        An example.
    kind : str
        ``text`` or ``date``.
    value : str
        What stands in it at first.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> entry("owner", "Who does it")
    '<label>Who does it<input type="text" name="owner" value="" placeholder=""></label>'
    """
    said = f'name="{text(name)}" value="{text(value)}" placeholder="{text(hint)}"'
    return f'<label>{text(label)}<input type="{text(kind)}" {said}></label>'


def lines(name: str, label: str, *, hint: str = "", rows: int = 3) -> str:
    """Return a place for some sentences; takes what `entry` takes, and how many lines it shows."""
    said = f'name="{text(name)}" placeholder="{text(hint)}" rows="{rows}"'
    return f"<label>{text(label)}<textarea {said}></textarea></label>"


def choice(name: str, label: str, options: Iterable[tuple[str, str]], *, value: str = "") -> str:
    """Return a list to choose one from: pairs of what comes back and what is read."""
    each = "".join(
        f'<option value="{text(key)}"{" selected" if key == value else ""}>{text(words)}</option>'
        for key, words in options
    )
    return f'<label>{text(label)}<select name="{text(name)}">{each}</select></label>'


def action_form(about: str) -> str:
    """Return the form that sets an action about a requirement; empty, about the whole record."""
    wanted = (
        lines("text", "What is to be done"),
        entry("owner", "Who does it"),
        entry("due", "Until which day", kind="date"),
    )
    return form(f"act:{about}", "".join(wanted), "Set the action")


def form(key: str, inside: str, submit: str, *, live: bool = False) -> str:
    """Return a form; its values come to the piece that it stands in, under this key.

    A live one also tells what was chosen before it is sent.
    """
    button = f'<button type="submit" class="jupyter-button">{text(submit)}</button>'
    said = f'data-form="{text(key)}" data-key="form {text(key)}"{" data-live" if live else ""}'
    return f'<form class="gc-form" {said}>{inside}{button}</form>'
