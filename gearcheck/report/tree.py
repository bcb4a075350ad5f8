"""Our own HTML as a tree of plain data, from which a page can be laid out."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from typing import Any

_BLOCKS = {"p", "h1", "h2", "h3", "h4", "li", "td", "th", "pre"}
_HOLDERS = {"table", "thead", "tbody", "tr", "ul", "section", "header", "div"}
_MARKS = {"b", "strong", "small", "sub", "sup", "code", "span"}
_LONGEST_WORD = 18
_LONGEST_LINE = 100  # of text that keeps its lines
_BREAK = "\u200b"
_WIDE_LETTERS = set("mwMW@%—…")
_BLANKS = " \n\t"
_WORD = re.compile(r"[^ \n\t]+")


def tree(html: str) -> list[dict[str, Any]]:
    """Return a piece of a report as a tree.

    Parameters
    ----------
    html : str
        Of our own templates: paragraphs, headings, lists, tables, and marks within them.

    Returns
    -------
    list of dict
        Each with ``tag``, ``name`` (its class), and ``inside``; a text is a node ``text`` with ``value``.

    Raises
    ------
    ValueError
        For a tag that none of our templates writes: it would be lost in print.

    Examples
    --------
    >>> tree("<p>S<sub>F</sub></p>")[0]["inside"][1]["tag"]
    'sub'
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.top


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.top: list[dict[str, Any]] = []
        self._open: list[dict[str, Any]] = []

    @property
    def _here(self) -> list[dict[str, Any]]:
        return self._open[-1]["inside"] if self._open else self.top

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "br":
            self._here.append({"tag": "br", "name": "", "inside": []})
            return
        if tag not in _BLOCKS | _HOLDERS | _MARKS:
            raise ValueError(f"<{tag}> is not printed")
        node = {"tag": tag, "name": dict(attrs).get("class") or "", "inside": []}
        self._here.append(node)
        self._open.append(node)

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()["tag"] != tag:
            pass

    def handle_data(self, data: str) -> None:
        tags = {node["tag"] for node in self._open}
        if "pre" in tags:
            self._here.append({"tag": "text", "value": _breakable(data.expandtabs(4), _LONGEST_LINE)})
            return
        if not self._open or self._open[-1]["tag"] in _HOLDERS:
            return  # the blanks between tags
        text = _collapsed(data)
        if text:
            self._here.append({"tag": "text", "value": _breakable(text)})


def _collapsed(data: str) -> str:
    """Blanks as a browser shows them; a blank that must not break stays one."""
    words = data.replace("\n", " ").replace("\t", " ").split(" ")
    kept = " ".join(word for word in words if word)
    if not kept:
        return " " if data else ""
    first, last = (" " if letter in _BLANKS else "" for letter in (data[0], data[-1]))
    return f"{first}{kept}{last}"


def _breakable(text: str, longest: int = _LONGEST_WORD) -> str:
    """Let a long word break: a digest, a file name, what someone typed without a blank."""
    return _WORD.sub(lambda word: _broken(word[0], longest) if width_of(word[0]) > longest else word[0], text)


def _broken(word: str, longest: int) -> str:
    pieces, run = [], 0.0
    for place, letter in enumerate(word):
        pieces.append(letter)
        is_end = letter in "·=+/-,;:_" or (letter == "." and word[place + 1 : place + 2].isalpha())
        run = 0.0 if is_end else run + width_of(letter)
        if run == 0 or run >= longest - 2:
            pieces.append(_BREAK)
            run = 0.0
    return "".join(pieces)


def width_of(word: str) -> float:
    """Return how wide a word is, in letters of usual width."""
    return sum(1.8 if letter in _WIDE_LETTERS else 1.4 if letter.isupper() else 1.0 for letter in word)


def text_of(node: dict[str, Any]) -> str:
    """Return the text of a node, without its marks."""
    return _whole(node).replace(_BREAK, "")


def words_of(node: dict[str, Any]) -> list[str]:
    """Return the pieces of the text of a node that no line may break."""
    return [word for word in re.split(f"[ \n\t{_BREAK}]", _whole(node)) if word]


def _whole(node: dict[str, Any]) -> str:
    if node["tag"] == "text":
        return str(node["value"])
    return " " if node["tag"] == "br" else "".join(map(_whole, node["inside"]))
