"""Text on its way into the page: everything that came from a file is escaped here."""

from __future__ import annotations

from enum import StrEnum
from html import escape


def text(value: object) -> str:
    """Return a value as text that is safe inside an element or a quoted attribute.

    Parameters
    ----------
    value : object
        Anything; None becomes empty.

    Returns
    -------
    str
        With ``& < > " '`` written as entities.

    Examples
    --------
    >>> text('<b onclick="x">')
    '&lt;b onclick=&quot;x&quot;&gt;'
    """
    return "" if value is None else escape(str(value), quote=True)


def capital(words: str) -> str:
    """Return words that begin a sentence or a row; what follows the first letter stays as it is."""
    return words[:1].upper() + words[1:]


def tone(answer: StrEnum | str) -> str:
    """Return the class name that the page has for an answer.

    Parameters
    ----------
    answer : StrEnum or str
        One of the words of the two answers.

    Returns
    -------
    str
        Lower case, spaces as hyphens.

    Examples
    --------
    >>> tone("not assessed")
    'not-assessed'
    """
    return str(answer).replace(" ", "-")


def answer(word: StrEnum | str) -> str:
    """Return an answer as the page writes it: the word, its mark and its tone.

    Parameters
    ----------
    word : StrEnum or str
        One of the words of the two answers.

    Returns
    -------
    str
        One HTML element.

    Examples
    --------
    >>> answer("meets")
    '<span class="gc-answer meets">meets</span>'
    """
    return f'<span class="gc-answer {text(tone(word))}">{text(word)}</span>'
