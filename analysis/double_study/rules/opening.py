"""Section 1: the opening.

The first hand that does not pass is the opener. With a suit of five cards or more, the hand opens
its longest suit, the higher-ranking of equals. With no suit of five, it opens the longer minor or,
under an agreement to open four-card majors, a suit of four.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.agreements.settings import OpeningSettings
from double_study.cards.bids import *
from double_study.cards.hands import *
from double_study.rules.terms import *

LAST_SEAT = 4


@dataclass(frozen=True)
class OpeningSituation(Situation):
    """A hand that may open because nobody has bid yet. ``seat`` is 1 to 4 from the dealer."""

    seat: int | NDArray[np.integer]


def _suit_to_open(s: OpeningSituation) -> NDArray[np.int16]:
    """Return the suit of an opening of one."""
    four_card_majors = s.agreement.opening.major_cards == 4
    without_five = _suit_of_four(s) if four_card_majors else _longer_minor(s)
    return np.where(LONGEST.cards(s) >= 5, LONGEST.suit(s), without_five).astype(np.int16)


def _longer_minor(s: OpeningSituation) -> NDArray[np.integer]:
    """Return the longer minor of hands without a suit of five.

    Only 4-4-3-2 with both majors holds more diamonds than clubs without holding four.
    """
    clubs, diamonds = s.hands.lengths[CLUBS], s.hands.lengths[DIAMONDS]
    promised = diamonds >= s.agreement.opening.diamond_cards
    return np.where((diamonds == 4) | (promised & (diamonds > clubs)), DIAMONDS, CLUBS)


def _suit_of_four(s: OpeningSituation) -> NDArray[np.integer]:
    """Return the suit of four that hands without a suit of five open if they play four-card majors."""
    clubs, diamonds, hearts, spades = s.hands.lengths == 4
    exceptions = {
        DIAMONDS: diamonds & clubs & (spades | hearts),
        CLUBS: spades & hearts & clubs,
        HEARTS: spades & hearts,
    }
    return np.select(list(exceptions.values()), list(exceptions), default=LONGEST.suit(s))


SEAT = Number("the seat", lambda s: s.seat)
TWO_LONGEST = Number("cards in the two longest suits", lambda s: s.hands.two_longest)
LONGEST = SuitTerm("the longest suit", lambda s: s.hands.longest(*SUITS))
SUIT_TO_OPEN = SuitTerm("the suit to open", _suit_to_open)
WEAK = (SEAT <= 3) & HCP.within(A.opening.weak) & LONGEST.good


def _one_of_a_suit(a: Agreement) -> str:
    if a.opening.major_cards == 4:
        without_five = (
            "a four-card suit (of two, hearts if both are majors, otherwise the higher-ranking; of "
            "three, 1♦ with a singleton spade or heart, 1♣ with a singleton diamond, 1♥ with a singleton "
            "club)"
        )
    else:
        equals = "if equal, 1♦ with four each, 1♣ with three each"
        if a.opening.diamond_cards == 4:
            equals += "; on 4-4-3-2 with both majors and three diamonds, 1♣"
        without_five = f"the longer minor ({equals})"
    return (
        f"{a.opening.suit}+ HCP, or {a.opening.light}+ HCP if HCP plus the lengths of the two longest "
        f"suits come to {a.opening.light_sum} or more: open one of the longest suit if it has five "
        f"cards or more, otherwise one of {without_five}"
    )


OPENING: RuleTable[OpeningSituation] = RuleTable("The opening", None, (
    Rule("strong", "{opening.strong}+ HCP: open 2♣, strong and artificial",
         HCP >= A.opening.strong, bid="2♣"),
    Rule("two_notrump", "balanced with {opening.two_notrump} HCP: open 2NT",
         BALANCED & HCP.within(A.opening.two_notrump), bid="2NT"),
    Rule("one_notrump", "balanced with {opening.one_notrump} HCP, even with a five-card major: "
         "open 1NT",
         BALANCED & HCP.within(A.opening.one_notrump), bid="1NT"),
    Rule("one_of_a_suit", _one_of_a_suit,
         (HCP >= A.opening.suit)
         | (HCP >= A.opening.light) & (HCP + TWO_LONGEST >= A.opening.light_sum),
         bid=SUIT_TO_OPEN.at(1)),
    Rule("weak_two", "in seats 1 to 3, with {opening.weak} HCP and a longest suit of six good "
         "cards, other than clubs: open a weak two",
         WEAK & (LONGEST.cards == 6) & ~LONGEST.among(CLUBS), bid=LONGEST.at(2)),
    Rule("three_level", "in seats 1 to 3, with {opening.weak} HCP and a good seven-card suit: "
         "open three of it",
         WEAK & (LONGEST.cards == 7), bid=LONGEST.at(3)),
    Rule("four_level", "in seats 1 to 3, with {opening.weak} HCP and a good suit of eight cards "
         "or more: open four of it",
         WEAK & (LONGEST.cards >= 8), bid=LONGEST.at(4)),
    Rule("pass", "anything else: pass"),
))


def classes(*flags: tuple[int, ...]) -> Hands:
    """Return every class with some flags set, such as ``GOOD_SHIFT``, in every suit."""
    bits = [1 << shift for shifts in flags for shift in shifts]
    return Hands(CLASS_WORDS | np.uint32(sum(bits)))


_DEPENDS_ON_GOOD = -2
"""Marks the classes of hands whose opening depends on whether the longest suit is good."""


class OpeningLookup:
    """The opening of any hand in any seat under some settings, by look-up.

    An opening depends on a hand's shape and points and on whether its longest suit is good: 21,280
    x 2 classes. The rules are applied once to each class, so the table always agrees with the rules.
    """

    def __init__(self, settings: OpeningSettings) -> None:
        agreement = Agreement(opening=settings)
        self._by_class = np.empty((2, 2, N_CLASSES), dtype=np.int8)
        for last, seat in enumerate((1, LAST_SEAT)):
            for good, flags in enumerate([(), (GOOD_SHIFT,)]):
                situation = OpeningSituation(classes(*flags), agreement, seat)
                self._by_class[last, good] = OPENING.decide(situation).bid
        self._by_word = [
            by_word(np.where(any_suit == good_suit, any_suit, np.int8(_DEPENDS_ON_GOOD)))
            for any_suit, good_suit in self._by_class
        ]

    def bids(self, words: NDArray[np.uint32], seat: int) -> NDArray[np.int8]:
        last = int(seat == LAST_SEAT)
        bids = look_up(self._by_word[last], words)
        unsettled = np.flatnonzero(bids == _DEPENDS_ON_GOOD)
        hands = Hands(words[unsettled])
        good = hands.good_in(hands.longest(*SUITS)).astype(np.intp)
        bids[unsettled] = self._by_class[last, good, class_of(hands.words)]
        return bids


opening_lookup = lru_cache(maxsize=256)(OpeningLookup)


def opening_rules(agreement: Agreement) -> list[int]:
    """Return the position of the rule for a pass, then for each opening in order of its code."""
    found: dict[int, int] = {}
    for flags, seat in product([(), (GOOD_SHIFT,)], (1, LAST_SEAT)):
        decided = OPENING.decide(OpeningSituation(classes(*flags), agreement, seat))
        pairs = np.unique(np.stack([decided.bid, decided.rule]), axis=1)
        found |= dict(pairs.T.tolist())
    last = len(OPENING.rules) - 1
    return [found.get(code, last) for code in range(NO_BID, max(found) + 1)]
