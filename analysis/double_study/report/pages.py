"""Turn an executed notebook into a page: self-contained, printable, with the code folded."""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any

from jupyter_core.paths import jupyter_path
from nbconvert.exporters import TemplateExporter
from nbformat import NotebookNode
from nbformat.v4 import new_markdown_cell, new_notebook
from traitlets.config import Config

from double_study import escape
from double_study.cards.notation import with_suits
from double_study.errors import Failure
from double_study.report.cite import TITLE
from double_study.report.typeset import FOLDER, text_html
from double_study.tables import TABLE_FILES
from double_study.tabulation import Table

INDEX = "index.html"
FIGURES_FOLDER = "figures"
_PICTURES = {"image/svg+xml": "svg", "image/png": "png"}
_SHOWN = [
    "application/vnd.jupyter.widget-view+json",
    *_PICTURES,
    "text/markdown",
    "text/html",
    "text/plain",
]
"""The formats of a result, the one that a page prefers first."""


@dataclass(frozen=True)
class Page:
    """One executed notebook; ``name`` is its file name without the ending."""

    name: str
    notebook: NotebookNode

    @property
    def file(self) -> str:
        return f"{self.name}.html"

    @cached_property
    def title(self) -> str:
        if found := re.search(r"^# (.+)", self._text, re.M):
            return found[1].strip()
        raise Failure(f"notebook {self.name} has no title; its first cell must begin with '# '")

    @cached_property
    def question(self) -> str:
        """The paragraph under the title, in one line: the question of the page."""
        found = re.search(r"^# [^\n]+\n\s*([^#\s].*?)(?:\n\s*\n|\Z)", self._text, re.S | re.M)
        if not found:
            raise Failure(
                f"notebook {self.name} has no question under its title; add a paragraph there"
            )
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
                    if "text/markdown" in _data(output):
                        return str(output.data["text/markdown"]).strip().split("\n\n")[0]
        return ""

    @cached_property
    def tables(self) -> list[Table]:
        """The table files that the notebook's text names: those behind its numbers."""
        return [file for file in TABLE_FILES if f"`{file.path}`" in self._text]

    @cached_property
    def _text(self) -> str:
        return "\n\n".join(c.source for c in self.notebook.cells if c.cell_type == "markdown")

    @cached_property
    def outputs(self) -> list[tuple[int, NotebookNode]]:
        """Every output with the number of its cell, counted from 1."""
        cells = enumerate(self.notebook.cells, start=1)
        return [(number, output) for number, cell in cells for output in cell.get("outputs", ())]

    @property
    def _drawn(self) -> list[tuple[int, NotebookNode]]:
        return [shown for shown in self.outputs if not _PICTURES.keys().isdisjoint(_data(shown[1]))]

    @cached_property
    def figures(self) -> dict[str, bytes]:
        """Every figure in every form it has, by its file: page, number on it, ending."""
        files: dict[str, bytes] = {}
        for number, (_, output) in enumerate(self._drawn, start=1):
            for kind, ending in _PICTURES.items():
                if data := output.data.get(kind):  # PNG in base 64, SVG as text
                    content = base64.b64decode(data) if ending == "png" else data.encode()
                    files[f"{FIGURES_FOLDER}/{self.name}_{number}.{ending}"] = content
        return files

    @property
    def pictures(self) -> list[tuple[str, str]]:
        """Every figure that is a PNG: its file and its words, in order."""
        names = [name for name in self.figures if name.endswith(".png")]
        drawn = [output for _, output in self._drawn if "image/png" in output.data]
        words = [output.metadata.get("image/png", {}).get("alt", "") for output in drawn]
        return list(zip(names, words, strict=True))

    def html(self, pages: Sequence[Page], run: str) -> str:
        """Return the whole page of a notebook, with links to the pages before and after it.

        ``run`` is the line, plain text, that says which run the page reports. Raises
        :class:`Failure` for a figure without alternative text.
        """
        for number, output in self._drawn:
            shown = _PICTURES.keys() & output.data.keys()
            if not all(output.metadata.get(kind, {}).get("alt") for kind in shown):
                raise Failure(
                    f"notebook {self.name}, cell {number}: a picture has no alternative text; show it "
                    "with plots.show"
                )
        at = pages.index(self)
        before, after = pages[max(at - 1, 0) : at], pages[at + 1 : at + 2]
        return _exported(
            self.notebook,
            title=self.title,
            home=INDEX,
            before=[(page.file, page.title) for page in before],
            after=[(page.file, page.title) for page in after],
            run=run,
        )


def _data(output: NotebookNode) -> Mapping[str, Any]:
    return output.get("data", {})


_FOLDED = "The words used", "The method", "The exact check", "The limits", "Further reading"
"""Sections that a page shows folded."""


def _folded(body: str) -> str:
    """Fold the last sections of a page, each behind its heading."""

    def fold(found: re.Match[str]) -> str:
        if found[2] not in _FOLDED:
            return found[0]
        return f"<details><summary>{found[1]}</summary>{found[3]}</details>\n"

    return re.sub(r"(<h2 id=.*?>(.*?)</h2>)(.*?)(?=<h2 id=|\Z)", fold, body, flags=re.S)


def _exported(notebook: NotebookNode, **values: Any) -> str:
    """Return a notebook rendered by the template of the study's pages, which lists the ``values``."""
    css = (FOLDER / "page.css").read_text(encoding="utf-8")
    html, _ = _exporter().from_notebook_node(notebook, {"study": TITLE, "css": css, **values})
    return str(html)


@cache
def _exporter() -> TemplateExporter:
    """Return what renders a page. It is cached, because a new one compiles the templates again."""
    return TemplateExporter(
        template_file="page.html",
        # Only the study's own template and those that came with Jupyter, whatever folder it is run in.
        template_paths=[str(FOLDER), *jupyter_path("nbconvert", "templates")],
        filters={
            # the anchor and the text of every second-level heading
            "contents": re.compile(r'<h2 id="([^"]+)">(.*?)</h2>', re.S).findall,
            "escape": escape.html,
            "folded": _folded,
            "text_html": text_html,
            "with_suits": with_suits,
        },
        config=Config({"NbConvertBase": {"display_data_priority": _SHOWN}}),
    )


def text_page(
    title: str,
    markdown: str,
    run: str,
    home: str = "",
    pictures: Mapping[str, bytes] | None = None,
    sheet: bool = False,
    label: str = "",
) -> str:
    """Return a page that is no notebook's, from its text in Markdown.

    ``home`` is the front page, or the page above with its ``label``; ``pictures`` are those that the
    text may show, by their files; ``sheet`` sets it to be printed on one sheet of paper.
    """
    text = new_notebook(cells=[new_markdown_cell(markdown)])
    html = _exported(text, title=title, run=run, home=home, sheet=sheet, label=label)
    for place, content in (pictures or {}).items():
        data = base64.b64encode(content).decode()
        html = html.replace(f'src="{place}"', f'src="data:image/png;base64,{data}"')
    return html
