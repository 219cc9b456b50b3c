"""An executed notebook as a page for readers: self-contained, printable, code folded away."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup
from nbformat import NotebookNode

from analysis.errors import Failure
from analysis.publishing.cite import TITLE
from analysis.publishing.typeset import text_html, with_suits
from analysis.runtime import escape
from analysis.telling.figures.style import CARD_BLACK, CARD_RED
from analysis.telling.tables.files import TABLE_FILES
from analysis.telling.tables.table_file import TableFile

INDEX = "index.html"
FIGURES_FOLDER = "figures"
_TEMPLATES = Path(__file__).parent / "templates"
_PICTURES = {"image/svg+xml": "svg", "image/png": "png"}
_WIDGET = "application/vnd.jupyter.widget-view+json"
_INTERACTIVE = "*This part is interactive: `double-study explore` opens it in a browser.*"


@dataclass(frozen=True)
class Page:
    """One executed notebook; ``name`` is its file name without the ending."""

    name: str
    notebook: NotebookNode

    @property
    def file(self) -> str:
        """The page's file name."""
        return f"{self.name}.html"

    @cached_property
    def title(self) -> str:
        """The notebook's first heading."""
        for line in self._text.splitlines():
            if line.startswith("# "):
                return line[2:].strip()
        raise Failure(f"notebook {self.name}: no title; its first cell must begin with '# '")

    @cached_property
    def question(self) -> str:
        """The first paragraph under "The question", in one line: what the page is about."""
        found = re.search(r"^## The question\s+(.+?)(?:\n\s*\n|\Z)", self._text, re.M | re.S)
        if not found:
            raise Failure(f"notebook {self.name}: nothing under the heading '## The question'")
        return " ".join(found[1].split())

    @cached_property
    def answer(self) -> str:
        """The first paragraph that the run put under "The answer"; empty if it put none."""
        within = False
        for cell in self.notebook.cells:
            if cell.cell_type == "markdown":
                within = "## The answer" in cell.source.splitlines()
            elif within:
                for output in cell.outputs:
                    if "text/markdown" in output.get("data", {}):
                        return str(output.data["text/markdown"]).strip().split("\n\n")[0]
        return ""

    @cached_property
    def tables(self) -> list[TableFile]:
        """The table files that the notebook's text names: those behind its numbers."""
        return [file for file in TABLE_FILES if f"`{file.path}`" in self._text]

    @cached_property
    def _text(self) -> str:
        return "\n\n".join(c.source for c in self.notebook.cells if c.cell_type == "markdown")

    @cached_property
    def code(self) -> list[str]:
        """The code cells that are not empty."""
        cells = self.notebook.cells
        return [c.source for c in cells if c.cell_type == "code" and c.source.strip()]

    def _outputs(self) -> Iterator[tuple[int, NotebookNode]]:
        """Every output with the number of its cell, counted from 1."""
        for number, cell in enumerate(self.notebook.cells, start=1):
            for output in cell.get("outputs", ()):
                yield number, output

    def complaints(self) -> Iterator[tuple[int, str]]:
        """What cells said on standard error: for whoever runs them, and on no page."""
        for number, output in self._outputs():
            if _is_complaint(output):
                yield number, output.text.strip()

    @cached_property
    def figures(self) -> dict[str, bytes]:
        """Every figure in every form it has, by file name: page, number on it, ending."""
        files: dict[str, bytes] = {}
        shown = [o for _, o in self._outputs() if _PICTURES.keys() & o.get("data", {}).keys()]
        for number, output in enumerate(shown, start=1):
            for kind, ending in _PICTURES.items():
                if kind in output.data:
                    files[f"{self.name}_{number}.{ending}"] = _picture(kind, output.data[kind])
        return files

    @cached_property
    def pictures(self) -> list[tuple[str, str]]:
        """Every figure that is a PNG: its file name and its words, in order."""
        shown = [o for _, o in self._outputs() if "image/png" in o.get("data", {})]
        names = [name for name in self.figures if name.endswith(".png")]
        words = [o.metadata.get("image/png", {}).get("alt", "") for o in shown]
        return list(zip(names, words, strict=True))

    @cached_property
    def body(self) -> str:
        """Text and results as HTML; raises :class:`Failure` for a figure without words for it."""
        parts = []
        for number, cell in enumerate(self.notebook.cells, start=1):
            if cell.cell_type == "markdown":
                parts.append(text_html(cell.source))
            for output in cell.get("outputs", ()):
                shown = self._output_html(number, output)
                if shown:
                    parts.append(f'<div class="output">{shown}</div>')
        return "\n".join(parts)

    def _output_html(self, cell: int, output: NotebookNode) -> str:
        if _is_complaint(output):
            return ""
        if output.output_type == "stream":
            return f"<pre>{with_suits(escape.html(output.text))}</pre>"
        data = output.get("data", {})
        if _WIDGET in data:
            return text_html(_INTERACTIVE)
        for kind in _PICTURES:
            if kind in data:
                alt = output.metadata.get(kind, {}).get("alt", "")
                if not alt:
                    raise Failure(
                        f"notebook {self.name}, cell {cell}: a picture without alternative text"
                    )
                picture = base64.b64encode(_picture(kind, data[kind])).decode()
                return f'<figure><img alt="{escape.html(alt)}" src="data:{kind};base64,{picture}"></figure>'
        if "text/markdown" in data:
            return text_html(data["text/markdown"])
        return (
            f"<pre>{with_suits(escape.html(data['text/plain']))}</pre>"
            if "text/plain" in data
            else ""
        )


