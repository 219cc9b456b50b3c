"""Make the pages of a report that do not come from notebooks: rules, author's page, changes.

Their text is in ``templates/*.md``; this module fills in the figures of a run.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from double_study.agreements.reader import differences
from double_study.columns import COLUMNS, Row, named
from double_study.combinatorics.table import exact_table
from double_study.counting.record import RunRecord, versions
from double_study.escape import markdown
from double_study.report.cite import Citation, figure, quotes
from double_study.report.pages import Page
from double_study.report.typeset import filled, table_link
from double_study.rules.explain import AFTER_THE_DOUBLE, RULE_TABLES, words
from double_study.rules.response import RESPONSE, above_ceiling_sentence
from double_study.rules.terms import sequence_wording
from double_study.shown import markdown_table
from double_study.sources import MODIFIED
from double_study.tables import DOUBLED, Run, Table
from double_study.tabulation import rows
from double_study.words import listed

AGREEMENT, AUTHOR_PAGE, CHANGES = "agreement", "author", "changes"
"""The pages' file names without the ending."""

_CHECK = "06_"
"""How the name of the page on the check begins."""


def text_pages(
    run: Run, pages: Sequence[Page], files: Sequence[Table]
) -> dict[str, tuple[str, str]]:
    """Return the title and the text of each page, by its file name without the ending.

    ``pages`` are the notebooks', ``files`` the tables that the report has on disk.
    """
    made: Mapping[str, Callable[[], str]] = {
        AGREEMENT: lambda: _agreement(run),
        AUTHOR_PAGE: lambda: _author(run, pages, files),
        CHANGES: lambda: _changes(run, files),
    }
    texts = {name: make() for name, make in made.items()}
    return {name: (text.partition("\n")[0].lstrip("# "), text) for name, text in texts.items()}


def _agreement(run: Run) -> str:
    by, used = run.agreement, run.table("rules")
    parts = []
    for table in RULE_TABLES:
        unplayed = table in AFTER_THE_DOUBLE and not by.response.double
        first = above_ceiling_sentence(by) if table is RESPONSE else ""
        heading = ["", "rule", "of the hands that come here"]
        lines = [
            [str(row["rule"]), f"**{row['rule_name']}.** {row['sentence']}", _use(row)]
            for row in rows(used, part=table.title)
        ]
        parts.append(
            {
                "title": table.title,
                "first": "Does not apply: the responder's double is not played."
                if unplayed
                else f"{first[:1].upper()}{first[1:]}." * bool(first),
                "rows": "" if unplayed else markdown_table([heading, *lines], right=[0, 2]),
            }
        )
    return filled(
        AGREEMENT,
        name=markdown(by.name),
        differences=[markdown(change) for change in differences(by)],
        words=words(by),
        parts=parts,
    )


def _use(row: Row) -> str:
    return figure(row["estimate"]) if row["of"] else "–"


def _author(run: Run, pages: Sequence[Page], files: Sequence[Table]) -> str:
    record = run.record
    exact = "" if record.exact else " --no-exact"
    return filled(
        AUTHOR_PAGE,
        quotes=list(quotes(run)),
        citation=Citation.of(record),
        made=made_by(record),
        precision=_precision(run),
        pages=pages,
        check=next((page.file for page in pages if page.name.startswith(_CHECK)), ""),
        tables=[{"link": linked(file), "title": file.title} for file in files],
        run=run_line(record, markdown),
        command=f"double-study report --deals {record.deals} --seed {record.seed}{exact}",
        versions=listed(f"{name} {version}" for name, version in versions().items()),
    )


def made_by(record: RunRecord) -> str:
    """Say which commit made the report, and where the report itself is."""
    if MODIFIED in record.commit or len(record.commit) != 40:
        return f"The files that made this report differ from every commit: {record.commit}."
    return (
        f"Commit {record.commit} made this report; the report itself is in the commit after it, because "
        "no commit can name itself."
    )


def linked(file: Table) -> str:
    """Return a table file's name as a link."""
    return f"[{file.path}]({table_link(file)})"


def run_line(record: RunRecord, shown: Callable[[str], str] = str) -> str:
    """Return which run a page reports, in one line; ``shown`` escapes what is not the study's own."""
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"“{shown(record.agreement.name)}”, commit {record.commit}."
    )


def _precision(run: Run) -> str:
    """Say how precise the counted figures are, and would be with other numbers of deals."""
    said = (
        "Exact figures have no interval. A counted figure has one, which ten times as many deals make "
        "three times narrower."
    )
    table = run.table("doubles_by_auction")
    table = table[table["of"] > 0]
    if table.empty:
        return said
    (doubled,) = rows(run.table("funnel"), step="doubled")
    _, low, high = COLUMNS["estimate"].columns
    widest = max(rows(table), key=lambda row: row[high] - row[low])
    return (
        f"{said} On {run.tally.deals:,} deals the double's share of the overcalls within its reach is "
        f"known to {_either_way(doubled, 'given')} either way. Among single auctions the share is known "
        f"least well after {sequence_wording(widest)}, to {_either_way(widest, 'estimate')} either way."
    )


def _either_way(row: Row, share: str) -> str:
    """Return half the width of a share's interval, in percentage points."""
    _, low, high = named(share).columns
    return f"{50 * (row[high] - row[low]):.2g} percentage points"


# --- what has changed ---

_BEFORE = {
    "doubles, of all deals": "3.76%",
    "doubles, of the suit overcalls within the double's reach": "21.1%",
    "the same at level 1": "23.9%",
    "the same at level 2": "16.7%",
    "the same at level 3": "17.8%",
    "doubles, of the overcalls after 1♦ (1♠)": "34.8%",
    "doubles when the dealer opens, of all deals, exact": "1.51%",
    "penalties collected, of the hands that pass with five good cards or more": "45.1%",
}
"""Figures of version 1.0, as its report had them."""
_NEW_TABLES = (
    *("rules", "auctions", "answers_by_auction", "combined_hcp", "checked_cells"),
    *("four_opposite_four", "claims", "agreements", "fits_unmentioned", "without_double"),
    *("no_longer_reached", "penalties_lost", "settings_moved"),
    *("settings_moved_exactly", "overcalls_above"),
)


def _changes(run: Run, files: Sequence[Table]) -> str:
    (last,) = rows(run.table("funnel"), step="doubled")
    levels = run.table("doubles_by_level")
    exact = exact_table(run.agreement, run.exact_calls).query(DOUBLED)["probability"]
    found = [
        *[_now([last], share) for share in ("estimate", "given")],
        *[_now(rows(levels, level=level)) for level in (1, 2, 3)],
        _now(rows(run.table("doubles_by_auction"), opening="1D", overcall="1S")),
        figure(exact.sum()) if len(exact) else "–",
        _now(
            rows(
                run.table("penalties_at_all_levels"), cards_in_theirs="five_or_more", penalty="had"
            )
        ),
    ]
    heading = ["share", "version 1.0", "this report"]
    figures = [[what, old, new] for (what, old), new in zip(_BEFORE.items(), found, strict=True)]
    return filled(
        CHANGES,
        version=versions()["study"],
        figures=markdown_table([heading, *figures], right=[1, 2]),
        new=listed(f"`{file.name}`" for file in files if file.name in _NEW_TABLES),
    )


def _now(found: Sequence[Row], share: str = "estimate") -> str:
    return next((figure(*(row[name] for name in named(share).columns)) for row in found), "–")
