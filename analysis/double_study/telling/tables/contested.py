"""What the other side does over the double and over a pass, and what becomes of our side's plans."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.cards.bids import DOUBLE, PASS
from double_study.columns import Dimension, typed
from double_study.counting.counts import CARDS_IN_THEIRS, CONTRACTS, LAST_LEVEL, PENALTIES, TRUMPS
from double_study.counting.run import Run
from double_study.counting.sessions import with_sessions
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import DECLARER, FINAL_CONTRACT
from double_study.rules.reopening import REOPENING_CALL
from double_study.rules.terms import LEVEL
from double_study.telling.tables.counted import doubles
from double_study.telling.tables.partner import FOUND, OUTCOME, fit_outcomes
from double_study.telling.tables.shares import share_of, shares, with_facts
from double_study.telling.tables.table_file import TableFile

PENALTY_OUTCOME = Dimension(
    "penalty",
    "the penalty",
    "What becomes of a penalty that the responder would double for, and passes.",
    {
        "had": "had: the opener reopens with a double",
        "opener_bids": "lost: the opener bids",
        "passed_out": "lost: the opener passes it out",
        "advancer_bids": "lost: the advancer bids",
    },
)
HAD, OPENER_BIDS, PASSED_OUT, ADVANCER_BIDS = PENALTY_OUTCOME.names
_OUR_SUITS = ("game", "part_score_fit", "part_score_no_fit")


def advancer_calls(run: Run) -> pd.DataFrame:
    """The advancer's calls over the double, as shares of the doubles at a level of the overcall."""
    return shares(_doubles(run), [LEVEL, ADVANCER_CALL], within=[LEVEL])


def answers_by_advancer(run: Run) -> pd.DataFrame:
    """The opener's answers by level and advancer's call, as shares of the doubles with the two."""
    by = [LEVEL, ADVANCER_CALL]
    return shares(_doubles(run), [*by, ANSWER_GIVEN], within=by)


def ways_to_contract(run: Run) -> pd.DataFrame:
    """All doubles by advancer's call, opener's answer and final contract, as shares of them all."""
    return shares(doubles(run), [ADVANCER_CALL, ANSWER_GIVEN, FINAL_CONTRACT])


def contracts(run: Run) -> pd.DataFrame:
    """Final contracts with declarer and level of the last bid, by level and advancer's call.

    The shares are of the doubles at a level of the overcall with one call of the advancer's;
    auctions that are not followed to their end are among them.
    """
    by = [LEVEL, ADVANCER_CALL]
    cells = run.tally.frame(CONTRACTS)
    return shares(cells, [*by, DECLARER, FINAL_CONTRACT, LAST_LEVEL], within=by)


def fits_by_advancer(run: Run) -> pd.DataFrame:
    """Whether a fit was there and found, and the level of the last bid, by advancer's call.

    The shares are of all doubles with one call of the advancer's.
    """
    return shares(fit_outcomes(run), [ADVANCER_CALL, OUTCOME, LAST_LEVEL], within=[ADVANCER_CALL])


def trumps_by_level(run: Run) -> pd.DataFrame:
    """Our side's final contracts in a suit by level of the last bid and trumps.

    The shares are of our contracts in a suit at the level, so that they say how often the three
    level is played on nine trumps.
    """
    cells = run.tally.frame(CONTRACTS)
    ours = cells[cells[FINAL_CONTRACT].isin(_OUR_SUITS)]
    return shares(ours, [LAST_LEVEL, TRUMPS], within=[LAST_LEVEL])


def penalties(run: Run) -> pd.DataFrame:
    """What becomes of the penalties that a double would have gone for, by level and length.

    Hands are those that would pass to defend if four cards were enough, by their cards in the suit
    overcalled; shares are of those at a level with so many cards. Beside them stands how often one
    partnership meets each.
    """
    cells = with_facts(run.tally.frame(PENALTIES), run.agreement, LEVEL)
    advancer, opener = cells[ADVANCER_CALL], cells[REOPENING_CALL]
    cells[PENALTY_OUTCOME] = np.select(
        [advancer != PASS, opener == DOUBLE, opener == PASS],
        [ADVANCER_BIDS, HAD, PASSED_OUT],
        default=OPENER_BIDS,
    )
    by = [LEVEL, CARDS_IN_THEIRS]
    table = shares(typed(cells, PENALTY_OUTCOME), [*by, PENALTY_OUTCOME], within=by)
    return with_sessions(table, run.tally.deals)


def declarers(run: Run) -> pd.DataFrame:
    """Who plays, and what, of all doubles."""
    return shares(contracts(run), [DECLARER, FINAL_CONTRACT])


def found_by_advancer(run: Run) -> pd.DataFrame:
    """Fits found by advancer's call: the share of all its doubles, none left out."""
    table = fits_by_advancer(run)
    return share_of(table, table[OUTCOME] == FOUND, [ADVANCER_CALL])


def two_kinds(run: Run) -> pd.DataFrame:
    """Final contracts of the undisturbed and of the contested auctions, each by themselves."""
    return shares(doubles(run), [ADVANCER_CALL, FINAL_CONTRACT], within=[ADVANCER_CALL])


def penalties_at_all_levels(run: Run) -> pd.DataFrame:
    """What becomes of the penalties at all levels together, by cards in their suit."""
    table = penalties(run)
    by = [CARDS_IN_THEIRS]
    return with_sessions(shares(table, [*by, PENALTY_OUTCOME], within=by), run.tally.deals)


def _doubles(run: Run) -> pd.DataFrame:
    return with_facts(doubles(run), run.agreement, LEVEL)


CONTESTED_FILES = (
    TableFile(
        "advancer_calls",
        "The advancer's calls over the double, by level of the overcall",
        advancer_calls,
        (LEVEL, ADVANCER_CALL),
    ),
    TableFile(
        "answers_by_advancer",
        "The opener's answers to the double, by level and advancer's call",
        answers_by_advancer,
        (LEVEL, ADVANCER_CALL, ANSWER_GIVEN),
    ),
    TableFile(
        "ways_to_contract",
        "All doubles by advancer's call, opener's answer and final contract",
        ways_to_contract,
        (ADVANCER_CALL, ANSWER_GIVEN, FINAL_CONTRACT),
    ),
    TableFile(
        "contracts",
        "Final contracts with declarer and level of the last bid, by level and advancer's call",
        contracts,
        (LEVEL, ADVANCER_CALL, DECLARER, FINAL_CONTRACT, LAST_LEVEL),
    ),
    TableFile(
        "fits_by_advancer",
        "Whether a fit was there, whether it was found and how high, by advancer's call",
        fits_by_advancer,
        (ADVANCER_CALL, OUTCOME, LAST_LEVEL),
    ),
    TableFile(
        "trumps_by_level",
        "Our side's contracts in a suit by level of the last bid and trumps",
        trumps_by_level,
        (LAST_LEVEL, TRUMPS),
    ),
    TableFile(
        "penalties",
        "Penalties had and lost, by level and cards in their suit",
        penalties,
        (LEVEL, CARDS_IN_THEIRS, PENALTY_OUTCOME),
    ),
)
"""The table files of this module."""
