"""What partner holds opposite the double, what it answers, and where the auction comes to rest."""

from __future__ import annotations

import numpy as np
import pandas as pd

from analysis.bidding.final_contract import FIT_TRUMPS
from analysis.counting.auction_counts import (
    ANSWER_COLUMN,
    BEST_FITS,
    FEWER,
    LANDING_POINTS,
    LANDINGS,
    MANY,
    OPENER_CARDS,
    OPENING,
    PROMISED,
    REST_COLUMN,
    SPADE_RAISES,
    opener_holds,
)
from analysis.counting.run import Run
from analysis.counting.tally import DEALS
from analysis.telling.tables.columns import (
    LAST_LEVEL,
    LEVEL,
    MESSAGE,
    OPENER_SPADES,
    OUTCOME,
    OUTCOMES,
    OVER_TRUMPS,
)
from analysis.telling.tables.counted import doubles
from analysis.telling.tables.shares import averages, share_of, shares, with_facts

FOUND, MISSED, LEFT, NO_FIT, NO_FIT_NOTRUMP, DEFENDED, GOES_ON = OUTCOMES
_SUIT_RESTS = ("game", "part_score_fit", "part_score_no_fit")
_NOTRUMP_RESTS = ("three_notrump", "notrump_part_score")


def opener_lengths(run: Run) -> pd.DataFrame:
    """Opener's cards in its longest promised suit, by message, as shares of the message's doubles."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, MESSAGE)
    return shares(cells, [MESSAGE, OPENER_CARDS], within=[MESSAGE])


def promised_fits(run: Run) -> pd.DataFrame:
    """By message and level: how often the two hands have eight cards in opener's promised suit."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, MESSAGE, LEVEL)
    fit = cells["responder_cards"] + cells[OPENER_CARDS] >= FIT_TRUMPS
    return share_of(cells, fit, [MESSAGE, LEVEL])


def answers(run: Run) -> pd.DataFrame:
    """The opener's answers by message, as shares of the message's doubles."""
    return shares(doubles(run), [MESSAGE, ANSWER_COLUMN], within=[MESSAGE])


def rests(run: Run) -> pd.DataFrame:
    """Where the auction comes to rest by level of the overcall, as shares of the level's doubles."""
    cells = with_facts(doubles(run), run.agreement, LEVEL)
    return shares(cells, [LEVEL, REST_COLUMN], within=[LEVEL])


def fits(run: Run) -> pd.DataFrame:
    """By level of the overcall: whether a fit of eight cards was there, and whether it was found.

    ``outcome`` is ``fit_found`` (it rests in a suit of eight trumps or more), ``fit_missed`` (in a
    suit of fewer, though another suit has eight), ``fit_but_notrump`` (in notrump, though a suit
    has eight), ``no_fit_in_suit`` and ``no_fit_in_notrump`` (no suit has eight), ``defended`` or
    ``goes_on``.
    """
    cells = with_facts(run.tally.frame(BEST_FITS), run.agreement, LEVEL)
    rest, there = cells[REST_COLUMN], cells["longest_fit"] >= FIT_TRUMPS
    suit, notrump = rest.isin(_SUIT_RESTS), rest.isin(_NOTRUMP_RESTS)
    cells[OUTCOME] = np.select(
        [suit & (cells["in_fit"] == 1), suit & there, suit, notrump & there, notrump],
        [FOUND, MISSED, NO_FIT, LEFT, NO_FIT_NOTRUMP],
        default=rest,
    )
    return shares(cells, [LEVEL, OUTCOME], within=[LEVEL])


def spade_raises(run: Run) -> pd.DataFrame:
    """After a minor, 1♥ and 1♠, which shows five: opener's spades and answer, by opening."""
    cells = run.tally.frame(SPADE_RAISES)
    held = np.clip(cells["opener_spades"], FEWER, MANY) - FEWER
    cells[OPENER_SPADES] = [opener_holds.labels[code][0] for code in held]
    return shares(cells, [OPENING, OPENER_SPADES, ANSWER_COLUMN], within=[OPENING])


def without_fit(run: Run) -> pd.DataFrame:
    """By level of the overcall and of the last bid: how often a suit without eight trumps is it.

    The share is of all doubles at that level of the overcall; auctions that go on are among them.
    """
    cells = run.tally.frame(LANDINGS).rename(columns={LEVEL: LAST_LEVEL})
    cells = with_facts(cells, run.agreement, LEVEL)
    bad = cells[REST_COLUMN].isin(_SUIT_RESTS) & (cells["trumps"] < FIT_TRUMPS)
    table = shares(
        cells.assign(**{OUTCOME: np.where(bad, NO_FIT, GOES_ON)}),
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
    points = averages(cells, [LEVEL, OVER_TRUMPS], "combined_hcp").drop(columns=DEALS)
    return table.merge(points, on=[LEVEL, OVER_TRUMPS], validate="one_to_one")


def above_trumps(run: Run) -> pd.DataFrame:
    """By level of the overcall: part-scores in a suit that are above the level of the trumps.

    The share is of the level's part-scores in a suit; beside it both hands' HCP in those
    part-scores, all of them, mean and quantiles.
    """
    cells = _part_scores(run)
    table = share_of(cells, cells[OVER_TRUMPS] > 0, [LEVEL])
    points = averages(cells, [LEVEL], "combined_hcp").drop(columns=DEALS)
    return table.merge(points, on=LEVEL, validate="one_to_one")


def _part_scores(run: Run) -> pd.DataFrame:
    cells = run.tally.frame(LANDING_POINTS)
    return cells[cells[REST_COLUMN].isin(_SUIT_RESTS[1:])]
