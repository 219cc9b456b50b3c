"""The front page of a report, one screen: the finding, a hand to call on, the decision, three doors."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pandas as pd

from double_study.agreements.reader import condition
from double_study.columns import COLUMNS
from double_study.escape import markdown
from double_study.lessons.board import Board
from double_study.report import cite
from double_study.report.lesson_plan import PLAN, answered_line, asked_line
from double_study.report.pages import FIGURES_FOLDER, Page
from double_study.report.text_pages import AGREEMENT, AUTHOR_PAGE, CHANGES, made_by, run_line
from double_study.report.typeset import filled
from double_study.shown import markdown_table
from double_study.stats import with_intervals
from double_study.tables import SPECIFIED, Run
from double_study.tabulation import AUCTION
from double_study.words import from_to, listed

LESSON_PAGE = f"{PLAN}.html"
"""Where the lesson begins."""
_TEACHER, _AUTHOR, _PLAYER = "02_what_to_teach_first", "01_how_often", "09_ask_your_own"
"""The pages whose first pictures illustrate the doors; the player's door leads to the last one."""


def front_page(run: Run, pages: Sequence[Page], tables: Path, first: Board | None = None) -> str:
    """Return the front page in Markdown.

    ``tables`` is the folder of the report's tables, ``first`` the hand that the lesson begins with.
    """
    return filled(
        "front",
        title=cite.TITLE,
        finding=pages[0].answer,
        how_far=_how_far(run, tables / SPECIFIED["agreements"].path),
        hand=first and (asked_line(first), answered_line(first)),
        decision=decision(run),
        doors=list(doors(pages)),
        pages=pages,
        rules=f"{AGREEMENT}.html",
        changes=f"{CHANGES}.html",
        run=run_line(run.record, markdown),
        made=made_by(run.record),
    )


def _how_far(run: Run, file: Path) -> str:
    """Say how far the finding depends on the agreement; empty if no page compared agreements."""
    if not file.exists() or not run.doubled:
        return ""
    _, *others = pd.read_csv(file).query("deals > 0").to_dict("records")
    others.sort(key=lambda row: row["share_of_deals"])
    ends = [
        f"{row['share_of_deals']:.1%} of all deals {markdown(condition(row['agreement']))}"
        for row in (others[0], others[-1])
    ]
    return (
        "The figure depends on what both sides play: under the other agreements that come with the study, "
        f"it runs {from_to(*ends)}."
    )


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
    lines = []
    for topic, row in found.sort_values("deals", ascending=False).iterrows():
        auctions, shows = COLUMNS["topic"].wording(topic).split(": ")
        share = row["deals"] / run.tally.deals
        lines.append(
            [
                auctions,
                shows,
                f"{row['asked']}+",
                cite.figure(row["estimate"]),
                f"{1e4 * share:,.0f}",
            ]
        )
    heading = [
        "the bidding",
        "shows",
        "total points",
        "of these overcalls doubled",
        "doubles per 10,000 deals",
    ]
    return markdown_table([heading, *lines], right=[2, 3, 4])


@dataclass(frozen=True)
class Door:
    """A link from the front page; ``picture`` has the alternative text and the place of its picture."""

    title: str
    page: str
    text: str
    picture: dict[str, str]


def doors(pages: Sequence[Page]) -> Iterator[Door]:
    """Yield the three doors, each with a picture if its page has one."""
    named = {page.name: page for page in pages}
    player = named[_PLAYER].file if _PLAYER in named else f"{AGREEMENT}.html"
    for title, page, text, shown in (
        (
            "Teach it",
            LESSON_PAGE,
            "An hour's lesson, ready to give: plan, boards to play, answers and a handout.",
            _TEACHER,
        ),
        (
            "Cite it",
            f"{AUTHOR_PAGE}.html",
            "Sentences to copy, the reference, the complete rules, and files with every number.",
            _AUTHOR,
        ),
        (
            "Play with it",
            player,
            "Give a hand and an auction to get the call, its rule and the odds on partner's hand.",
            _PLAYER,
        ),
    ):
        yield Door(title, page, text, _picture(named.get(shown)))


def _picture(page: Page | None) -> dict[str, str]:
    if page is None or not page.pictures:
        return {}
    file, words = page.pictures[0]
    words = words.replace("[", "(").replace("]", ")").replace("\n", " ")
    return {"words": words, "place": f"{FIGURES_FOLDER}/{file}"}
