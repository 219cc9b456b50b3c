"""Responder's hand while the suits are being joined, and how the joined counts are filed.

Responder's holding in the two suits bid, Y and Z, is a *column*: a length in Y and a kind of holding
in Z. There is a list of columns for each number of points that the holding may have. (Few holdings
have, say, no points; lists of those that do keep the matrices small.)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from analysis.exact.suit_pairs import Pair, Points
from analysis.exact.suit_ways import SUITS, Floats, Ints, Kinds, Pack

Joined = list[list[Floats]]
"""Counts by responder's points in Y and Z, then by cards there.

Each is (levels * columns, responder's points in the unbid suits, opener's lengths in them, responder's
length in the lower of them); the columns are those with that many points and cards.
"""


class Columns(NamedTuple):
    """The columns with some number of points, in order of the cards in Y and Z together.

    ``y``: length in Y. ``kind``: which of the kinds of holding in Z. ``start[n]``: the first column
    of n cards or more, for n up to one more than a hand has.
    """

    y: Ints
    kind: Ints
    start: list[int]


class ResponderFiling:
    """The columns of a pack, ``columns[points]``, and the way back to classes of hands.

    ``bid``: the suits opened and overcalled. ``unbid``: the two others, the lower first.
    """

    def __init__(self, pack: Pack, points: Points, bid: Pair, unbid: Pair, levels: int) -> None:
        self._pack, self._points, self._levels = pack, points, levels
        self._kinds = Kinds(pack)
        self._shape_number = np.full((pack.suit_cards + 1,) * SUITS, -1, dtype=np.int64)
        by_role = pack.shapes[:, [*unbid, *bid]]
        self._shape_number[tuple(by_role.T)] = np.arange(len(pack.shapes))
        self.columns = [self._columns(total) for total in range(points.most + 1)]

    def _columns(self, total: int) -> Columns:
        in_y, in_z = self._kinds.points_of_length, self._kinds.points
        most = in_y.shape[1] - 1
        own = np.arange(max(0, total - most), min(total, most) + 1)
        y, kind = np.nonzero((in_y[:, np.newaxis, own] & in_z[:, total - own]).any(axis=-1))
        cards = y + self._kinds.lengths[kind]
        order = np.argsort(cards, kind="stable")
        start = np.searchsorted(cards[order], np.arange(self._pack.hand_cards + 2))
        return Columns(y[order], kind[order], start.tolist())

    def nothing_joined(self, openers: int) -> Joined:
        """Zeros to add joins to, for so many of opener's lengths in the unbid suits."""
        points, hand = self._points.most + 1, self._pack.hand_cards
        return [
            [
                np.zeros((self._levels * number, points, openers, hand - cards + 1))
                for cards, number in enumerate(np.diff(columns.start))
            ]
            for columns in self.columns
        ]

    def filed(self, joined: Joined, opener: int) -> Floats:
        """The counts for one of opener's lengths, float64.

        By level, and by responder's shape, Z good, Z stopped and HCP.
        """
        pack, kinds, most = self._pack, self._kinds, self._points.most
        result = np.zeros((self._levels, len(pack.shapes), 2, 2, 2 * most + 1))
        for points, (columns, by_cards) in enumerate(zip(self.columns, joined, strict=True)):
            for cards, counts in enumerate(by_cards):
                here = slice(*columns.start[cards : cards + 2])
                y, kind = columns.y[here], columns.kind[here]
                lower = np.arange(counts.shape[3])[:, np.newaxis]
                higher = pack.hand_cards - cards - lower
                real = np.flatnonzero(np.maximum(lower, higher) <= pack.suit_cards)
                shape = self._shape_number[lower[real], higher[real], y, kinds.lengths[kind]]
                shapes = self._levels, len(y), most + 1, len(lower)
                found = counts[:, :, opener].reshape(shapes)[..., real]
                for level, of_level in enumerate(found.transpose(0, 3, 1, 2)):
                    into = result[level, ..., points : points + most + 1]
                    into[shape, kinds.good[kind], kinds.stopped[kind]] += of_level
        return result[..., : pack.max_hcp + 1]
