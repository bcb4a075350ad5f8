"""What a browser would make of a piece of HTML: its tags, attributes and text."""

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class Markup(HTMLParser):
    html: str
    tags: list[str] = field(default_factory=list)
    attributes: list[tuple[str, str]] = field(default_factory=list)
    texts: list[str] = field(default_factory=list)

    def __post_init__(self):
        super().__init__()
        self.feed(self.html)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data):
        self.texts.append(data)

    @property
    def text(self):
        return "".join(self.texts)

    def check_harmless(self):
        """Nothing runs, and nothing is fetched."""
        assert not {"script", "iframe", "object", "embed", "img", "link", "base", "form"} & set(self.tags)
        assert not [name for name, _ in self.attributes if name.startswith("on")]
        wanted = [value for name, value in self.attributes if name in ("src", "href", "xlink:href", "action")]
        assert not [value for value in wanted if not value.startswith("#")]
        styles = " ".join([value for name, value in self.attributes if name == "style"] + self.texts)
        assert "@import" not in styles
        assert "url(http" not in self.html.replace(" ", "")
