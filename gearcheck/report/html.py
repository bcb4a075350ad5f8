"""The report as one HTML file: style and charts inside, nothing from the network, ready to print."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup, escape

from gearcheck.figures import tones
from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.printed import printed, running_title
from gearcheck.report.sections import templates


def html_report(notebook: Mapping[str, Any]) -> str:
    """Print a report notebook as one HTML page.

    Parameters
    ----------
    notebook : mapping
        As `read_notebook` gives it.

    Returns
    -------
    str
        The whole file; the same notebook gives the same text.
    """
    made = templates()
    made.filters["css"] = css_text
    return made.get_template("template.html.j2").render(
        title=f"{running_title(notebook).partition(',')[0]}: review report",
        running=running_title(notebook),
        caution=CAUTIONS[0],
        chapters=[
            {"title": chapter.title, "pieces": [_shown(*piece) for piece in chapter.pieces]}
            for chapter in printed(notebook)
        ],
        tones=tones.WORDS,
        paper=tones.PAPER,
        ink=tones.INK,
        quiet=tones.QUIET,
        rule=tones.RULE,
    )


def _shown(kind: str, words: str, text: str) -> Markup:
    if kind == "text/html":
        return Markup(text)
    return Markup(f'<figure role="img" aria-label="{escape(words)}">{text}</figure>')


def css_text(text: str) -> Markup:
    r"""Return text that stays text inside a quoted string of a style sheet.

    Parameters
    ----------
    text : str
        Anything.

    Returns
    -------
    Markup
        All but letters, digits and blanks written as code points.

    Examples
    --------
    >>> css_text("A<b")
    Markup('A\\3c b')
    """
    letters = (letter if letter.isalnum() or letter == " " else f"\\{ord(letter):x} " for letter in text)
    return Markup("".join(letters))
