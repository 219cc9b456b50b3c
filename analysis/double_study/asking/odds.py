"""The odds on partner's hand, given a hand and an auction, and what comes next.

All odds come from one table, the deals by partner's shape and points. The table is exact if the opening
was in first seat, and a conditional sample if other hands passed first. Each figure is shown beside
the one that ignores the bidding, which is always exact, because the difference is the lesson.

The sample
----------
A player's 13 cards are fixed and the other 39 dealt to partner, the next opponent and the fourth
hand; a deal on which the bidding could not have happened is rejected, so what remains is a random
sample of the deals on which it could. Most deals would fail by their shapes alone, so a pair of
shapes for partner and opponent is drawn first, among those that the rules allow, in proportion to
the ways to deal them; then each suit's cards are put in random order and handed out. Every deal with
allowed shapes is equally likely. The order comes from sorting random keys of 56 bits; two of the 39
keys are equal, in which case the lower card goes first, once in 10^14 deals.

Game values are combined HCP, with a fit of eight or more cards for a suit. The figures are the lower
ones of each pair in The Foundation System, https://docslib.org/doc/10546224/ (HCP only: 25-26 for
3NT, 23-24 for four of a major, 27-28 for five of a minor); other authors ask for more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import comb
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy.special import factorial

from double_study.asking.question import EVERY_HAND, Question
from double_study.cards.bids import DOUBLE, NO_BID, NOTRUMP, PASS, SUITS, Bid
from double_study.cards.deal import BIT_GENERATOR, HAND_CARDS
from double_study.cards.hands import (
    N_CLASSES,
    N_HCP,
    SHAPES,
    SUIT_CARDS,
    BoolArray,
    Hands,
    class_of,
    hand_words,
)
from double_study.cards.notation import MAX_PASSES
from double_study.columns import COLUMNS
from double_study.combinatorics.hands import FIRST_SEAT, one_of_a_suit, overcaller_hands
from double_study.combinatorics.known_hand import (
    BothBid,
    partner_after,
    partner_before,
    shapes_together,
)
from double_study.combinatorics.suits import Floats
from double_study.combinatorics.table import calls_cached, exact_table
from double_study.counting.run import batches, blocks_of
from double_study.errors import InputError
from double_study.rules import response
from double_study.rules.advancer import ADVANCER
from double_study.rules.auction import NO_CALL, call_code, call_codes
from double_study.rules.batch import Batch
from double_study.rules.explain import Reply
from double_study.rules.opening import OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.settle import DEFENDED, FIT_TRUMPS, THEIR_CONTRACT
from double_study.rules.terms import Overcalled
from double_study.stats import CONFIDENCE, normal_quantile, proportion, wilson, with_intervals

MAX_DEALS = 2_000_000
"""Deals after which a rare auction is given up."""


def impossible(question: Question, both: BothBid) -> str:
    """Say which hand cannot have bid as it did, when no deal fits the question."""
    auction = question.auction
    good_suit = question.agreement.hand.good_suit
    anyone = (
        replace(both, opens=np.ones_like(both.opens)),
        replace(both, overcalls=np.ones_like(both.overcalls)),
    )
    overcalls, opens = (partner_after(question.cards, bids, good_suit).any() for bids in anyone)
    passed = " after its pass" if auction.passes == MAX_PASSES else ""
    over = f"overcalls {auction.overcall}{passed}"
    partner = f"opens {auction.opening_bid}"
    if auction.opener_asked:
        partner = "doubles it" if auction.later[0] == DOUBLE else "passes it"
    if not overcalls:
        return f"no hand from the other 39 cards {over}"
    if not opens:
        return f"no hand from the other 39 cards {partner}"
    return f"a hand that {partner} leaves none that {over}"


def both_bid(question: Question) -> BothBid:
    """Return the classes of hands that partner and the overcaller may hold.

    For the fourth hand, whose partner is the overcaller, return those of the opener and the
    overcaller. Passes before the opening are ignored, except the overcaller's own. For that pass the
    suit that the opener later bid counts as not good, which can only let in too many classes.
    """
    auction, agreement = question.auction, question.agreement
    opened, overcalled = auction.opening, auction.overcall.denomination
    hands = overcaller_hands(opened, overcalled)
    situation = OvercallSituation(hands, agreement, opened)
    bids = suit_overcall(OVERCALL.decide(situation))
    overcalls = bids == auction.overcall.code
    if auction.passes == MAX_PASSES:
        dealer = OpeningSituation(hands, agreement, FIRST_SEAT)
        overcalls &= OPENING.decide(dealer).bid == NO_BID
    partner = _responds(question) if auction.opener_asked else one_of_a_suit(agreement)[opened]
    return BothBid(opened, overcalled, partner, overcalls)


def _responds(question: Question) -> BoolArray:
    """Return the classes with at least one hand that doubles or passes as the responder did."""
    auction = question.auction
    held = Overcalled.by(auction.overcall, EVERY_HAND, question.agreement, auction.opening)
    call = response.calls_of(response.RESPONSE.decide(held))
    passes = response.PASS_CALL, response.PENALTY_PASS_CALL
    asked = (response.DOUBLE_CALL,) if auction.later[0] == DOUBLE else passes
    either = np.isin(call, asked).reshape(2, len(SHAPES), N_HCP)
    return either[0] | either[1]


def round_the_table(question: Question, others: Cards) -> Cards:
    """Return deals by seat, uint64 (4, deals).

    ``others`` are the hands of partner, the next opponent and the fourth hand, uint64 (3, deals).
    """
    auction = question.auction
    table = np.full((4, others.shape[1]), question.cards, dtype=np.uint64)
    opponents = auction.seat_of("overcaller"), auction.seat_of("advancer")
    if auction.fourth_asked:
        opponents = auction.seat_of("opener"), auction.seat_of("responder")
    table[np.array([auction.seat_of_partner, *opponents]) - 1] = others
    return table


def sample(
    question: Question, both: BothBid, seed: int, max_deals: int = MAX_DEALS
) -> FittingDeals:
    """Sample deals around the hand in which every hand bids or passes as it did."""
    auction = question.auction
    asked = [call_code(call) for call in auction.calls]

    def fits(others: Cards) -> BoolArray:
        return bid_first_with(round_the_table(question, others), question, asked)

    partners, opponents = (SHAPES[shapes] for shapes in shapes_together(question.cards, both))
    if auction.fourth_asked:
        partners, opponents = opponents, partners
    return deals_that_fit(question.cards, (partners, opponents), fits, seed, max_deals)


def bid_first_with(cards: Cards, question: Question, calls: Sequence[int]) -> BoolArray:
    """Return which deals, uint64 (4, deals), are bid with these calls, by their codes, first."""
    deals, auction = Batch(cards, question.agreement), question.auction
    opened = deals["any_seat"] == auction.seat_of("opener")
    opened &= deals["opening_bid"] == auction.opening_bid.code
    # Only the deals that are opened so are bid further, in a third of the time.
    made = call_codes(Batch(cards[:, opened], question.agreement))[:, : len(calls)]
    opened[opened] = (made == calls).all(axis=1)
    return opened


HALF_WIDTH = 0.01
"""How far the interval of a share may reach either side of its middle: one percentage point."""

_Z = normal_quantile(CONFIDENCE)
ENOUGH = int(np.ceil((_Z / (2 * HALF_WIDTH)) ** 2 - _Z**2))
"""Deals after which Wilson's interval of any share is narrow enough.

