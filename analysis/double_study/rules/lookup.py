"""Opening and overcall by look-up: the rules, applied once to every class of hands.

An opening or an overcall depends on a hand's shape and points, on whether one suit (which the
shape settles) is good, and for the overcall on a stopper in the suit opened. That makes
21,280 x 2 x 2 classes for each step: the rules are applied to all of them once, and a dealt hand
is then bid by one look-up. The tables hold nothing that the rules do not say.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.agreements.settings import OpeningSettings, OvercallSettings
from double_study.cards.bids import SUITS
from double_study.cards.hands import (
    CLASS_WORDS,
    GOOD_SHIFT,
    N_CLASSES,
    STOPPER_SHIFT,
    Hands,
    by_word,
    class_of,
    look_up,
)
from double_study.rules.opening import LAST_SEAT, OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall

_ALL_SUITS = 0b1111


def _classes(good: int, stopper: int) -> Hands:
    """Every class, with every suit good or none, and every suit stopped or none."""
    flags = (good * _ALL_SUITS << GOOD_SHIFT[0]) | (stopper * _ALL_SUITS << STOPPER_SHIFT[0])
    return Hands(CLASS_WORDS | np.uint32(flags))


_ASKS_FOR_GOOD = -2
"""Stands in a table of openings where the opening turns on whether the longest suit is good."""


class OpeningLookup:
    """The opening of any hand in any seat under one agreement."""

    def __init__(self, agreement: Agreement) -> None:
        self._by_class = np.empty((2, 2, N_CLASSES), dtype=np.int8)
        for last, seat in enumerate((1, LAST_SEAT)):
            for good in (0, 1):
                situation = OpeningSituation(_classes(good, 0), agreement, seat)
                self._by_class[last, good] = OPENING.decide(situation).bid
        self._by_word = [
            by_word(np.where(any_suit == good_suit, any_suit, np.int8(_ASKS_FOR_GOOD)))
            for any_suit, good_suit in self._by_class
        ]

    def bids(self, words: NDArray[np.uint32], seat: int) -> NDArray[np.int8]:
        """The code of each hand's opening, :data:`~double_study.cards.bids.NO_BID` for a pass."""
        last = int(seat == LAST_SEAT)
        bids = look_up(self._by_word[last], words)
        asks = np.flatnonzero(bids == _ASKS_FOR_GOOD)
        asking = Hands(words[asks])
        good = asking.good_in(asking.longest(*SUITS)).astype(np.intp)
        bids[asks] = self._by_class[last, good, class_of(asking.words)]
        return bids


class OvercallLookup:
    """The next hand's call over an opening of one of a suit under one agreement."""

    def __init__(self, agreement: Agreement) -> None:
        size = (len(SUITS), 2, 2, N_CLASSES)
        self._name = np.empty(size, dtype=np.int8)
        self._bid = np.empty(size, dtype=np.int8)
        self._good_shift = np.empty((len(SUITS), N_CLASSES), dtype=np.uint32)
        for opening in SUITS:
            for stopper in (0, 1):
                for good in (0, 1):
                    situation = OvercallSituation(_classes(good, stopper), agreement, opening)
                    decided = OVERCALL.decide(situation)
                    self._name[opening, stopper, good] = decided.name
                    self._bid[opening, stopper, good] = suit_overcall(decided)
            self._good_shift[opening] = situation.suit + GOOD_SHIFT[0]

    def calls(
        self, words: NDArray[np.uint32], opening: NDArray[np.integer]
    ) -> tuple[NDArray[np.int8], NDArray[np.int8]]:
        """Each hand's call: its name in ``OVERCALL.names``, and the code of a suit overcall."""
        opening = opening.astype(np.intp)
        of_class = class_of(words)
        entry = opening * N_CLASSES + of_class
        good = (words >> self._good_shift.take(entry)) & np.uint32(1)
        stopper = (words >> (opening + STOPPER_SHIFT[0]).astype(np.uint32)) & np.uint32(1)
        entry = ((opening * 2 + stopper) * 2 + good) * N_CLASSES + of_class
        return self._name.take(entry), self._bid.take(entry)


def opening_lookup(agreement: Agreement) -> OpeningLookup:
    """The opening table of an agreement, made once for the settings that it depends on."""
    return _opening_lookup(agreement.opening)


def overcall_lookup(agreement: Agreement) -> OvercallLookup:
    """The overcall table of an agreement, made once for the settings that it depends on."""
    return _overcall_lookup(agreement.overcall)


@lru_cache(maxsize=256)
def _opening_lookup(settings: OpeningSettings) -> OpeningLookup:
    return OpeningLookup(Agreement(opening=settings))


@lru_cache(maxsize=256)
def _overcall_lookup(settings: OvercallSettings) -> OvercallLookup:
    return OvercallLookup(Agreement(overcall=settings))
