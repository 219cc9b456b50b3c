"""Make the pages of a report that do not come from notebooks: front page, rules, author's page, changes.

Their text is in ``templates/*.md``; this module fills in the figures of a run.
"""

from collections.abc import Callable, Sequence
from pathlib import Path

import pandas as pd

from double_study.agreements.reader import REFERENCE, condition, differences
from double_study.cards.bids import NOTRUMP
from double_study.cards.deal import HAND_CARDS
from double_study.checking.claims import ID, any_one_bid
from double_study.columns import COLUMNS, Row, named
from double_study.combinatorics.hands import N_HANDS, opening_ways
from double_study.combinatorics.table import exact_table
from double_study.combinatorics.two_hands import chance_of_holding
from double_study.counting.record import RunRecord, versions
from double_study.escape import markdown
from double_study.lessons.board import Board
from double_study.numbers_in_words import from_to, listed
from double_study.report.cite import TITLE, Citation, figure
from double_study.report.lesson_plan import answered_line, asked_line
from double_study.report.pages import Page
from double_study.report.typeset import filled, table_link
from double_study.rules.explain import AFTER_THE_DOUBLE, RULE_TABLES, glossary
from double_study.rules.response import RESPONSE, above_ceiling_sentence
from double_study.rules.terms import sequence_wording
from double_study.stats import with_intervals
from double_study.table_format import markdown_table
from double_study.tables import DOUBLED, SPECIFIED, Run
from double_study.tabulation import AUCTION, Table, rows

AGREEMENT, AUTHOR_PAGE, CHANGES = "agreement", "author", "changes"
"""The pages' file names without the ending."""


def text_pages(
    run: Run, pages: Sequence[Page], files: Sequence[Table]
) -> dict[str, tuple[str, str]]:
    """Return the title and the text of each page, by its file name without the ending.

    ``pages`` are the notebooks', ``files`` the tables that the report has on disk.
    """
    texts = {
        AGREEMENT: _agreement(run),
        AUTHOR_PAGE: _author(run, pages, files),
        CHANGES: _changes(run, files),
    }
    return {name: (text.partition("\n")[0].lstrip("# "), text) for name, text in texts.items()}


def _agreement(run: Run) -> str:
    by, used = run.agreement, run.table("rules")

    def rules(part: str) -> str:
        lines = [["", "rule", "of the hands that come here"]]
        for row in rows(used, part=part):
            use = figure(row["estimate"]) if row["of"] else "–"
            lines.append([str(row["rule"]), f"**{row['rule_name']}.** {row['sentence']}", use])
        return markdown_table(lines, right=[0, 2])

    return filled(
        AGREEMENT,
        name=markdown(by.name),
        differences=[markdown(change) for change in differences(by)],
        words=glossary(by),
        parts=RULE_TABLES,
        unplayed=() if by.response.double else AFTER_THE_DOUBLE,
        first={RESPONSE.title: above_ceiling_sentence(by)},
        rules=rules,
    )


def _author(run: Run, pages: Sequence[Page], files: Sequence[Table]) -> str:
    record = run.record
    exact = "" if record.exact else " --no-exact"
    counted = rows(run.table("doubles_by_auction").query("of > 0"))
    _, low, high = COLUMNS["estimate"].columns
    return filled(
        AUTHOR_PAGE,
        quotes=quotes(run),
        citation=Citation(record.as_dict()),
        record=record,
        doubled=rows(run.table("funnel"), step="doubled")[0],
        widest=max(counted, key=lambda row: row[high] - row[low], default=None),
        either_way=_either_way,
        auction=sequence_wording,
        pages=pages,
        check=next((page.file for page in pages if page.name.startswith("06_")), ""),
        tables=files,
        table_link=table_link,
        run=run_line(record, markdown),
        command=f"double-study report --deals {record.deals} --seed {record.seed}{exact}",
        versions=listed(f"{name} {version}" for name, version in versions().items()),
    )