It is widest for a share of a half, with a half-width of z / (2 sqrt(n + z^2)).
"""

_CHUNK = 20_000
_UNSEEN = 39
_EVERY_DEAL = comb(_UNSEEN, HAND_CARDS) * comb(_UNSEEN - HAND_CARDS, HAND_CARDS)
"""The number of ways to deal the unseen cards to the three other hands."""
_CARD_BITS = 6
_KEY_BITS = 56
_DOUBLE_BITS = 53

Cards = NDArray[np.uint64]
Shapes = NDArray[np.integer]


@dataclass(frozen=True, eq=False)
class FittingDeals:
    """The deals that fit, at most :data:`ENOUGH` of them.

    ``others``: the hands of partner, the opponent and the fourth hand, uint64 of 52 bits, shape
    (3, deals). ``fitted`` of the ``dealt`` deals fitted. Only deals with allowed shapes were dealt, a
    ``share`` of all deals around the hand.
    """

    others: Cards
    fitted: int
    dealt: int
    share: float

    @property
    def partner(self) -> Cards:
        return self.others[0]

    @property
    def chance(self) -> tuple[float, float, float]:
        """The share of all deals around the hand that fits, with the limits of Wilson's interval."""
        _, low, high = proportion(self.fitted, self.dealt)
        return self.share * self.fitted / self.dealt, self.share * low, self.share * high


