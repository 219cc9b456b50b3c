"""Responder's hand while the suits are being joined, and how the joined counts are filed.

Responder's holding in the two suits bid, Y and Z, is a *column*: a length in Y and a kind of holding
in Z. There is a list of columns for each number of points that the holding may have. (Few holdings
have, say, no points; lists of those that do keep the matrices small.)
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from analysis.exact.suit_pairs import Points
from analysis.exact.suit_ways import SUITS, Floats, Ints, Kinds, Pack

Joined = dict[int, Floats]
"""Counts by responder's cards in Y and Z. Each is (points in the unbid suits, length in the lower of
them, holding in Y and Z): see :attr:`ResponderFiling.lower`, :attr:`ResponderFiling.places`.
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

    ``lower[cards]``: responder's lengths in the lower unbid suit with so many cards in Y and Z.
    ``places[cards][points]``: where the columns of so many cards and points stand among all those
    of so many cards, a slice.
    """

    def __init__(self, pack: Pack, points: Points) -> None:
        self._pack, self._points = pack, points
        self._kinds = Kinds(pack)
        self._shape_number = np.full((pack.suit_cards + 1,) * SUITS, -1, dtype=np.int64)
        self._shape_number[tuple(pack.shapes.T)] = np.arange(len(pack.shapes))
        self.columns = [self._columns(total) for total in range(points.most + 1)]
        self.lower: list[range] = []
        self.places: list[list[slice]] = []
        for cards in range(pack.hand_cards + 1):
            unbid = pack.hand_cards - cards
            self.lower.append(
                range(max(0, unbid - pack.suit_cards), min(unbid, pack.suit_cards) + 1)
            )
            sizes = [columns.start[cards + 1] - columns.start[cards] for columns in self.columns]
            ends = np.cumsum(sizes).tolist()
            self.places.append(
                [slice(end - size, end) for end, size in zip(ends, sizes, strict=True)]
            )

    def _columns(self, total: int) -> Columns:
        in_y, in_z = self._kinds.points_of_length, self._kinds.points
        most = in_y.shape[1] - 1
        own = np.arange(max(0, total - most), min(total, most) + 1)
        y, kind = np.nonzero((in_y[:, np.newaxis, own] & in_z[:, total - own]).any(axis=-1))
        cards = y + self._kinds.lengths[kind]
        order = np.argsort(cards, kind="stable")
        start = np.searchsorted(cards[order], np.arange(self._pack.hand_cards + 2))
        return Columns(y[order], kind[order], start.tolist())

    def nothing_joined(self) -> Joined:
        """Zeros to add joins to."""
        return {
            cards: np.zeros((self._points.most + 1, len(lower), places[-1].stop))
            for cards, (lower, places) in enumerate(zip(self.lower, self.places, strict=True))
            if lower
        }

    def filed(self, joined: Joined) -> Floats:
        """The counts by responder's shape, Z good, Z stopped and HCP.

        A shape's number is its place in ``pack.shapes`` as the lengths in the lower and the higher
        unbid suit, Y and Z, in this order.
        """
        pack, kinds, most = self._pack, self._kinds, self._points.most
        result = np.zeros((2 * most + 1, len(pack.shapes), 2, 2))
        flat = result.reshape(2 * most + 1, -1)
        for cards, counts in joined.items():
            lower = np.array(self.lower[cards])[:, np.newaxis]
            higher = pack.hand_cards - cards - lower
            for points, (columns, place) in enumerate(
                zip(self.columns, self.places[cards], strict=True)
            ):
                here = slice(*columns.start[cards : cards + 2])
                y, kind = columns.y[here], columns.kind[here]
                shape = self._shape_number[lower, higher, y, kinds.lengths[kind]]
                filed = (4 * shape + 2 * kinds.good[kind] + kinds.stopped[kind]).ravel()
                flat[points : points + most + 1, filed] += counts[..., place].reshape(most + 1, -1)
        return np.moveaxis(result, 0, -1)[..., : pack.max_hcp + 1]