def _is_complaint(output: NotebookNode) -> bool:
    return output.output_type == "stream" and output.name == "stderr"


def _picture(kind: str, data: Any) -> bytes:
    """A picture as the bytes of its file; a notebook holds PNG in base 64, SVG as text."""
    return base64.b64decode(data) if kind == "image/png" else data.encode()


def _html(text: str) -> Markup:
    """Text that is HTML already; it comes from the study's own notebooks and templates."""
    return Markup(text)  # noqa: S704


def _contents(body: str) -> list[tuple[str, Markup]]:
    return [
        (anchor, _html(heading))
        for anchor, heading in re.findall(r'<h2 id="([^"]+)">(.*?)</h2>', body, re.S)
    ]


def _render(**values: Any) -> str:
    css = (_TEMPLATES / "page.css").read_text(encoding="utf-8")
    css = css.replace("CARD_RED", CARD_RED).replace("CARD_BLACK", CARD_BLACK)
    templates = Environment(
        loader=FileSystemLoader(_TEMPLATES), autoescape=True, trim_blocks=True, lstrip_blocks=True
    )
    return templates.get_template("page.html").render(study=TITLE, css=_html(css), **values)


def page_html(page: Page, pages: Sequence[Page], run: str) -> str:
    """The whole page of a notebook, with ways to the pages before and after it.

    ``run`` is the line, plain text, that says which run the page reports.
    """
    at = pages.index(page)
    return _render(
        title=page.title,
        home=INDEX,
        contents=_contents(page.body),
        body=_html(page.body),
        code=page.code,
        before=pages[at - 1] if at else None,
        after=pages[at + 1] if at + 1 < len(pages) else None,
        run=run,
    )


def text_page(
    title: str,
    markdown: str,
    run: str,
    home: str = "",
    pictures: Mapping[str, bytes] | None = None,
    sheet: bool = False,
) -> str:
    """A page that is no notebook's, from its text in Markdown.

    ``home`` is the front page; ``pictures`` are the PNG files that the text shows, by their place;
    ``sheet`` sets it to be printed on one sheet of paper.
    """
    body = text_html(markdown)
    for place, content in (pictures or {}).items():
        data = base64.b64encode(content).decode()
        body = body.replace(f'src="{place}"', f'src="data:image/png;base64,{data}"')
    return _render(title=title, body=_html(body), run=run, home=home, sheet=sheet)