def deals_that_fit(
    cards: int,
    shapes: tuple[Shapes, Shapes],
    fits: Callable[[Cards], BoolArray],
    seed: int,
    max_deals: int = MAX_DEALS,
) -> FittingDeals:
    """Deal around a hand until :data:`ENOUGH` deals fit or ``max_deals`` are dealt.

    A pure function of its arguments.

    Parameters
    ----------
    cards : int
        The known hand, 52 bits.
    shapes : pair of integer arrays, each (pairs, 4)
        Partner's and the opponent's lengths: at least the pairs that may fit, each once.
    fits
        Function that returns which deals fit, given the other three hands, uint64 (3, deals).
    seed, max_deals : int
    """
    stream = BIT_GENERATOR(np.random.SeedSequence(seed))
    rest = _Rest(cards, *shapes)
    kept, dealt, found = [], 0, 0
    while found < ENOUGH and dealt < max_deals:
        others = rest.deal(stream)
        kept.append(others[:, fits(others)])
        found += kept[-1].shape[1]
        dealt += _CHUNK
    return FittingDeals(np.concatenate(kept, axis=1)[:, :ENOUGH], found, dealt, rest.share)


class _Rest:
    """The 39 unseen cards in order; each suit is a run of columns."""

    def __init__(self, cards: int, partner: Shapes, opponent: Shapes) -> None:
        unseen = np.array([card for card in range(4 * SUIT_CARDS) if not cards >> card & 1])
        self._values = np.uint64(1) << unseen.astype(np.uint64)
        self._suit = unseen // SUIT_CARDS
        held = np.bincount(self._suit, minlength=4)
        self._place = np.arange(_UNSEEN) - (np.cumsum(held) - held)[self._suit]
        self._first = partner.astype(np.int8)
        self._second = (partner + opponent).astype(np.int8)
        below = factorial(partner) * factorial(opponent) * factorial(held - partner - opponent)
        self._up_to = np.cumsum((factorial(held) / below).prod(axis=1))
        self.share = float(self._up_to[-1] / _EVERY_DEAL)
        """The share of all deals around the hand that have one of the pairs of shapes."""

    def deal(self, stream: np.random.BitGenerator) -> Cards:
        """Return one chunk of deals: the cards of partner, the opponent and the fourth hand."""
        draws = (stream.random_raw(_CHUNK) >> np.uint64(64 - _DOUBLE_BITS)) * 2.0**-_DOUBLE_BITS
        pair = np.searchsorted(self._up_to, draws * self._up_to[-1], side="right")
        keys = stream.random_raw(_CHUNK * _UNSEEN).reshape(_CHUNK, _UNSEEN)
        keys >>= np.uint64(64 - _KEY_BITS)
        keys <<= np.uint64(_CARD_BITS)
        keys |= (self._suit << (_KEY_BITS + _CARD_BITS)).astype(np.uint64)
        keys |= np.arange(_UNSEEN, dtype=np.uint64)
        keys.sort(axis=1)
        cards = self._values[keys & np.uint64((1 << _CARD_BITS) - 1)]
        to_partner = self._place < self._first[pair][:, self._suit]
        to_either = self._place < self._second[pair][:, self._suit]
        partner, either = (
            np.where(mine, cards, np.uint64(0)).sum(axis=1) for mine in (to_partner, to_either)
        )
        return np.stack([partner, either ^ partner, self._values.sum() ^ either])


