"""Section 2: the next hand, left of the opener.

The overcall of a suit is always in Z, the hand's longest suit other than the one opened, whatever
its length; no other suit is tried in its place. The two-suited call needs five cards in two suits
other than the opened one; after a minor opening spades with the other minor do not count.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import product

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.agreements.settings import OvercallSettings
from double_study.cards.bids import *
from double_study.cards.hands import *
from double_study.rules.opening import classes
from double_study.rules.terms import *


@dataclass(frozen=True)
class OvercallSituation(Situation):
    """The hand after a 1-level opening in the suit ``opening`` (Y of the rules)."""

    opening: Suit

    def cheapest(self, suit: ArrayLike) -> NDArray[np.integer]:
        return cheapest_level(suit, bid_code(1, np.asarray(self.opening)))

    @cached_property
    def elsewhere(self) -> IntArray:
        """Return cards in each suit, shape (4, ...); 13 in Y, so that it is never the shortest."""
        opened = np.arange(4).reshape(4, *[1] * self.hands.words.ndim) == self.opening
        return np.where(opened, np.int16(13), self.hands.lengths)


def _two_suits(s: OvercallSituation) -> BoolArray:
    long = (s.elsewhere >= 5) & (s.elsewhere < 13)
    with_minor = long[SPADES] & long[:HEARTS].any(axis=0)
    return (long.sum(axis=0) >= 2) & ~(with_minor & (np.asarray(s.opening) < HEARTS))


Z = SuitTerm("the longest suit to bid", lambda s: s.hands.longest_but(s.opening))
SHORTEST_OTHER = Number("cards in the shortest other suit", lambda s: s.elsewhere.min(axis=0))
TWO_SUITS = Fact("five cards in each of two other suits", _two_suits)
TWO_SUITED_CALLS = played("two-suited calls", A.overcall.two_suited_calls)
JUMP = Number("the level of a jump", lambda s: np.minimum(Z.cards(s) - 4, 4))
"""2 with six cards, 3 with seven, 4 with more."""

ONE_LEVEL = ((Z.level == 1) & (Z.cards >= 5)
             & (Z.good & HCP.within(A.overcall.one_level_good)
                | Z.honour & HCP.within(A.overcall.one_level)))

OVERCALL: RuleTable[OvercallSituation] = RuleTable("The next hand", "action", (
    Rule("notrump_overcall", "balanced with {overcall.notrump} HCP and a stopper in the suit "
         "opened: overcall 1NT",
         BALANCED & HCP.within(A.overcall.notrump) & OPENED.stopper, bid="1NT"),
    Rule("strong_double", "{overcall.strong_double}+ HCP: make a takeout double",
         HCP >= A.overcall.strong_double),
    Rule("two_suited",
         lambda a: (
             f"{a.overcall.two_suited}+ HCP and five or more cards in each of two suits not opened "
             "(except spades with the other minor after a minor opening): make a two-suited call"
             if a.overcall.two_suited_calls
             else "two-suited calls are not played"
         ),
         TWO_SUITED_CALLS & (HCP >= A.overcall.two_suited) & TWO_SUITS),
    Rule("weak_jump", "{overcall.weak_jump} HCP, and the longest suit other than the one opened "
         "is good: jump to level 2 with six cards, to 3 with seven, to 4 with eight or more, if "
         "that is a jump",
         (Z.cards >= 6) & Z.good & HCP.within(A.overcall.weak_jump) & (JUMP > Z.level),
         bid=Z.at(JUMP)),
    Rule("one_level_major", "the longest suit other than the one opened is a major of five cards "
         "or more that can be bid at level 1, with {overcall.one_level_good} HCP if it is good, or "
         "with {overcall.one_level} if it has the ace, king or queen: bid one of it",
         Z.among(*MAJORS) & ONE_LEVEL, bid=Z.at(1)),
    Rule("takeout_double", "{overcall.takeout}+ HCP, at most two cards in the suit opened and at "
         "least three in every other suit: make a takeout double",
         (HCP >= A.overcall.takeout) & (OPENED.cards <= 2) & (SHORTEST_OTHER >= 3)),
    Rule("one_level_diamond", "over 1♣, the longest suit other than clubs is diamonds, of five "
         "cards or more, with the points and honours that a one-level major needs: overcall 1♦",
         Z.among(DIAMONDS) & ONE_LEVEL, bid=Z.at(1)),
    Rule("two_level", "the longest suit other than the one opened is good, and its cheapest "
         "level is 2: bid two of it on six cards or more with {overcall.two_level_six} HCP, "
         "or on five with {overcall.two_level_five}",
         (Z.level == 2) & Z.good
         & ((Z.cards >= 6) & HCP.within(A.overcall.two_level_six)
            | (Z.cards == 5) & HCP.within(A.overcall.two_level_five)), bid=Z.at(2)),
    Rule("pass", "anything else: pass"),
))


def suit_overcall(decided: Decided[OvercallSituation]) -> NDArray[np.int8]:
    """Return the code of each suit overcall, NO_BID if there was none."""
    bids = decided.bid
    return np.where((bids % 5 == NOTRUMP) & (bids != NO_BID), NO_BID, bids).astype(np.int8)


_STOPPED = ((), (STOPPER_SHIFT,))
_QUALITIES = ((), (HONOUR_SHIFT,), (HONOUR_SHIFT, GOOD_SHIFT))
"""The flags that a suit can have by its top cards: a good one has the ace, king or queen."""
_FROM_GOOD_TO_HONOUR = np.uint32(HONOUR_SHIFT[0] - GOOD_SHIFT[0])


class OvercallLookup:
    """The next hand's call over an opening of one of a suit under some settings, by look-up.

    As for the opening, the rules are applied once to every class of hands: 21,280 classes of shape
    and points, times two for the suit opened (stopped or not), times three for Z (good, not good but
    with the ace, king or queen, or with none of them).
    """

    def __init__(self, settings: OvercallSettings) -> None:
        agreement = Agreement(overcall=settings)
        size = (len(SUITS), len(_STOPPED), len(_QUALITIES), N_CLASSES)
        self._name = np.empty(size, dtype=np.int8)
        self._bid = np.empty(size, dtype=np.int8)
        self._good_shift = np.empty((len(SUITS), N_CLASSES), dtype=np.uint32)
        for opening, (stopper, stopped), (quality, has) in product(
            SUITS, enumerate(_STOPPED), enumerate(_QUALITIES)
        ):
            situation = OvercallSituation(classes(*stopped, *has), agreement, opening)
            decided = OVERCALL.decide(situation)
            self._name[opening, stopper, quality] = decided.name
            self._bid[opening, stopper, quality] = suit_overcall(decided)
            self._good_shift[opening] = Z.suit(situation) + GOOD_SHIFT[0]

    def calls(
        self, words: NDArray[np.uint32], opening: NDArray[np.integer]
    ) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
        """Return each hand's call: its name in ``OVERCALL.names``, and the code of a suit overcall."""
        opening = opening.astype(np.intp)
        of_class = class_of(words)
        good_shift = self._good_shift.take(opening * N_CLASSES + of_class)
        quality = (words >> good_shift) & np.uint32(1)
        quality += (words >> (good_shift + _FROM_GOOD_TO_HONOUR)) & np.uint32(1)
        stopper = (words >> (opening + STOPPER_SHIFT[0]).astype(np.uint32)) & np.uint32(1)
        entry = ((opening * len(_STOPPED) + stopper) * len(_QUALITIES) + quality) * N_CLASSES
        entry += of_class
        return self._name.take(entry), self._bid.take(entry)


overcall_lookup = lru_cache(maxsize=256)(OvercallLookup)
