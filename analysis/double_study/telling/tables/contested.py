"""What the other side does over the double and over a pass, and what becomes of our side's plans."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE, PASS
from double_study.columns import COLUMNS, typed
from double_study.counting.counts import CONTRACTS, PENALTIES
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.telling.tables.counted import doubles
from double_study.telling.tables.partner import FOUND, fit_outcomes
from double_study.telling.tables.shares import share_of, shares, with_facts
from double_study.telling.tables.table_file import TableFile

HAD, OPENER_BIDS, PASSED_OUT, ADVANCER_BIDS = COLUMNS["penalty"].names
_OUR_SUITS = ("game", "part_score_fit", "part_score_no_fit")


def advancer_calls(run: Run) -> pd.DataFrame:
    """The advancer's calls over the double, as shares of the doubles at a level of the overcall."""
    return shares(_doubles(run), ["level", "advancer"], within=["level"])


def answers_by_advancer(run: Run) -> pd.DataFrame:
    """The opener's answers by level and advancer's call, as shares of the doubles with the two."""
    by = ["level", "advancer"]
    return shares(_doubles(run), [*by, "answer"], within=by)


def ways_to_contract(run: Run) -> pd.DataFrame:
    """All doubles by advancer's call, opener's answer and final contract, as shares of them all."""
    return shares(doubles(run), ["advancer", "answer", "final_contract"])


def contracts(run: Run) -> pd.DataFrame:
    """Final contracts with declarer and level of the last bid, by level and advancer's call.

    The shares are of the doubles at a level of the overcall with one call of the advancer's;
    auctions that are not followed to their end are among them.
    """
    by = ["level", "advancer"]
    cells = run.tally.frame(CONTRACTS)
    return shares(cells, [*by, "declarer", "final_contract", "last_level"], within=by)


def fits_by_advancer(run: Run) -> pd.DataFrame:
    """Whether a fit was there and found, and the level of the last bid, by advancer's call.

    The shares are of all doubles with one call of the advancer's.
    """
    return shares(fit_outcomes(run), ["advancer", "outcome", "last_level"], within=["advancer"])


def trumps_by_level(run: Run) -> pd.DataFrame:
    """Our side's final contracts in a suit by level of the last bid and trumps.

    The shares are of our contracts in a suit at the level, so that they say how often the three
    level is played on nine trumps.
    """
    cells = run.tally.frame(CONTRACTS)
    ours = cells[cells["final_contract"].isin(_OUR_SUITS)]
    return shares(ours, ["last_level", "trumps"], within=["last_level"])


def penalties(run: Run) -> pd.DataFrame:
    """What becomes of the penalties that a double would have gone for, by level and length.

    Hands are those that would pass to defend if four cards were enough, by their cards in the suit
    overcalled; shares are of those at a level with so many cards. Beside them stands how often one
    partnership meets each.
    """
    cells = with_facts(run.tally.frame(PENALTIES), run.agreement, "level")
    advancer, opener = cells["advancer"], cells["reopening"]
    cells["penalty"] = np.select(
        [advancer != PASS, opener == DOUBLE, opener == PASS],
        [ADVANCER_BIDS, HAD, PASSED_OUT],
        default=OPENER_BIDS,
    )
    by = ["level", "cards_in_theirs"]
    table = shares(typed(cells, "penalty"), [*by, "penalty"], within=by)
    return with_sessions(table, run.tally.deals)


def declarers(run: Run) -> pd.DataFrame:
    """Who plays, and what, of all doubles."""
    return shares(contracts(run), ["declarer", "final_contract"])


def found_by_advancer(run: Run) -> pd.DataFrame:
    """Fits found by advancer's call: the share of all its doubles, none left out."""
    table = fits_by_advancer(run)
    return share_of(table, table["outcome"] == FOUND, ["advancer"])


def two_kinds(run: Run) -> pd.DataFrame:
    """Final contracts of the undisturbed and of the contested auctions, each by themselves."""
    return shares(doubles(run), ["advancer", "final_contract"], within=["advancer"])


def penalties_at_all_levels(run: Run) -> pd.DataFrame:
    """What becomes of the penalties at all levels together, by cards in their suit."""
    table = penalties(run)
    by = ["cards_in_theirs"]
    return with_sessions(shares(table, [*by, "penalty"], within=by), run.tally.deals)


def _doubles(run: Run) -> pd.DataFrame:
    return with_facts(doubles(run), run.agreement, "level")


CONTESTED_FILES = (
    TableFile(
        "advancer_calls",
        "The advancer's calls over the double, by level of the overcall",
        advancer_calls,
        ("level", "advancer"),
    ),
    TableFile(
        "answers_by_advancer",
        "The opener's answers to the double, by level and advancer's call",
        answers_by_advancer,
        ("level", "advancer", "answer"),
    ),
    TableFile(
        "ways_to_contract",
        "All doubles by advancer's call, opener's answer and final contract",
        ways_to_contract,
        ("advancer", "answer", "final_contract"),
    ),
    TableFile(
        "contracts",
        "Final contracts with declarer and level of the last bid, by level and advancer's call",
        contracts,
        ("level", "advancer", "declarer", "final_contract", "last_level"),
    ),
    TableFile(
        "fits_by_advancer",
        "Whether a fit was there, whether it was found and how high, by advancer's call",
        fits_by_advancer,
        ("advancer", "outcome", "last_level"),
    ),
    TableFile(
        "trumps_by_level",
        "Our side's contracts in a suit by level of the last bid and trumps",
        trumps_by_level,
        ("last_level", "trumps"),
    ),
    TableFile(
        "penalties",
        "Penalties had and lost, by level and cards in their suit",
        penalties,
        ("level", "cards_in_theirs", "penalty"),
    ),
)
"""The table files of this module."""