GAME_HCP = (27, 27, 23, 23, 25)
"""Combined HCP for game in clubs, diamonds, hearts, spades and notrump; source above."""

RANGES = ((0, 9), (10, 11), (12, 14), (15, 17), (18, 20), (21, 37))
"""The ranges of points that are shown together."""

SEED = 1
"""Seed of the conditional deals: the same question gets the same answer every time."""

_HCP_OF_CLASS = np.arange(N_HCP)


@dataclass(frozen=True, eq=False)
class Odds:
    """Partner's hand, by class.

    ``given`` and ``plain``: deals by partner's shape and HCP, float64 (560, 38), with and without
    the bidding. ``chance``: of the auction given the hand, with its limits (equal if exact).
    ``kept``: the number of deals behind ``given``, out of ``dealt`` with shapes that allow the
    auction; None if ``given`` is exact. ``cards``: the player's own hand. ``bid_against``: the suit
    overcalled, if any. ``promised``: the suits that the responder's double promises. ``hands``: the
    deals themselves, uint64 (4 seats, kept), if they were dealt.
    """

    cards: int
    given: Floats
    plain: Floats
    chance: tuple[float, float, float] = (1.0, 1.0, 1.0)
    kept: int | None = None
    dealt: int | None = None
    bid_against: int | None = None
    promised: tuple[int, ...] = ()
    hands: NDArray[np.uint64] | None = None

    @property
    def own(self) -> Hands:
        """The player's hand, as an array of one."""
        return Hands(hand_words(np.array([self.cards], dtype=np.uint64)))

    @property
    def our_suits(self) -> list[int]:
        """The suits that may be trumps: all except the overcaller's."""
        return [suit for suit in SUITS if suit != self.bid_against]

    def table(self, labels: Mapping[str, Any], cases: Iterable[BoolArray]) -> pd.DataFrame:
        """Return the chances that partner's hand is in each of some classes, bool arrays (560, 38).

        The columns are ``labels``; estimate, low, high (equal if exact, else Wilson's interval); and
        the figure ignoring the bidding. Without a deal the estimate is NaN and the interval 0 to 1.
        """
        cases = list(cases)
        given, plain = (
            np.array([table[np.broadcast_to(case, table.shape)].sum() for case in cases])
            for table in (self.given, self.plain)
        )
        with np.errstate(invalid="ignore"):
            estimate = given / self.given.sum()
        low, high = (estimate, estimate) if self.kept is None else wilson(given, self.kept)
        plainly = plain / self.plain.sum()
        return pd.DataFrame(labels).assign(
            estimate=estimate, low=low, high=high, ignoring_bidding=plainly
        )


def odds_before_bidding(cards: int) -> Odds:
    plain = partner_before(cards)
    return Odds(cards, plain, plain)


def odds(question: Question, seed: int = SEED) -> Odds:
    """Return the odds on partner's hand, given the bidding.

    They are exact if the opening was in first seat and the responder is to call; otherwise they come
    from deals around the hand. Raises :class:`InputError` if no deal fits the hand and the auction.
    """
    cards, auction, agreement = question.cards, question.auction, question.agreement
    both = both_bid(question)
    given = partner_after(cards, both, agreement.hand.good_suit)
    if not given.any():
        raise InputError(
            f"auction {auction}: no deal has this auction and this hand under the agreement "
            f"{agreement.name}, because {impossible(question, both)}; allowed: an auction in which the "
            "unseen cards allow every bid"
        )
    if auction.passes or auction.later:
        return sampled(question, both, seed)
    chance = (float(given.sum() / _EVERY_DEAL),) * 3
    against = auction.overcall.denomination
    return Odds(
        cards, given, partner_before(cards), chance, bid_against=against, promised=question.promised
    )


