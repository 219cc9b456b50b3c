"""The filter of what a teacher would show: each clause read plainly, hand by hand.

The deals are fixed and no reading may differ. A clause that is wrong on one in 70 of the deals that
it is asked about is missed with chance 0.01.
"""

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.deal import deal_block
from double_study.columns import COLUMNS
from double_study.lessons.board import Bidding
from double_study.lessons.case import OPENER, REOPENING, RESPONDER
from double_study.lessons.kinds import KINDS
from double_study.lessons.teachable import CLAUSES, STEPS, passing, steps
from double_study.rules.batch import Batch
from plain import words as plain
from plain.response import double_points, promise_held, promised_suits
from plain.settings import SETTINGS
from shared.plain_reading import plain_hand

DEALS, SEED = 12_000, 64
REACHED = Batch(deal_block(SEED, 0)[:, :DEALS], REFERENCE).at("overcalled")
WORDS = list(CLAUSES)


class Deal:
    """A deal as the plain reading sees it: hands by player, the auction, what a double came to."""

    def __init__(self, cards: tuple[int, ...]) -> None:
        self.bidding = bidding = Bidding(cards, REFERENCE)
        at = bidding.auction.seat_of("opener") - 1
        hands = [plain_hand(cards[(at + turn) % 4]) for turn in range(4)]
        self.hands = hands
        self.opener, self.overcaller, self.responder, self.advancer = hands
        overcall = bidding.auction.overcall
        self.opened, self.over = bidding.auction.opening, overcall.denomination
        self.level, doubled = overcall.level, bidding.doubled
        promised = promised_suits(self.opened, self.over, self.level)
        self.promised = promised if doubled else ()
        self.rule = bidding.rule(OPENER) if doubled else None
        self.pair = plain.high_card_points(self.opener) + plain.high_card_points(self.responder)
        b = bidding.batch.at("doubled")
        names, trumps = COLUMNS["final_contract"].names, b["trumps"].tolist()
        # Of the final contract after a double.
        self.contract = "".join(names[code] for code in b["final_contract"])
        self.trumps = sum(trumps)


@cache
def dealt(at: int) -> Deal:
    return Deal(tuple(REACHED.root.cards[:, REACHED["deal"][at]].tolist()))


def sound_double(d: Deal) -> bool:
    lengths = [plain.length(d.responder, suit) for suit in range(4)]
    longest_other = max(lengths[suit] for suit in {0, 1, 2, 3} - {*d.promised})
    fits = lengths[d.over] <= 3 and longest_other <= 5 and max(lengths) <= 6
    return plain.high_card_points(d.responder) >= 7 and fits


def quiet_overcaller(d: Deal) -> bool:
    *_, advancer, _, overcaller = d.bidding.calls[: d.bidding.auction.passes + 6]
    return advancer == "pass" or overcaller != "pass"


def passed_out(d: Deal) -> bool:
    return d.bidding.turn(REOPENING) is not None and d.bidding.call(REOPENING) == "pass"


PLAIN: dict[str, Callable[[Deal], bool]] = {
    "nobody has a suit of 8": lambda d: all(
        plain.length(hand, suit) <= (8 if hand is d.overcaller and d.level == 4 else 7)
        for hand in d.hands
        for suit in range(4)
    ),
    "the opener has 12 HCP": lambda d: plain.high_card_points(d.opener) >= 12,
    "neither opener nor responder has a singleton": lambda d: (
        not {1 << plain.RANKS.index(rank) for rank in "AKQJ"} & {*d.opener, *d.responder}
    ),
    "the overcaller's suit has two": lambda d: (
        sum(plain.has(d.overcaller, d.over, rank) for rank in "AKQJT") >= 2
    ),
    "a doubler has 7 HCP": lambda d: not d.promised or sound_double(d),
    "a doubler who shows only the minors": lambda d: (
        {*d.promised} != {plain.CLUBS, plain.DIAMONDS}
        or not (plain.balanced(d.responder) and plain.stopper(d.responder, d.over))
    ),
    "opener answers in notrump only": lambda d: (
        d.rule != "notrump" or all(plain.length(d.opener, suit) >= 2 for suit in d.promised)
    ),
    "an overcaller with 7 cards": lambda d: (
        not d.promised or plain.length(d.overcaller, d.over) < 7 or quiet_overcaller(d)
    ),
    "a pair with 23 HCP": lambda d: (
        d.pair < 23 or not (passed_out(d) or d.contract == "their_contract")
    ),
    "after a double, a pair with 25 HCP": lambda d: (
        not d.contract
        or d.pair < 25
        or (
            d.pair < 30
            and d.contract not in ("part_score_fit", "part_score_no_fit", "notrump_part_score")
        )
    ),
    "no game in a suit": lambda d: d.contract != "game" or d.trumps >= 8,
    "after a double, the other side's contract": lambda d: (
        d.contract != "defended" or d.rule == "penalty_pass"
    ),
    "a responder who bids notrump": lambda d: (
        d.bidding.rule(RESPONDER) != "notrump"
        or any(plain.has(d.responder, d.over, rank) for rank in "AKQ")
    ),
}
"""The clauses, by what their words begin with, as the text has them."""