def quotes(run: Run) -> list[tuple[str, str]]:
    """Return ten sentences to copy, each with what it does not say; fewer if a run lacks a case.

    A run without exact calls lacks three.
    """
    if not run.doubled:
        return []
    by, short = run.agreement, Citation(run.record.as_dict()).short
    exact = exact_table(by, run.exact_calls).query(DOUBLED)["probability"]
    cards = range(HAND_CARDS + 1)
    published = run.table("claims").set_index(ID)["published"]["claim.open.any one-bid"]

    def counted(row: Row, share: str = "estimate", part: float = 1) -> str:
        return figure(*(part * row[name] for name in named(share).columns))

    def most(table: str, column: str, among: str = "index >= 0") -> Sequence[Row]:
        return run.table(table).query(among).nlargest(1, column).to_dict("records")

    text = filled(
        "quotes",
        by=by,
        funnel=rows(run.table("funnel"), step="doubled")[0],
        dealer_doubles=exact.sum(),
        one_bids=any_one_bid(by),
        suit_bids=float(opening_ways(by)[1 : NOTRUMP + 1].sum() / N_HANDS),
        published=f"{float(published[:-1]):.1f}",
        dealt=[float(chance_of_holding(n, HAND_CARDS, HAND_CARDS, 3 * HAND_CARDS)) for n in cards],
        deals=run.tally.deals,
        counted=counted,
        figure=figure,
        most=most,
        where=lambda table, **where: rows(run.table(table), **where),
        auction=sequence_wording,
        opening=COLUMNS["opening"].of,
    )
    under = "" if by == REFERENCE else f"Under the agreement “{markdown(by.name)}” "
    said = [(quote[:1].lower() if under else quote[:1]) + quote[1:] for quote in text.split("\n\n")]
    pairs = (quote.split("\n") for quote in said)
    return [(f"{under}{sentence} {short}.", beware) for sentence, beware in pairs]


def run_line(record: RunRecord, shown: Callable[[str], str] = str) -> str:
    """Return which run a page reports, in one line; ``shown`` escapes what is not the study's own."""
    return (
        f"Run of {record.deals:,} deals, seed {record.seed}, agreement "
        f"“{shown(record.agreement.name)}”, commit {record.commit}."
    )


def _either_way(row: Row, share: str) -> str:
    """Return half the width of a share's interval, in percentage points."""
    _, low, high = named(share).columns
    return f"{50 * (row[high] - row[low]):.2g} percentage points"


def front_page(run: Run, pages: Sequence[Page], tables: Path, first: Board | None = None) -> str:
    """Return the front page in Markdown.

    ``tables`` is the folder of the report's tables, ``first`` the hand that the lesson begins with.
    """
    return filled(
        "front",
        title=TITLE,
        finding=pages[0].answer,
        how_far=_how_far(run, tables / SPECIFIED["agreements"].path),
        hand=first and (asked_line(first), answered_line(first)),
        decision=decision(run),
        pages=pages,
        named={page.name: page for page in pages},
        run=run_line(run.record, markdown),
        record=run.record,
    )


def _how_far(run: Run, file: Path) -> str:
    """Return how far the share of doubles depends on the agreement; empty if no page compared them."""
    if not file.exists() or not run.doubled:
        return ""
    _, *others = pd.read_csv(file).query("deals > 0").to_dict("records")
    others.sort(key=lambda row: row["share_of_deals"])
    ends = [
        f"{row['share_of_deals']:.1%} of all deals {markdown(condition(row['agreement']))}"
        for row in (others[0], others[-1])
    ]
    return from_to(*ends)


_COUNTED = "total points", "of these overcalls doubled", "doubles per 10,000 deals"


def decision(run: Run) -> str:
    """Return the decision by auction as a table: what the double shows, its points and frequency."""
    table = run.table("auctions").query("not above")
    counted = run.table("doubles_by_auction")[[*AUCTION, "deals", "of"]]
    table = table.merge(counted, on=list(AUCTION))
    if table.empty or not run.doubled:
        return ""
    by_topic = table.groupby("topic", observed=True)
    found = with_intervals(by_topic[["deals", "of"]].sum(), "deals", "of")
    found["asked"] = by_topic["asked"].agg(lambda needs: listed(map(str, sorted({*needs}))))
    lines = [["the bidding", "shows", *_COUNTED]]
    for topic, row in found.sort_values("deals", ascending=False).iterrows():
        often = f"{1e4 * row['deals'] / run.tally.deals:,.0f}"
        auctions_and_promise = COLUMNS["topic"].wording(topic).split(": ")
        lines.append([*auctions_and_promise, f"{row['asked']}+", figure(row["estimate"]), often])
    return markdown_table(lines, right=[2, 3, 4])


def _changes(run: Run, files: Sequence[Table]) -> str:
    exact = exact_table(run.agreement, run.exact_calls).query(DOUBLED)["probability"]

    def now(table: str, share: str = "estimate", **where: object) -> str:
        found = rows(run.table(table), **where)
        return next((figure(*(row[name] for name in named(share).columns)) for row in found), "–")

    return filled(
        CHANGES,
        version=versions()["study"],
        now=now,
        exact=figure(exact.sum()) if len(exact) else "–",
        listed=lambda names: listed(
            f"`{file.name}`" for file in files if file.name in names.split()
        ),
    )
