"""Published claims about these frequencies, beside this study's figures.

The claims are in ``claims.csv``: what was said and where, and what either side counts. If the
definitions differ, the figures may differ too without either being wrong.
"""

from pathlib import Path

import numpy as np
import pandas as pd

from double_study.agreements.reader import Agreement
from double_study.cards.bids import NOTRUMP, SUITS, Bid
from double_study.combinatorics import hands as one_hand
from double_study.counting import counts
from double_study.counting.record import Counted
from double_study.numbers_in_words import interval, percent
from double_study.stats import proportion, ratio

FILE = Path(__file__).with_name("claims.csv")
ID, STUDY = "id", "this_study"

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
    frame = run.tally.frame
    opened = run.tally["openings"].sum(axis=0)[1:]
    calls, next_hands, doubles = map(
        frame, (counts.CALL_COUNTS, counts.NEXT_HANDS, counts.DOUBLE_COUNTS)
    )
    penalties = frame(counts.PENALTIES).query("cards_in_theirs == 'five_or_more'")
    had = penalties.query("advancer == 'pass' and reopening == 'double'")
    # Passes that come round to opener.
    passes = frame(counts.PASS_COUNTS).query("advancer == 'pass'")
    waiting, found = (
        passes.query(_DEFENDS),
        passes.query("reopening in ['double', 'double_taken_out']"),
    )
    over_clubs = passes.query("opening == '1S' and overcall == '2C'")
    over_three_clubs = waiting.query("opening == '1D' and overcall == '3C'")
    pooled = "; after any opening and overcall "
    return {
        "claim.cohen.open": _shares(opened, run.tally.deals),
        "claim.magee.overcall": f"{_share(_deals(calls), run.tally.deals)} of all deals; "
        f"{_share(_deals(calls), _deals(next_hands))} of those opened with one of a suit",
        "claim.magee.penalty": _part(calls.query("overcall in ['1D', '1H', '1S']"), _DEFENDS),
        "claim.wiki.penalty": f"responder: {_part(calls, _DEFENDS)}; "
        f"opener: {_part(doubles, _LEAVES_IN)}",
        "claim.goren68": _ratio(_deals(doubles), _deals(penalties) - _deals(had)),
        "claim.rothstone": _share(_deals(had), _deals(penalties)),
        "claim.reopen.nz": _part(found, _DEFENDS),
        "claim.reopen.notauto": pooled.join(
            _part(part, "reopening == 'pass'") for part in (over_clubs, passes)
        ),
        "claim.reopen.suit": pooled.join(
            _part(part, "reopening == 'own_suit'") for part in (over_three_clubs, waiting)
        ),
    }


_DEFENDS, _LEAVES_IN = "call == 'penalty_pass'", "answer == 'penalty_pass'"


def _deals(found: pd.DataFrame) -> int:
    return int(found["deals"].sum())


def _part(found: pd.DataFrame, hits: str) -> str:
    return _share(_deals(found.query(hits)), _deals(found))


def _balanced(low: int, high: int) -> float:
    here = one_hand.class_hands().balanced[:, low : high + 1]
    return float((one_hand.hand_classes()[:, low : high + 1] * here).sum() / one_hand.N_HANDS)


def _exactly(chance: float) -> str:
    return f"{chance:.4%}, exactly"


def _one_in(chance: float) -> str:
    return f"{chance:.4%} or 1 in {1 / chance:.1f}, exactly"


def _share(part: int, whole: int) -> str:
    return percent(*proportion(part, whole)) if whole else _NOTHING


def _ratio(part: int, other: int) -> str:
    """Return the number of doubles per penalty lost, with its interval."""
    if not part + other:
        return _NOTHING
    middle, low, high = (float(number) for number in ratio(part, other))
    return f"{interval(middle, low, high, least=1)} doubles for each penalty lost"


def _shares(opened: np.ndarray, deals: int) -> str:
    bids = (f"{Bid.from_code(code)} {100 * n / deals:.2f}" for code, n in enumerate(opened) if n)
    return f"{', '.join(bids)} (% of all deals)"