@pytest.mark.parametrize("words", WORDS[:-2])
def test_a_clause_leaves_out_what_its_words_say(words: str) -> None:
    left = dict(passing(REACHED))
    before = left[WORDS[WORDS.index(words) - 1]] if words != WORDS[0] else REACHED["call"] >= 0
    came = np.flatnonzero(before & (left[WORDS[0]] | (words == WORDS[0])))[:320]
    within = [at for at in came.tolist() if dealt(at).bidding.call(RESPONDER) is not None]
    [holds] = [holds for begins, holds in PLAIN.items() if words.startswith(begins)]
    met = {at: holds(dealt(at)) for at in within}
    assert {at for at, holds in met.items() if holds} == {at for at in within if left[words][at]}


def test_every_clause_leaves_something_out() -> None:
    wide = Batch(deal_block(SEED, 1), REFERENCE).at("overcalled")
    left = [int(met.sum()) for _, met in passing(wide)]
    assert left == sorted(set(left), reverse=True)


def test_no_hand_that_is_shown_is_at_a_limit() -> None:
    """Read plainly: every figure that a call turns on is two points away from the other call."""
    wide = Batch(deal_block(SEED, 2), REFERENCE).at("overcalled")
    *_, (_, shown) = passing(wide)
    seen = {"double": 0, "pass": 0, "1NT": 0, "raise": 0}
    for at in np.flatnonzero(shown)[:500].tolist():
        d = Deal(tuple(wide.root.cards[:, wide["deal"][at]].tolist()))
        points = plain.total_points(d.responder, d.over)
        needs = double_points(d.over, d.level)
        if d.bidding.doubled:
            assert points > needs
            seen["double"] += 1
        elif (
            d.bidding.rule(RESPONDER) == "pass"
            and promise_held(d.responder, d.opened, d.over, d.level)
            and plain.length(d.responder, d.over) <= 4
        ):
            assert points < needs - 1 or plain.high_card_points(d.responder) < 4
            seen["pass"] += 1
        elif str(d.bidding.call(RESPONDER)) == "1NT":
            assert plain.high_card_points(d.responder) == 9  # of 8 to 10
            seen["1NT"] += 1
        if len(d.bidding.batch.at("quiet")):
            rule, call = d.bidding.rule(OPENER), str(d.bidding.call(OPENER))
            support = plain.support_points(d.opener)
            jump, game = SETTINGS.answer.raise_jump, SETTINGS.answer.raise_game
            majors = {2, 3} & {*promised_suits(d.opened, d.over, d.level)}
            # At game already a stronger hand bids the same.
            if majors and rule.startswith("raise") and call[0] != "4":
                assert support not in (jump - 1, jump, game - 1, game)
                seen["raise"] += 1
    assert min(seen.values()) > 3


def test_the_agreements_a_step_away_bid_what_is_shown_the_same_way() -> None:
    *_, (_, before), (_, shown) = passing(REACHED)
    others = [load(name) for name in STEPS]
    assert [other.digest for other in others] == [step.digest for step in steps(REFERENCE)]
    kept, dropped = np.flatnonzero(shown)[:40], np.flatnonzero(before & ~shown)[:40]
    for at in [*kept.tolist(), *dropped.tolist()]:
        deal = dealt(at).bidding
        auctions = []
        for other in others:
            b = Batch(np.array(deal.cards, dtype=np.uint64)[:, np.newaxis], other)
            auctions.append(Bidding(deal.cards, other).calls if len(b.at("overcalled")) else ())
        assert (at in kept) == all(auction == deal.calls for auction in auctions)


def test_every_kind_is_asked_about_what_its_call_says() -> None:
    wide = Batch(np.concatenate([deal_block(SEED, n) for n in range(3)], axis=1), REFERENCE)
    for bit, (name, kind) in enumerate(KINDS.items()):
        deals = np.flatnonzero(wide["kinds"] >> bit & 1)[:25]
        assert len(deals), name
        for at in deals.tolist():
            bidding = Bidding(tuple(wide.cards[:, at].tolist()), REFERENCE)
            if kind.asked == "responder":
                assert bidding.doubled != kind.near
            elif kind.asked == "opener":
                assert bidding.doubled
            if name == "waits":
                assert bidding.rule(RESPONDER) == "penalty_pass"
                assert bidding.complete
                assert bidding.calls[-4:] == ("double", "pass", "pass", "pass")
