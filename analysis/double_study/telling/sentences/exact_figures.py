"""Sentences about the exact figures of the double: how they are worked out, and how three chances differ."""

from __future__ import annotations

from double_study.columns import COLUMNS
from double_study.rules.terms import sequence_wording
from double_study.tables import Run
from double_study.telling.sentences.phrases import about_doubles


def exact_method(run: Run) -> str:
    """How the exact figure for the responder's calls is reached, for a reader who teaches bridge."""
    if not run.exact_calls:
        return (
            "The responder's calls can be worked out exactly as well, in less than a minute: the main "
            "command does it unless it is told `--no-exact`. This run goes without."
        )
    return (
        "How the responder's calls are worked out: three hands are looked at together, the opener's, "
        "the overcaller's and the responder's; the fourth takes the cards that are left. Take one "
        "suit. For every way to share its length among the hands, list the ways in which its "
        "honours can fall, and with each the points that every hand gets from it. Nothing is left "
        "to chance: each such case is a known number of ways to deal that suit.\n\n"
        "Then put the suits together, two and two. Whatever the rules ask of a hand, its shape, its "
        "points, a good suit, a stopper, can be read from these lists, so each combination either "
        "belongs to the auction or does not, and those that do are added up. The same rules that bid "
        "the dealt hands decide it. The sum, divided by the number of all deals, is the exact figure."
    )


@about_doubles
def exact_doubles_text(run: Run) -> str:
    """The exact table by auction, and how its three chances of the opener's cards differ."""
    if not run.exact_calls:
        return (
            "The exact figures by opening and overcall, and what the opener holds opposite the double, "
            "need the responder's calls worked out exactly. This run goes without, so the table is "
            "not shown."
        )
    table = run.table("exact_by_auction").sort_values("doubled", kind="stable")
    row = table.to_dict("records")[-1]
    said = (
        "Every figure here is exact, by these rules, for an opening in first seat. In number, more "
        f"doubles come after {sequence_wording(row)} than after any other auction: {COLUMNS['doubled'].of(row)} of "
        f"all deals. Of the overcalls "
        f"in that auction the responder doubles {COLUMNS['of_overcalls'].of(row)}.\n\n"
        "The last three columns are chances of one thing, that the opener has four or more cards in "
        "the promised suit. Where two suits are promised it is the longer of them. They differ in "
        "what is taken as known.\n"
        f"- **{COLUMNS['naive'].heading.capitalize()}**: the plain split that players quote. You look at four "
        "cards of your own in each promised suit, and at nothing else.\n"
        f"- **{COLUMNS['after_overcall'].heading.capitalize()}**: still your own four cards, but partner has opened "
        "and the next hand has overcalled. It is there where a single suit is promised.\n"
        f"- **{COLUMNS['given_double'].heading.capitalize()}**: the double has been made, and the responder may "
        "hold any hand that doubles by these rules. This is the figure for the convention as played."
    )
    single = table[table["after_overcall"].notna() & (table["doubled"] > 0)]
    if single.empty:
        return said
    row = single.to_dict("records")[-1]
    return (
        f"{said}\n\nTake {sequence_wording(row)}. The plain split says {COLUMNS['naive'].of(row)}. With the two "
        f"bids known it is {COLUMNS['after_overcall'].of(row)}. Opposite the double it is {COLUMNS['given_double'].of(row)}."
    )
