"""The responder's calls, exactly: the sampler's own rules over three hands at once.

The three-hand count gives the deals by responder's class of hand for every opening and overcall;
the responder's rules, applied to the same classes, say what each class calls. So one count serves
every agreement with the same openings and overcalls. Agreements that have others are counted
together: what two of them ask alike is counted once.

Why it stops here
-----------------
The advancer speaks next, and its hand is the fourth: what the other three leave. It follows from
theirs by subtraction, but only from all three at once. The three-hand count adds opener's and
overcaller's hands up as soon as it is known what they bid, and keeps 85,120 numbers for each
opening and overcall: responder's shape, points and two flags. The advancer's rules would need as
much of the advancer beside each of them, which makes 85,120 times as many numbers; the opener's
answer over the advancer's bid, the opener's reopening and the final contracts ask for opener's whole
hand on top of that. So all that follows the responder's call is counted only, save opener's cards in
the promised suit; and the counts that lead up to it are compared with exact values, every one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import N_DEALS, SUITS, Bid, bid_code
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.combinatorics.hands import HAND_CARDS, class_hands, one_of_a_suit
from double_study.combinatorics.suits import pack_of
from double_study.combinatorics.three_hands import PairRules, ResponderWays, responder_ways_of_pairs
from double_study.combinatorics.two_hands import next_hand_calls, up_to_overcall
from double_study.rules.response import DOUBLE_CALL, REASON, decide_call
from double_study.rules.terms import SEQUENCE, SEQUENCES, Overcalled
from double_study.workers import worker_count

Progress = Callable[[int, int], None]
Ways = Mapping[tuple[int, int], ResponderWays]
"""The counts by the suit opened and the suit overcalled."""


@dataclass(frozen=True, eq=False)
class ResponseProbabilities:
    """Probabilities, per deal, for an opening of one of a suit in first seat.

    ``calls``: columns ``opening``, ``overcall``, ``call``, ``probability``, a row for each sequence
    and each call that the agreement knows over it. ``doubles``: columns ``opening``, ``overcall``,
    ``reason``, ``opener_cards`` (in the promised suit, the longer of two) and ``probability``.
    ``also``: tables like ``calls``, one for each further agreement that was asked for.
    """

    calls: pd.DataFrame
    doubles: pd.DataFrame
    also: tuple[pd.DataFrame, ...] = ()


def responses(
    agreement: Agreement,
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
    also: Sequence[Agreement] = (),
) -> ResponseProbabilities:
    """Count every opening and overcall.

    ``also`` are agreements that differ from it in the responder's settings alone: the same counts
    serve them, and they cost next to nothing.
    ``progress`` is called with the number of parts done and their number after each. The sums are
    of non-negative float64 terms. To the error of a class of hands, 1e-12 at most (see
    :mod:`double_study.combinatorics.three_hands`), comes that of the sum over the classes that make a call: up
    to 20,250 terms in the reference agreement, 2**-53 each, so that eleven digits are right at the
    very worst. The tests compare the sum of a sequence's calls with the count of two hands, and find twelve.
    """
    ways = _ways(agreement, workers, progress)
    return ResponseProbabilities(
        _call_table(agreement, ways),
        _double_table(agreement, ways),
        tuple(_call_table(other, ways) for other in also),
    )


def calls_of(
    agreements: Sequence[Agreement],
    workers: int | None = None,
    progress: Progress = lambda done, of: None,
) -> list[pd.DataFrame]:
    """``calls`` of :class:`ResponseProbabilities` for several agreements, whatever they differ in.

    But for a good suit, which must be the same: it is what the three-hand count tells suits apart
    by. Precision and ``progress`` are those of :func:`responses`.
    """
    alike = {up_to_overcall(agreement): list(_counts(agreement)) for agreement in agreements}
    every = [rules for of_one in alike.values() for rules in of_one]
    counted = iter(_counted(agreements[0], every, workers, progress))
    ways = {
        before: {(rules.opened, rules.overcalled): next(counted) for rules in of_one}
        for before, of_one in alike.items()
    }
    return [_call_table(agreement, ways[up_to_overcall(agreement)]) for agreement in agreements]


def _ways(agreement: Agreement, workers: int | None, progress: Progress) -> Ways:
    """The counts for one agreement, opener's lengths among them."""
    todo = list(_counts(agreement, fits=True))
    counted = _counted(agreement, todo, workers, progress)
    return {(r.opened, r.overcalled): found for r, found in zip(todo, counted, strict=True)}


def _counted(
    agreement: Agreement, todo: Sequence[PairRules], workers: int | None, progress: Progress
) -> list[ResponderWays]:
    pack = pack_of(agreement.hand.good_suit)
    return responder_ways_of_pairs(pack, todo, worker_count(workers), progress)