def sampled(
    question: Question, both: BothBid, seed: int = SEED, max_deals: int = MAX_DEALS
) -> Odds:
    """Return the odds on partner's hand from deals around the hand; raise :class:`InputError` if none fit."""
    cards, auction = question.cards, question.auction
    found = sample(question, both, seed, max_deals)
    if not len(found.partner):
        raise InputError(
            f"auction {auction}: none of {found.dealt:,} deals around this hand has it under the agreement "
            f"{question.agreement.name}; allowed: an auction that the rules can bid"
        )
    theirs = auction.opening if auction.fourth_asked else auction.overcall.denomination
    return Odds(
        cards,
        by_class(found.partner),
        partner_before(cards),
        found.chance,
        len(found.partner),
        found.dealt,
        theirs,
        () if auction.fourth_asked else question.promised,
        round_the_table(question, found.others),
    )


def by_class(partner: Cards) -> Floats:
    """Count hands of 52 bits by shape and HCP; float64 (560, 38)."""
    counts = np.bincount(class_of(hand_words(partner)), minlength=N_CLASSES)
    return counts.reshape(len(SHAPES), N_HCP).astype(np.float64)


def lengths(odds: Odds) -> pd.DataFrame:
    """Return chances of partner's length in every suit: suit, cards 0 to 13, and the chances."""
    suits, cards = np.repeat(SUITS[::-1], 14), np.tile(np.arange(14), len(SUITS))
    cases = (SHAPES.T[suits] == cards[:, np.newaxis])[..., np.newaxis]
    return odds.table(COLUMNS["suit"].filled(suits) | {"cards": cards}, cases)


def points(odds: Odds) -> pd.DataFrame:
    """Return chances of partner's points: hcp 0 to 37, and the chances."""
    return odds.table({"hcp": _HCP_OF_CLASS}, np.identity(N_HCP, dtype=np.bool_))


def point_ranges(odds: Odds) -> pd.DataFrame:
    """Return chances of partner's points in ranges: lowest and highest HCP, and the chances."""
    lowest, highest = np.transpose(RANGES)
    cases = [(_HCP_OF_CLASS >= low) & (_HCP_OF_CLASS <= high) for low, high in RANGES]
    return odds.table({"lowest_hcp": lowest, "highest_hcp": highest}, cases)


def fits(odds: Odds) -> pd.DataFrame:
    """Return the chance of eight cards or more in the two hands, for every suit that may be trumps."""
    promised = [suit in odds.promised for suit in odds.our_suits]
    labels = COLUMNS["suit"].filled(odds.our_suits) | {"promised": promised}
    return odds.table(labels, [_fit(odds, suit) for suit in odds.our_suits])


def games(odds: Odds) -> pd.DataFrame:
    """Return the chances of game values: the game, the combined HCP it needs, and the chances.

    A game in a suit also needs a fit; the module's docstring names the source of the values.
    """
    together = int(odds.own.hcp[0]) + _HCP_OF_CLASS
    places = [*odds.our_suits, NOTRUMP]
    cases = [
        (together >= GAME_HCP[place]) & (_fit(odds, place) if place in SUITS else np.True_)
        for place in places
    ]
    needs = [GAME_HCP[place] for place in places]
    return odds.table(COLUMNS["game"].filled(places) | {"combined_hcp": needs}, cases)


def _fit(odds: Odds, suit: int) -> BoolArray:
    return (SHAPES[:, suit] + odds.own.lengths[suit] >= FIT_TRUMPS)[:, np.newaxis]


WHAT = "what"
"""The column that says in words what may come next."""

COUNTED_DEALS = 1_000_000
"""Deals counted to find how often a question comes up, which takes a second or two."""

