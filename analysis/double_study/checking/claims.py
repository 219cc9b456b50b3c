"""Published claims about these frequencies, beside this study's figures.

The claims are in ``claims.csv``: what was said and where, and what either side counts. If the
definitions differ, the figures may differ too without either being wrong.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import CLUBS, DIAMONDS, DOUBLE, NOTRUMP, PASS, SPADES, SUITS, Bid
from double_study.columns import COLUMNS
from double_study.combinatorics import hands as one_hand
from double_study.counting.counts import DOUBLE_COUNTS
from double_study.counting.record import Counted
from double_study.rules.response import DOUBLE_CALL, PENALTY_PASS_CALL
from double_study.rules.terms import SEQUENCES
from double_study.stats import ratio, wilson
from double_study.words import interval, percent

FILE = Path(__file__).with_name("claims.csv")
ID, STUDY = "id", "this_study"

_ADVANCER_PASS = COLUMNS["advancer"].code(PASS)
_FIVE_OR_MORE = COLUMNS["cards_in_theirs"].code("five_or_more")
_TO_DEFEND = COLUMNS["pass_made"].code(COLUMNS["call"].names[PENALTY_PASS_CALL])
_PASSED, _OWN_SUIT = COLUMNS["reopening"].code(PASS), COLUMNS["reopening"].code("own_suit")
_TWO_CLUBS = SEQUENCES.index((SPADES, Bid(2, CLUBS)))
_THREE_CLUBS = SEQUENCES.index((DIAMONDS, Bid(3, CLUBS)))

_NOTHING = "none in this run"


def claims(run: Counted) -> pd.DataFrame:
    """Return the claims, one per row.

    Columns ``id``; ``claim`` and ``published``, what was said; ``source``, where it was said;
    ``they_count`` and ``we_count``, what either side counts; ``this_study``, the run's figure or an
    exact one, in words.
    """
    table = pd.read_csv(FILE, dtype=str)
    figures = _exact_figures(run) | _counted_figures(run)
    table[STUDY] = table[ID].map(figures)
    return table


def any_one_bid(agreement: Agreement) -> float:
    """Return the exact chance that the dealer opens one of a suit or 1NT."""
    return float(one_hand.opening_ways(agreement)[1 : NOTRUMP + 2].sum() / one_hand.N_HANDS)


def _exact_figures(run: Counted) -> dict[str, str]:
    opened = one_hand.opening_ways(run.agreement)[1:] / one_hand.N_HANDS
    one_bids = {str(Bid(1, suit)): float(opened[suit]) for suit in SUITS}
    middle, upper = _balanced(15, 17), _balanced(16, 18)
    points = one_hand.hcp_ways() / one_hand.N_HANDS
    return {f"claim.open.{bid}": _exactly(chance) for bid, chance in one_bids.items()} | {
        "claim.open.any one-bid": _exactly(any_one_bid(run.agreement)),
        "claim.open.1NT": _exactly(middle),
        "claim.walker": f"{middle / upper - 1:.1%} more, exactly",
        "claim.smith.25": _one_in(middle),
        "claim.smith.50": _one_in(upper),
        "claim.smith.20": _one_in(float(points[20:].sum())),
        "claim.smith.24": _one_in(float(points[24:].sum())),
        "claim.smith.712": _exactly(float(points[7:13].sum())),
    }


def _counted_figures(run: Counted) -> dict[str, str]:
    opened = run.tally["openings"].sum(axis=0)[1:]
    calls = run.tally["calls"].sum(axis=0)
    answers = run.tally.along(DOUBLE_COUNTS, "answer")
    overcalls, doubles = int(calls.sum()), int(calls[:, DOUBLE_CALL].sum())
    passes = calls[:, PENALTY_PASS_CALL]
    at_one = np.array([bid.level == 1 for _, bid in SEQUENCES])
    left_in = int(answers[COLUMNS["answer"].code(COLUMNS["call"].names[PENALTY_PASS_CALL])])
    penalties = run.tally["penalties"].sum(axis=0)[_FIVE_OR_MORE]
    # Passes that come round to opener: by sequence, reason for the pass, opener's call.
    of_sequence = run.tally["passes"].sum(axis=0)[:, :, _ADVANCER_PASS]
    clubs, three_clubs = of_sequence[_TWO_CLUBS], of_sequence[_THREE_CLUBS]
    reopened = of_sequence.sum(axis=0)
    had = int(penalties[_ADVANCER_PASS, COLUMNS["reopening"].code(DOUBLE)])
    by_call = dict(zip(COLUMNS["reopening"].names, reopened.T, strict=True))
    waiting, found = reopened[_TO_DEFEND], by_call[DOUBLE] + by_call["double_taken_out"]
    pooled_passes = _share(int(by_call[PASS].sum()), int(reopened.sum()))
    pooled_suits = _share(int(waiting[_OWN_SUIT]), int(waiting.sum()))
    return {
        "claim.cohen.open": _shares(opened, run.tally.deals),
        "claim.magee.overcall": f"{_share(overcalls, run.tally.deals)} of all deals; "
        f"{_share(overcalls, int(run.tally['next_hands'].sum()))} of those opened with one of a suit",
        "claim.magee.penalty": _share(int(passes[at_one].sum()), int(calls[at_one].sum())),
        "claim.wiki.penalty": f"responder: {_share(int(passes.sum()), overcalls)}; "
        f"opener: {_share(left_in, doubles)}",
        "claim.goren68": _ratio(doubles, int(penalties.sum()) - had),
        "claim.rothstone": _share(had, int(penalties.sum())),
        "claim.reopen.nz": _share(int(found[_TO_DEFEND]), int(found.sum())),
        "claim.reopen.notauto": _own_and_pooled(
            clubs[:, _PASSED].sum(), clubs.sum(), pooled_passes
        ),
        "claim.reopen.suit": _own_and_pooled(
            three_clubs[_TO_DEFEND, _OWN_SUIT], three_clubs[_TO_DEFEND].sum(), pooled_suits
        ),
    }


def _own_and_pooled(part: int, whole: int, pooled: str) -> str:
    return f"{_share(int(part), int(whole))}; after any opening and overcall {pooled}"


def _balanced(low: int, high: int) -> float:
    here = one_hand.class_hands().balanced[:, low : high + 1]
    return float((one_hand.hand_classes()[:, low : high + 1] * here).sum() / one_hand.N_HANDS)


def _exactly(chance: float) -> str:
    return f"{chance:.4%}, exactly"


def _one_in(chance: float) -> str:
    return f"{chance:.4%} or 1 in {1 / chance:.1f}, exactly"


def _share(part: int, whole: int) -> str:
    if not whole:
        return _NOTHING
    low, high = wilson(part, whole)
    return percent(part / whole, float(low), float(high))


def _ratio(part: int, other: int) -> str:
    """Return the number of doubles per penalty lost, with its interval."""
    if not part + other:
        return _NOTHING
    middle, low, high = (float(number) for number in ratio(part, other))
    return f"{interval(middle, low, high, least=1)} doubles for each penalty lost"


def _shares(opened: np.ndarray, deals: int) -> str:
    bids = (f"{Bid.from_code(code)} {100 * n / deals:.2f}" for code, n in enumerate(opened) if n)
    return f"{', '.join(bids)} (% of all deals)"
