"""Trouble in a handler becomes visible: else a failing callback leaves the page as if nothing happened."""

from __future__ import annotations

import logging
from collections.abc import Callable
from functools import wraps
from typing import Any, Protocol

import ipywidgets as widgets

from gearcheck.basics.errors import InputError
from gearcheck.desk.words import text

log = logging.getLogger("gearcheck.desk")


class Say(Protocol):
    """Where trouble is told: `lines` in plain words, kept apart by `who`; no lines take it away."""

    def __call__(self, who: object, lines: tuple[str, ...]) -> None:
        """Tell or take away."""


class Trouble(widgets.HTML):
    """The bar that tells what went wrong; empty and out of sight while nothing has.

    Examples
    --------
    >>> bar = Trouble()
    >>> bar.say("torque", ("The torque is missing.",))
    >>> bar.value
    '<div class="gc-trouble" role="alert"><p>The torque is missing.</p></div>'
    >>> bar.say("torque", ())
    >>> bar.value
    ''
    """

    def __init__(self) -> None:
        self._told: dict[object, tuple[str, ...]] = {}
        super().__init__()
        self.add_class("gc-status")

    def say(self, who: object, lines: tuple[str, ...]) -> None:
        """Tell the trouble of one handler, or take it away."""
        self._told.pop(who, None)
        if lines:
            self._told[who] = lines
        # one cause may fail many panels: its words stand once
        each = dict.fromkeys(line for lines in self._told.values() for line in lines)
        told = "".join(f"<p>{text(line)}</p>" for line in each)
        self.value = f'<div class="gc-trouble" role="alert">{told}</div>' if told else ""


def guarded(handler: Callable[..., Any], say: Say) -> Callable[..., None]:
    """Return a handler whose trouble is told and logged; its next success takes the trouble away.

    Parameters
    ----------
    handler : callable
        What a button, an observer or a timer calls.
    say : Say
        Where it is told: ``Trouble().say``.

    Returns
    -------
    callable
        Takes what `handler` takes.
    """
    # Not the name: panels share the names of their handlers, and none may take away another's trouble.
    who = object()
    name = f"{handler.__module__}.{handler.__qualname__}"

    @wraps(handler)
    def call(*args: Any, **kwargs: Any) -> None:
        try:
            handler(*args, **kwargs)
        except InputError as error:
            log.info("%s: %s", name, error)
            say(who, tuple(str(fault) for fault in error.faults))
        except Exception as error:  # a bug must be seen on the page, whatever it is
            log.exception("%s failed", name)
            say(who, (_unexpected(error),))
        else:
            say(who, ())

    return call


def _unexpected(error: Exception) -> str:
    reason = str(error).strip().split("\n", maxsplit=1)[0][:200]
    reason = f" ({reason})" if reason else ""
    return (
        f"This step failed, and what is shown may not have followed: {type(error).__name__}{reason}. "
        "It is a fault of the program, not of your entry."
    )