_RARE = 0.01
"""Outcomes rarer than this are grouped."""


def what_next(question: Question, answer: Reply, chances: Odds) -> dict[str, pd.DataFrame] | None:
    """Count what follows the responder's double; return None after any other call.

    The tables are of the advancer's calls, the opener's answers (``opener``) and the final
    ``contracts``, in words, each with estimate, low and high.
    """
    if question.auction.opener_asked or answer.call != DOUBLE:
        return None
    hands = chances.hands
    if hands is None:
        found = sample(question, both_bid(question), SEED)
        hands = round_the_table(question, found.others)
    b = Batch(hands, question.agreement).at("doubled")
    advancers = [ADVANCER.wordings[name] for name in ADVANCER.names]
    answers = [COLUMNS["answer"].label(name) for name in COLUMNS["answer"].names]

    def table(what: str, bid: str, said: Callable[[int, int], str]) -> pd.DataFrame:
        return _table(said(*both) for both in zip(b[what].tolist(), b[bid].tolist(), strict=True))

    return {
        "advancer": table("advancer", "advancer_bid", lambda n, bid: _call(advancers[n], bid)),
        "opener": table("answer", "answer_bid", lambda n, bid: _call(answers[n], bid)),
        "contracts": table("final_contract", "last_bid", _contract),
    }


def _call(wording: str, bid: int) -> str:
    """Return a call with its meaning, such as ``2♥, raise with a minimum``."""
    if bid != NO_BID:
        return f"{Bid.from_code(bid).symbol}, {wording}"
    return wording if PASS in wording else DOUBLE


def _contract(end: int, bid: int) -> str:
    contract = Bid.from_code(bid).symbol
    if end == DEFENDED:
        return f"{contract} doubled, defended"
    return f"{contract}, theirs" if end == THEIR_CONTRACT else contract


def _table(cases: Iterable[str]) -> pd.DataFrame:
    """Count how often each word comes up, most frequent first, with the rare ones grouped last."""
    counts = Counter(cases)
    total = counts.total()
    common = [(what, n) for what, n in counts.most_common() if n >= _RARE * total]
    if rest := total - sum(n for _, n in common):
        common.append(("anything rarer", rest))
    return with_intervals(pd.DataFrame(common, columns=[WHAT, "deals"]), total=total)


def waiting(question: Question, chances: Odds) -> tuple[float, float, float] | None:
    """Return the chance that partner, who passed, waits with a penalty pass; None in other seats."""
    if question.auction.later[:1] != (PASS,) or chances.hands is None:
        return None
    call = Batch(chances.hands, question.agreement).at("overcalled")["call"]
    return proportion(int((call == response.PENALTY_PASS_CALL).sum()), len(call))


@dataclass(frozen=True)
class HowOften:
    """The share of all deals that have the question's auction and the answer's call.

    ``counted`` of the ``deals`` dealt at random had both; None if the share is exact.
    """

    share: float
    low: float
    high: float
    counted: int | None = None
    deals: int = COUNTED_DEALS


def how_often(question: Question, answer: Reply, deals: int = COUNTED_DEALS) -> HowOften:
    """Return how often the auction and the call come up, exactly if that is cached, else counted."""
    auction = question.auction
    first_double = not auction.passes and not auction.later and answer.call == DOUBLE
    if first_double and calls_cached(question.agreement):
        table = exact_table(question.agreement, calls=True)
        case = str(auction.opening_bid), str(auction.overcall), DOUBLE
        exact = table.set_index(["opening", "overcall", "call"])["probability"]
        if case in exact:
            return HowOften(share := float(exact[case]), share, share)
    last = NO_CALL if answer.call is None else call_code(answer.call)
    asked = [*map(call_code, auction.calls), last]
    counted = sum(
        int(bid_first_with(batch.cards, question, asked).sum())
        for batch, _ in batches(SEED, blocks_of(deals), question.agreement)
    )
    return HowOften(*proportion(counted, deals), counted, deals)