def _in_reach(agreement: Agreement) -> Iterator[tuple[tuple[str | int, ...], int, Bid]]:
    """Each sequence through the ceiling: its names in tables, the suit opened and the overcall."""
    for (opening, bid), names in zip(SEQUENCES, SEQUENCE.names, strict=True):
        if bid <= agreement.response.double_through:
            yield names, opening, bid


def _call_table(agreement: Agreement, ways: Ways) -> pd.DataFrame:
    rows: list[tuple[object, ...]] = []
    for names, opening, bid in _in_reach(agreement):
        of_class = responder_calls(agreement, opening, bid.denomination, bid.level)
        found = ways[opening, bid.denomination].ways[bid.level]
        deals = np.bincount(of_class.ravel(), found.ravel(), COLUMNS["call"].size - 1)
        rows += [
            (*names, call, of / N_DEALS)
            for call, of in zip(COLUMNS["call"].names, deals, strict=False)
        ]
    return pd.DataFrame(rows, columns=[*SEQUENCE.columns, "call", "probability"])


def _double_table(agreement: Agreement, ways: Ways) -> pd.DataFrame:
    rows: list[tuple[object, ...]] = []
    for names, opening, bid in _in_reach(agreement):
        fits = ways[opening, bid.denomination].fits[bid.level]
        lengths = _by_longest(fits, agreement, opening, bid.denomination, bid.level)
        rows += [
            (*names, reason, cards, deals / N_DEALS)
            for reason, by_cards in zip(REASON.names, lengths, strict=False)
            for cards, deals in enumerate(by_cards)
            if deals
        ]
    columns = [*SEQUENCE.columns, "reason", "opener_cards", "probability"]
    return pd.DataFrame(rows, columns=columns)


def up_to_response(agreement: Agreement) -> Agreement:
    """The agreement with all that comes after the responder's call as in the reference.

    Agreements that differ only there have the same calls, which are then worked out once.
    """
    return replace(up_to_overcall(agreement), response=agreement.response)


def _counts(agreement: Agreement, fits: bool = False) -> Iterator[PairRules]:
    """What to count: each opening with each suit that may be overcalled.

    With ``fits``, opener's lengths as well, by the reason of a double.
    """
    opens = one_of_a_suit(agreement)
    through = agreement.response.double_through
    for opening in SUITS:
        _, bids = next_hand_calls(agreement, opening)
        for suit in (s for s in SUITS if s != opening):
            levels = [
                bid.level
                for opened, bid in SEQUENCES
                if (opened, bid.denomination) == (opening, suit)
            ]
            yield PairRules(
                opening,
                suit,
                opens[opening],
                {level: bids == bid_code(level, suit) for level in levels},
                {
                    level: _reasons(agreement, opening, suit, level)
                    for level in levels
                    if fits and Bid(level, suit) <= through
                },
            )


def _situation(agreement: Agreement, opening: int, suit: int, level: int) -> Overcalled:
    """Every class of responder's hand, by shape, HCP, Z good and Z stopped, in one row."""
    return Overcalled(Hands(class_hands((suit,)).words.ravel()), agreement, opening, suit, level)


def responder_calls(agreement: Agreement, opening: int, suit: int, level: int) -> NDArray[np.int8]:
    """What every class of hands calls over an overcall of ``suit`` at ``level``.

    Returns int8 of shape (560, 38, 2, 2), positions in ``CALL``: by shape, HCP, whether the suit
    overcalled is good and whether it is stopped.
    """
    calls = decide_call(_situation(agreement, opening, suit, level))
    return calls.reshape(class_hands((suit,)).words.shape)


def _reasons(agreement: Agreement, opening: int, suit: int, level: int) -> NDArray[np.int64]:
    """The reason of every class of hand that doubles, -1 for the others; as :func:`responder_calls`."""
    reasons = REASON.decide(_situation(agreement, opening, suit, level)).name.astype(np.int64)
    calls = responder_calls(agreement, opening, suit, level)
    return np.where(calls == DOUBLE_CALL, reasons.reshape(calls.shape), -1)


def _by_longest(
    fits: NDArray[np.float64], agreement: Agreement, opening: int, suit: int, level: int
) -> NDArray[np.float64]:
    """Deals by reason and by opener's cards in the promised suit, the longer of two."""
    unbid = [s for s in SUITS if s not in (opening, suit)]
    promised = _situation(agreement, opening, suit, level).promised
    lower, higher = np.indices(fits.shape[1:])
    counted = [
        np.where(promised[s].ravel()[0], lengths, 0)
        for s, lengths in zip(unbid, (lower, higher), strict=True)
    ]
    longest = np.maximum(*counted).ravel()
    return np.array([np.bincount(longest, by.ravel(), HAND_CARDS + 1) for by in fits])
