"""A plain reader of the report's pages: what they show, point to and are pointed at."""

from dataclasses import dataclass, field
from html.parser import HTMLParser

REFERENCES = ("src", "srcset", "href", "data", "poster", "action", "xlink:href")


@dataclass
class Reading:
    """What a page holds."""

    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    """Every tag that opens, with its attributes."""
    headings: list[str] = field(default_factory=list)
    """The text of every first- and second-level heading."""
    paragraphs: list[tuple[str, str]] = field(default_factory=list)
    """Every paragraph, each after the second-level heading that it stands under."""
    text: str = ""

    @property
    def alt(self) -> list[str | None]:
        """Alternative text of every picture, None if there is none."""
        return [given.get("alt") for tag, given in self.tags if tag == "img"]

    @property
    def references(self) -> list[tuple[str, str]]:
        """Everything pointed at, with the tag that points."""
        return [
            (tag, given[name]) for tag, given in self.tags for name in REFERENCES if name in given
        ]

    @property
    def anchors(self) -> set[str]:
        return {given["id"] for _, given in self.tags if "id" in given}


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.reading = Reading()
        self.within: str | None = None
        self.told = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.reading.tags.append((tag, {name: value or "" for name, value in attrs}))
        if tag in ("h1", "h2"):
            self.reading.headings.append("")
        if tag == "p":
            self.reading.paragraphs.append(((self.reading.headings or [""])[-1], ""))
            self.told = True
        self.within = tag if tag in ("h1", "h2", "style", "script") else self.within

    def handle_endtag(self, tag: str) -> None:
        self.within = None if tag == self.within else self.within
        self.told = self.told and tag != "p"

    def handle_data(self, data: str) -> None:
        if self.within in ("h1", "h2"):
            self.reading.headings[-1] += data
        if self.told:
            under, text = self.reading.paragraphs[-1]
            self.reading.paragraphs[-1] = (under, text + data)
        if self.within not in ("style", "script"):
            self.reading.text += data


def read_page(html: str) -> Reading:
    """Read a page."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    return reader.reading
