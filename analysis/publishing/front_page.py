"""The front page of a report: the headline, what is in the folder, and how to cite it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from analysis.counting.provenance import RunRecord, versions
from analysis.counting.run import Run
from analysis.publishing import cite
from analysis.publishing.doors import doors, linked, numbers_to_print
from analysis.publishing.page_html import INDEX, Page
from analysis.runtime.escape import markdown
from analysis.telling.sentences.how_often import precision_text
from analysis.telling.tables.datapackage import PACKAGE_FILE
from analysis.telling.tables.files import RUN_FILE, TABLE_FILES, TABLES_FOLDER

_LIMITS = (
    "A frequency is a fact about the rules that the deals were bid by: common practice written "
    "down, with no judgement, vulnerability or form of scoring. A partnership that bids differently "
    "gets its own figures by changing the settings. Whether and how an agreement must be announced "
    "or alerted is for the organiser's regulations."
)


def run_line(record: RunRecord, shown: Callable[[str], str] = str) -> str:
    """Which run a page reports, in one line; ``shown`` escapes what is not the study's own."""
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"“{shown(record.agreement.name)}”, commit {record.commit}."
    )


def front_page(run: Run, pages: Sequence[Page]) -> str:
    """The front page in Markdown: what each page found, as the run put it, the first as headline."""
    record = run.record
    settings = f"[{RUN_FILE}]({TABLES_FOLDER}/{RUN_FILE})"
    parts = [
        f"# {cite.TITLE}",
        pages[0].answer,
        *doors(run, pages),
        "## Numbers to print",
        numbers_to_print(pages),
        "## The pages",
        *(_finding(page) for page in pages),
        "## What is in this folder",
        f"- [{INDEX}]({INDEX}) and the pages named above: to be read on a screen or printed; each "
        "is one file that needs nothing else.\n"
        "- `figures/`: every figure of the pages as PNG and SVG, named after its page and its "
        "number on it.\n"
        f"- `{TABLES_FOLDER}/`: the tables as CSV, listed below, each column described in "
        f"[{PACKAGE_FILE}]({TABLES_FOLDER}/{PACKAGE_FILE}); {settings} says how the run was made, "
        "down to every setting of the agreement.",
        "## The tables",
        "\n".join(f"- {linked(file)}: {file.title}." for file in TABLE_FILES),
        "## How to cite",
        cite.citation(record),
        f"```bibtex\n{cite.bibtex(record)}\n```",
        "## The run",
        f"{run_line(record, markdown)} The same seed gives the same counts to the last deal: "
        f"`double-study report --deals {record.deals} --seed {record.seed}"
        f"{'' if record.exact else ' --no-exact'}` with the settings in {settings}. "
        f"Made with {', '.join(f'{n} {v}' for n, v in versions().items())}.",
        "## How near the numbers are",
        precision_text(run),
        "## What the numbers do not say",
        _LIMITS,
    ]
    return "\n\n".join(parts) + "\n"


def _finding(page: Page) -> str:
    """A page on the front page: its title and question, what it found, and the tables behind it."""
    parts = f"### [{page.title}]({page.file})", f"*{page.question}*", page.answer, _tables(page)
    return "\n\n".join(part for part in parts if part)


def _tables(page: Page) -> str:
    return f"Tables: {', '.join(map(linked, page.tables))}." if page.tables else ""
