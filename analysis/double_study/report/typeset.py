"""Set text for pages: templates filled in, Markdown as HTML, suits in their colours."""

import re
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from nbconvert.filters import markdown2html

from double_study.cards.notation import with_suits
from double_study.datapackage import TABLES_FOLDER
from double_study.escape import markdown
from double_study.table_format import markdown_table
from double_study.tables import TABLE_FILES
from double_study.tabulation import Table

FOLDER = Path(__file__).parent / "templates"
TEMPLATES = Environment(
    loader=FileSystemLoader(FOLDER),
    # In Markdown, names from outside are escaped where they are filled in.
    autoescape=select_autoescape(["html"]),
    trim_blocks=True,
    lstrip_blocks=True,
    undefined=StrictUndefined,
)
TEMPLATES.filters["markdown"] = markdown
TEMPLATES.globals["markdown_table"] = markdown_table

_NUMBER = r"[-−+]?\d[\d,.]*(?:e[-+]\d+)?%?"
_INTERVAL = re.compile(rf"\(({_NUMBER}) to ({_NUMBER})\)")


def filled(template: str, **values: object) -> str:
    """Return a template in Markdown with its values filled in."""
    return TEMPLATES.get_template(f"{template}.md").render(values).strip()


def text_html(markdown: str) -> str:
    """Return Markdown as HTML: headings with anchors, table files as links, suits coloured.

    An interval stays on one line.
    """
    html = re.sub(r'<a class="anchor-link".*?</a>', "", markdown2html(markdown))
    for file in TABLE_FILES:
        name = f"<code>{file.path}</code>"
        html = html.replace(name, f'<a href="{table_link(file)}">{name}</a>')
    return with_suits(_INTERVAL.sub(r"(\1&nbsp;to&nbsp;\2)", html))


def table_link(file: Table) -> str:
    return f"{TABLES_FOLDER}/{file.path}"
