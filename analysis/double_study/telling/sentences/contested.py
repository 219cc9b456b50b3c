"""Sentences about the fourth hand: what it does over the double, and where the hand is played then."""

from __future__ import annotations

import pandas as pd

from double_study.cards.bids import PASS
from double_study.columns import COLUMNS
from double_study.rules.settle import FIT_TRUMPS
from double_study.tables import Run, rows, share_where
from double_study.telling.sentences import in_words
from double_study.telling.sentences.phrases import about_doubles

_RAISES = ("strong_raise", "preemptive_raise", "raise")
_THREE, _NINE = 3, 9
_OUR_SIDE = ("opener", "responder")


def _share(table: pd.DataFrame, chosen: pd.Series, noun: str) -> str:
    """Those of ``table`` that are chosen, as a share in words."""
    return in_words.share(table.loc[chosen, "deals"].sum() / table["deals"].sum(), noun)


@about_doubles
def answer(run: Run) -> str:
    """The answer of the page in a paragraph."""
    table = run.table("ways_to_contract")
    ours = ["game", "three_notrump", "part_score_fit", "part_score_no_fit", "notrump_part_score"]
    parts = [
        f"**The fourth hand speaks over {_share(table, table['advancer'] != PASS, 'double')}.**",
    ]
    left, bid = (table[table["advancer"] == PASS], table[table["advancer"] != PASS])
    if len(left):
        parts.append(
            "Left alone, the pair plays the hand itself on "
            f"{_share(left, left['final_contract'].isin(ours), 'double')}."
        )
    if len(bid):
        parts.append(
            "Where the fourth hand bids, the pair plays the hand on "
            f"{_share(bid, bid['final_contract'].isin(ours), 'double')}. There the other side plays on "
            f"{_share(bid, bid['final_contract'] == 'their_contract', 'double')}."
        )
    return " ".join(parts)


@about_doubles
def ways_text(run: Run) -> str:
    """What the picture of all doubles shows."""
    table = run.table("ways_to_contract")
    silent = table[(table["advancer"] != PASS) & (table["answer"] == PASS)]
    bid = table[table["advancer"] != PASS]
    text = (
        "Each block is as high as its share of all doubles, and each band leads on to what came "
        "next."
    )
    if bid.empty:
        return text
    often = in_words.share(silent["deals"].sum() / bid["deals"].sum(), "time")
    return (
        f"{text} Over a bid of the fourth hand's the opener need not speak, and passes {often}. The "
        "responder is then on its own, with hands that a partner knows little of."
    )


@about_doubles
def advancer_text(run: Run) -> str:
    """What the fourth hand does, level by level."""
    table = run.table("advancer_calls")
    lines = []
    for level, part in table.groupby("level"):
        passes = _share(part, part["advancer"] == PASS, "double")
        raises = _share(part, part["advancer"].isin(_RAISES), "double")
        lines.append(
            f"- **Over level {level}** it passes {passes}, and raises its partner over {raises}."
        )
    return "\n".join(
        [
            *lines,
            "",
            "A raise on nine trumps is the one that takes most room away: it goes at once to the "
            "level of the trumps.",
        ]
    )


@about_doubles
def found_text(run: Run) -> str:
    """How often the fit is found, undisturbed and over a raise, and at what level."""
    table = run.table("fits_by_advancer")
    alone = table[table["advancer"] == PASS]
    raised = table[table["advancer"].isin(_RAISES)]
    parts = []
    for part, when in (
        (alone, "Where the fourth hand passes"),
        (raised, "Over a raise of any kind"),
    ):
        if part.empty:
            continue
        found = part[part["outcome"] == "fit_found"]
        parts.append(
            f"{when}, the pair plays in a fit of {FIT_TRUMPS} or more on "
            f"{_share(part, part['outcome'] == 'fit_found', 'double')}."
        )
        if len(found):
            high = _share(found, found["last_level"] >= _THREE, "fit")
            parts.append(f"The contract is at the three level or higher for {high}.")
    if len(raised):
        parts.append(
            "A fit is there, and the other side plays all the same, on "
            f"{_share(raised, raised['outcome'] == 'fit_but_theirs', 'double')} over a raise of any kind."
        )
    return " ".join(parts)


@about_doubles
def declarers_text(run: Run) -> str:
    """Who plays the hand in the end."""
    table = run.table("contracts")
    return (
        f"Our side plays {_share(table, table['declarer'].isin(_OUR_SIDE), 'double')}. The opener is "
        f"declarer on {_share(table, table['declarer'] == 'opener', 'double')}. The responder is on "
        f"{_share(table, table['declarer'] == 'responder', 'double')}. The overcaller plays "
        f"{_share(table, table['declarer'] == 'overcaller', 'double')}."
    )


@about_doubles
def trumps_text(run: Run) -> str:
    """Nine trumps and the three level."""
    table = run.table("trumps_by_level")
    at_three = table[table["last_level"] == _THREE]
    if at_three.empty:
        return "*No contract of our side's ended at the three level in a suit in this run.*"
    nine = share_where(at_three, at_three["trumps"] >= _NINE, ["last_level"])
    return (
        "A rule of thumb sends a pair to the three level on nine trumps. Of our contracts in a suit "
        f"at the three level, that holds for {_share(at_three, at_three['trumps'] >= _NINE, 'contract')}: "
        f"{COLUMNS['estimate'].rounded(rows(nine)[0])} have nine or more."
    )
