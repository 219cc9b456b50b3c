"""What partner holds opposite the double, what it answers, and the final contract."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.columns import Dimension, typed
from double_study.counting.counts import (
    BEST_FITS,
    BOTH_HCP,
    CONTRACTS,
    IN_FIT,
    LANDING_POINTS,
    LAST_LEVEL,
    LONGEST_FIT,
    OVER_TRUMPS,
    PROMISED,
    SPADE_RAISES,
    SPADES_OF_OPENER,
    TRUMPS,
)
from double_study.counting.run import Run
from double_study.counting.tally import DEALS
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import FINAL_CONTRACT, FIT_TRUMPS, THEIR_CONTRACT
from double_study.rules.terms import (
    LEVEL,
    MESSAGE,
    OPENER_CARDS,
    OPENER_HOLDS,
    OPENING_BID,
    RESPONDER_CARDS,
    opener_holds,
)
from double_study.telling.tables.counted import doubles
from double_study.telling.tables.shares import averages, share_of, shares, with_facts

OUTCOME = Dimension(
    "outcome",
    "outcome",
    "Whether a fit of eight cards was there, and whether it was found.",
    {
        "fit_found": "a fit, and found",
        "fit_missed": "a fit, but another suit played",
        "fit_but_notrump": "a fit, but notrump played",
        "no_fit_in_suit": "no fit, a suit played",
        "no_fit_in_notrump": "no fit, notrump played",
        "fit_but_theirs": "a fit, but their contract",
        "no_fit_theirs": "no fit, their contract",
        "defended": FINAL_CONTRACT.wordings["defended"],
        "goes_on": FINAL_CONTRACT.wordings["goes_on"],
    },
)
FOUND, MISSED, LEFT, NO_FIT, NO_FIT_NOTRUMP, LOST, NO_FIT_THEIRS, DEFENDED, GOES_ON = OUTCOME.names
OPENER_SPADES = Dimension(
    "opener_spades", "opener's spades", "The opener's spades.", OPENER_HOLDS.wordings
)
_IN_SUIT = ("game", "part_score_fit", "part_score_no_fit")
_IN_NOTRUMP = ("three_notrump", "notrump_part_score")


def opener_lengths(run: Run) -> pd.DataFrame:
    """Opener's cards in its longest promised suit, by message, as shares of the message's doubles."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, MESSAGE)
    return shares(cells, [MESSAGE, OPENER_CARDS], within=[MESSAGE])


def promised_fits(run: Run) -> pd.DataFrame:
    """By message and level: how often the two hands have eight cards in opener's promised suit."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, MESSAGE, LEVEL)
    fit = cells[RESPONDER_CARDS] + cells[OPENER_CARDS] >= FIT_TRUMPS
    return share_of(cells, fit, [MESSAGE, LEVEL])


def answers(run: Run) -> pd.DataFrame:
    """The opener's answers by message, as shares of the message's doubles."""
    return shares(doubles(run), [MESSAGE, ANSWER_GIVEN], within=[MESSAGE])


def final_contracts(run: Run) -> pd.DataFrame:
    """The final contract by level of the overcall, as shares of the level's doubles."""
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    return shares(cells, [LEVEL, FINAL_CONTRACT], within=[LEVEL])


def fits(run: Run) -> pd.DataFrame:
    """By level of the overcall: whether a fit of eight cards was there, and whether it was found.

    ``outcome`` is ``fit_found`` (a contract in a suit of eight trumps or more), ``fit_missed`` (in a
    suit of fewer, though another suit has eight), ``fit_but_notrump`` (in notrump, though a suit
    has eight), ``fit_but_theirs`` (the other side plays, though a suit has eight),
    ``no_fit_in_suit``, ``no_fit_in_notrump`` and ``no_fit_theirs`` (no suit has eight), ``defended``
    or ``goes_on``.
    """
    return shares(fit_outcomes(run), [LEVEL, OUTCOME], within=[LEVEL])


def fit_outcomes(run: Run) -> pd.DataFrame:
    """The doubles with the ``outcome`` that :func:`fits` tells, by level and advancer's call."""
    cells = run.tally.frame(BEST_FITS)
    contract, there = cells[FINAL_CONTRACT], cells[LONGEST_FIT] >= FIT_TRUMPS
    suit, notrump = contract.isin(_IN_SUIT), contract.isin(_IN_NOTRUMP)
    theirs = contract == FINAL_CONTRACT.names[THEIR_CONTRACT]
    cells[OUTCOME] = np.select(
        [
            *(suit & (cells[IN_FIT] == 1), suit & there, suit),
            *(notrump & there, notrump, theirs & there, theirs),
        ],
        [FOUND, MISSED, NO_FIT, LEFT, NO_FIT_NOTRUMP, LOST, NO_FIT_THEIRS],
        default=contract.astype(object),
    )
    return typed(cells, OUTCOME)


def spade_raises(run: Run) -> pd.DataFrame:
    """After a minor, 1♥ and 1♠, which shows five: opener's spades and answer, by opening."""
    cells = run.tally.frame(SPADE_RAISES)
    cells = cells.assign(**OPENER_SPADES.filled(opener_holds(cells[SPADES_OF_OPENER])))
    return shares(cells, [OPENING_BID, OPENER_SPADES, ANSWER_GIVEN], within=[OPENING_BID])


def without_fit(run: Run) -> pd.DataFrame:
    """By level of the overcall and of the last bid: how often a suit without eight trumps is it.

    The share is of all doubles at that level of the overcall; auctions that go on are among them.
    """
    cells = run.tally.frame(CONTRACTS)
    bad = cells[FINAL_CONTRACT].isin(_IN_SUIT) & (cells[TRUMPS] < FIT_TRUMPS)
    table = shares(
        typed(cells.assign(**{OUTCOME: np.where(bad, NO_FIT, GOES_ON)}), OUTCOME),
        [LEVEL, OUTCOME, LAST_LEVEL],
        within=[LEVEL],
    )
    return table[table[OUTCOME] == NO_FIT].drop(columns=OUTCOME).reset_index(drop=True)


def over_trumps(run: Run) -> pd.DataFrame:
    """Part-scores in a suit: tricks bid above the combined trumps, by level of the overcall.

    0 is a bid at the level of the trumps, eight tricks on eight trumps; more is above what the rule
    of thumb calls safe. Beside the share of the part-scores: both hands' HCP, mean and quantiles.
    """
    cells = _part_scores(run)
    table = shares(cells, [LEVEL, OVER_TRUMPS], within=[LEVEL])
    points = averages(cells, [LEVEL, OVER_TRUMPS], BOTH_HCP).drop(columns=DEALS)
    return table.merge(points, on=[LEVEL, OVER_TRUMPS], validate="one_to_one")


def above_trumps(run: Run) -> pd.DataFrame:
    """By level of the overcall: part-scores in a suit that are above the level of the trumps.

    The share is of the level's part-scores in a suit; beside it both hands' HCP in those
    part-scores, all of them, mean and quantiles.
    """
    cells = _part_scores(run)
    table = share_of(cells, cells[OVER_TRUMPS] > 0, [LEVEL])
    points = averages(cells, [LEVEL], BOTH_HCP).drop(columns=DEALS)
    return table.merge(points, on=LEVEL, validate="one_to_one")


def _part_scores(run: Run) -> pd.DataFrame:
    cells = run.tally.frame(LANDING_POINTS)
    return cells[cells[FINAL_CONTRACT].isin(_IN_SUIT[1:])]
