"""The report as one HTML file: style and charts inside, nothing from the network, ready to print."""

from __future__ import annotations

from markupsafe import Markup

from gearcheck.figures import tones
from gearcheck.report.chapters import HEAD, chapter, chapter_titles
from gearcheck.report.sections import templates
from gearcheck.review.results import Review


def html_report(whole: Review) -> str:
    """Print a review as one HTML page.

    Parameters
    ----------
    whole : Review
        Complete.

    Returns
    -------
    str
        The whole file; the same review gives the same text.
    """
    part = whole.record.part
    made = templates()
    made.filters["css"] = css_text
    return made.get_template("template.html.j2").render(
        title=f"{part.number}, revision {part.revision}: review report",
        running=f"{part.number}, revision {part.revision}, {part.stage} review",
        chapters=[
            {"title": "" if title == HEAD else title, "pieces": chapter(whole, title)}
            for title in chapter_titles(whole)
        ],
        tones=tones.WORDS,
        paper=tones.PAPER,
        ink=tones.INK,
        quiet=tones.QUIET,
        rule=tones.RULE,
    )


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
