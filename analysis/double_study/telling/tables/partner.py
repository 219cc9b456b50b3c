"""What partner holds opposite the double, what it answers, and the final contract."""

from __future__ import annotations

import numpy as np
import pandas as pd

from double_study.columns import COLUMNS, typed
from double_study.counting.counts import (
    BEST_FITS,
    CONTRACTS,
    LANDING_POINTS,
    PROMISED,
    SPADE_RAISES,
)
from double_study.counting.run import Run
from double_study.rules.contested_end import FIT_TRUMPS, THEIR_CONTRACT
from double_study.rules.terms import (
    opener_holds,
)
from double_study.telling.tables.counted import doubles
from double_study.telling.tables.shares import averages, share_of, shares, with_facts

FOUND, MISSED, LEFT, NO_FIT, NO_FIT_NOTRUMP, LOST, NO_FIT_THEIRS, DEFENDED, GOES_ON = COLUMNS[
    "fit_outcome"
].names
_IN_SUIT = ("game", "part_score_fit", "part_score_no_fit")
_IN_NOTRUMP = ("three_notrump", "notrump_part_score")


def opener_lengths(run: Run) -> pd.DataFrame:
    """Opener's cards in its longest promised suit, by message, as shares of the message's doubles."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, "message")
    return shares(cells, ["message", "opener_cards"], within=["message"])


def promised_fits(run: Run) -> pd.DataFrame:
    """By message and level: how often the two hands have eight cards in opener's promised suit."""
    cells = with_facts(run.tally.frame(PROMISED), run.agreement, "message", "level")
    fit = cells["responder_cards"] + cells["opener_cards"] >= FIT_TRUMPS
    return share_of(cells, fit, ["message", "level"])


def answers(run: Run) -> pd.DataFrame:
    """The opener's answers by message, as shares of the message's doubles."""
    return shares(doubles(run), ["message", "answer"], within=["message"])


def final_contracts(run: Run) -> pd.DataFrame:
    """The final contract by level of the overcall, as shares of the level's doubles."""
    cells = with_facts(doubles(run), run.agreement, "level")
    return shares(cells, ["level", "final_contract"], within=["level"])


def fits(run: Run) -> pd.DataFrame:
    """By level of the overcall: whether a fit of eight cards was there, and whether it was found.

    ``outcome`` is ``fit_found`` (a contract in a suit of eight trumps or more), ``fit_missed`` (in a
    suit of fewer, though another suit has eight), ``fit_but_notrump`` (in notrump, though a suit
    has eight), ``fit_but_theirs`` (the other side plays, though a suit has eight),
    ``no_fit_in_suit``, ``no_fit_in_notrump`` and ``no_fit_theirs`` (no suit has eight), ``defended``
    or ``goes_on``.
    """
    return shares(fit_outcomes(run), ["level", "outcome"], within=["level"])


def fit_outcomes(run: Run) -> pd.DataFrame:
    """The doubles with the ``outcome`` that :func:`fits` tells, by level and advancer's call."""
    cells = run.tally.frame(BEST_FITS)
    contract, there = cells["final_contract"], cells["longest_fit"] >= FIT_TRUMPS
    suit, notrump = contract.isin(_IN_SUIT), contract.isin(_IN_NOTRUMP)
    theirs = contract == COLUMNS["final_contract"].names[THEIR_CONTRACT]
    cells["outcome"] = np.select(
        [
            *(suit & (cells["in_fit"] == 1), suit & there, suit),
            *(notrump & there, notrump, theirs & there, theirs),
        ],
        [FOUND, MISSED, NO_FIT, LEFT, NO_FIT_NOTRUMP, LOST, NO_FIT_THEIRS],
        default=contract.astype(object),
    )
    return typed(cells, "fit_outcome")


def spade_raises(run: Run) -> pd.DataFrame:
    """After a minor, 1♥ and 1♠, which shows five: opener's spades and answer, by opening."""
    cells = run.tally.frame(SPADE_RAISES)
    cells = cells.assign(
        **COLUMNS["opener_spades_held"].filled(opener_holds(cells["opener_spades"]))
    )
    return shares(cells, ["opening", "opener_spades", "answer"], within=["opening"])


def without_fit(run: Run) -> pd.DataFrame:
    """By level of the overcall and of the last bid: how often a suit without eight trumps is it.

    The share is of all doubles at that level of the overcall; auctions that go on are among them.
    """
    cells = run.tally.frame(CONTRACTS)
    bad = cells["final_contract"].isin(_IN_SUIT) & (cells["trumps"] < FIT_TRUMPS)
    table = shares(
        typed(cells.assign(outcome=np.where(bad, NO_FIT, GOES_ON)), "fit_outcome"),
        ["level", "outcome", "last_level"],
        within=["level"],
    )
    return table[table["outcome"] == NO_FIT].drop(columns="outcome").reset_index(drop=True)


def over_trumps(run: Run) -> pd.DataFrame:
    """Part-scores in a suit: tricks bid above the combined trumps, by level of the overcall.

    0 is a bid at the level of the trumps, eight tricks on eight trumps; more is above what the rule
    of thumb calls safe. Beside the share of the part-scores: both hands' HCP, mean and quantiles.
    """
    cells = _part_scores(run)
    table = shares(cells, ["level", "over_trumps"], within=["level"])
    points = averages(cells, ["level", "over_trumps"], "combined_hcp").drop(columns="deals")
    return table.merge(points, on=["level", "over_trumps"], validate="one_to_one")


def above_trumps(run: Run) -> pd.DataFrame:
    """By level of the overcall: part-scores in a suit that are above the level of the trumps.

    The share is of the level's part-scores in a suit; beside it both hands' HCP in those
    part-scores, all of them, mean and quantiles.
    """
    cells = _part_scores(run)
    table = share_of(cells, cells["over_trumps"] > 0, ["level"])
    points = averages(cells, ["level"], "combined_hcp").drop(columns="deals")
    return table.merge(points, on="level", validate="one_to_one")


def _part_scores(run: Run) -> pd.DataFrame:
    cells = run.tally.frame(LANDING_POINTS)
    return cells[cells["final_contract"].isin(_IN_SUIT[1:])]
