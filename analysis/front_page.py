"""The front page of a report: the headline, what is in the folder, and how to cite it."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import Any

import pandas as pd

from analysis import cite
from analysis.cards import BOARDS_PER_SESSION, DOUBLE
from analysis.counts import CALL, SEAT
from analysis.estimates import CONFIDENCE, ESTIMATE, HIGH, LOW, per_session, with_intervals
from analysis.pages import INDEX, Page
from analysis.run import Run
from analysis.run_record import RunRecord, versions
from analysis.tables.counted import calls
from analysis.tables.files import RUN_FILE, TABLE_FILES, TABLES_FOLDER
from analysis.tally import DEALS


def run_line(record: RunRecord) -> str:
    """Which run a page reports, in one line."""
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"“{record.agreement.name}”, commit {record.commit}."
    )


def front_page(run: Run, pages: Sequence[Page]) -> str:
    """The front page in Markdown."""
    record = run.record
    parts = [
        f"# {cite.TITLE}",
        headline(run),
        "## The pages",
        "\n".join(f"- [{page.title}]({page.file}): {page.question}" for page in pages),
        "## What is in this folder",
        f"- [{INDEX}]({INDEX}) and the pages listed above: to be read on a screen or printed; "
        "each is one file that needs nothing else.\n"
        "- `figures/`: every figure of the pages as PNG and SVG, named after its page and its "
        "number on it.\n"
        f"- `{TABLES_FOLDER}/`: the tables as CSV, listed below, each column described in "
        f"[datapackage.json]({TABLES_FOLDER}/datapackage.json); [{RUN_FILE}]"
        f"({TABLES_FOLDER}/{RUN_FILE}) says how the run was made, down to every setting of the "
        "agreement.",
        "## The tables",
        "\n".join(
            f"- [{file.path}]({TABLES_FOLDER}/{file.path}): {file.title}." for file in TABLE_FILES
        ),
        "## How to cite",
        cite.citation(record),
        f"```bibtex\n{cite.bibtex(record)}\n```",
        "## The run",
        run_line(record) + " The same seed gives the same counts to the last deal: "
        f"`double-study report --deals {record.deals} --seed {record.seed}` with the settings in "
        f"[{RUN_FILE}]({TABLES_FOLDER}/{RUN_FILE}). Made with "
        + ", ".join(f"{name} {version}" for name, version in versions().items())
        + ".",
        "## What the figures do not say",
        "A frequency is a fact about the rules that the deals were bid by: ordinary modern "
        "five-card-major bidding, with no judgement, vulnerability or form of scoring. A "
        "partnership that bids differently gets its own figures by changing the settings. "
        "Whether and how an agreement must be announced or alerted is for the organiser's "
        "regulations.",
    ]
    return "\n\n".join(parts) + "\n"


def headline(run: Run) -> str:
    """How often the double arises, in a paragraph; true of whatever agreement the run was bid by."""
    counted = calls(run)
    doubled = counted.loc[counted[CALL] == DOUBLE, DEALS].sum()
    if not run.agreement.response.double:
        return (
            "By this agreement the responder's double is not played: the pages say what the "
            "responder does instead, and where they speak of the double they say that it does "
            "not apply."
        )
    cases = pd.DataFrame(
        {
            "case": [DEALS, CALL],
            DEALS: [doubled, doubled],
            "of": [run.tally.deals, counted[DEALS].sum()],
        }
    )
    of_deals, of_overcalls = with_intervals(cases, DEALS, "of").to_dict("records")
    # Each side opens on its share of the deals; either of the two partnerships may be the reader's.
    times = {key: float(per_session(of_deals[key] / 2)) for key in (ESTIMATE, LOW, HIGH)}
    return (
        f"**The responder's double comes up on {_percent(of_deals)} of all deals.** "
        f"For one partnership that is {times[ESTIMATE]:.2f} times in a session of "
        f"{BOARDS_PER_SESSION} boards ({times[LOW]:.2f} to {times[HIGH]:.2f}), or once in "
        f"{1 / times[ESTIMATE]:.1f} sessions. Once an opening of one of a suit has been overcalled "
        f"in a suit, the responder doubles on {_percent(of_overcalls)} of the hands. (Table: "
        f"[calls.csv]({TABLES_FOLDER}/calls.csv), column `{CALL}`, summed over `{SEAT}` and the "
        f"auction. In brackets: {CONFIDENCE:.0%} intervals by Wilson's method.)"
    )


def _percent(row: dict[Hashable, Any]) -> str:
    return f"{row[ESTIMATE]:.2%} ({row[LOW]:.2%} to {row[HIGH]:.2%})"
