"""The count behind :mod:`analysis.exact.three_hands`: four suits joined over three hands.

Method
------
Y and Z are the suits bid, W and V the unbid. The rules ask for whole shapes and whole points, so
the holdings in W and V and those in Y and Z meet only through sums. What is asked of a hand's
points, by its lengths in Y and Z, is one thing for many lengths in W and V, and for many pairs of
suits bid: each such thing is taken once (:mod:`analysis.exact.pair_rules`). For one thing asked of opener
and one asked of overcaller, everything about Y and Z except what responder holds is added up first,
for each pair of points of theirs in W and V (:mod:`analysis.exact.bid_suits_summed`). A matrix
product over those pairs of points then joins W and V.

What it takes
-------------
The time goes with the number of different things asked: of opener (some 30 in the reference
agreement, all pairs of suits together), of overcaller beside each (some 45, the levels told apart),
and with the lengths in W and V for which each is asked. Rules that tell more lengths apart add to
them, as do openings or overcalls on shorter suits; points that move do not. Responder's rules play
no part. Half a minute of one processor in all, on a machine of 2025, and 0.6 GB a process.
Agreements that differ in openings or overcalls share what they ask alike, if counted together.

Precision
---------
All terms are products and sums of non-negative numbers; nothing is subtracted. A result therefore
has a relative error of at most about 2**-53 for each operation that it has gone through in a row:
sums over classes of layouts (two of some 150 terms a pair of suits), over lengths of opener and of
overcaller (14 or fewer at a time), over points (21, 21, 231) and over joins of the same hand of
responder's (some thousands). That is well below 10,000 in a row, or 1e-12: twelve digits at the very
worst for a class of responder's hands; for the sum over classes see
:func:`analysis.exact.responses.responses`. Rounding errors partly cancel, and the tests, against
integers, find fifteen. A count of zero is exactly zero.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise, product

import numpy as np

from analysis.exact.bid_suits_summed import BidSuitsSummed, Summed
from analysis.exact.pair_rules import Asked, Lengths, Task
from analysis.exact.responder_filing import Joined, ResponderFiling
from analysis.exact.suit_pairs import BidSuits, Pair, Points, UnbidSuits
from analysis.exact.suit_ways import Floats, Pack

_Lengths = tuple[Pair, Lengths]
"""Opener's in W and V, and those of overcaller's that are taken together."""

_Unbid = dict[int, tuple[range, list[Floats]]]
"""W and V by responder's cards in Y and Z: responder's lengths in the lower suit, and by bands
(points and length of responder's, pair of points of opener and overcaller)."""


def counts(pack: Pack, task: Task) -> list[Floats]:
    """The deals by responder's hand, for each of ``task.wanted``; :meth:`ResponderFiling.filed`."""
    return _Join(pack).counts(task)


class _Join:
    def __init__(self, pack: Pack) -> None:
        self._pack = pack
        self._points = points = Points(2 * int(pack.hcp.max()))
        self._unbid, self._bid = UnbidSuits(pack, points), BidSuits(pack, points)
        self._filing = ResponderFiling(pack, points)

    def counts(self, task: Task) -> list[Floats]:
        joined = [self._filing.nothing_joined() for _ in task.wanted]
        # What to join, and where to add it. All suits are alike, so what is joined for some lengths
        # in W and V serves the same lengths in V and W: the smaller stands for both.
        joins: dict[Asked, dict[_Lengths, list[tuple[Joined, bool]]]] = {}
        for wanted, into in zip(task.wanted, joined, strict=True):
            for opener, (over, overs) in product(wanted.openers, wanted.overcallers):
                plain: _Lengths = opener, tuple(sorted(overs))
                swapped: _Lengths = opener[::-1], tuple(sorted((v, w) for w, v in overs))
                of_over = joins.setdefault(over, {})
                of_over.setdefault(min(plain, swapped), []).append((into, swapped < plain))
        summed = BidSuitsSummed(
            self._pack, self._points, self._bid, self._filing, task.opener, joins
        )
        for cards in sorted({over.cards for over in joins}):
            unbid = cache(self._unbid_parts)
            for over, sums in summed.over([over for over in joins if over.cards == cards]).items():
                for lengths, users in joins[over].items():
                    self._join(unbid(*lengths), sums, users)
        return [self._filing.filed(one) for one in joined]

    def _unbid_parts(self, opener: Pair, overcallers: Lengths) -> _Unbid:
        """W and V, added up over overcaller's lengths, as the join wants them."""
        points = self._points
        table = self._unbid.table(opener, overcallers)
        higher, lower = (lengths - 1 for lengths in table.shape[:2])
        parts: _Unbid = {}
        for cards in range(self._pack.hand_cards + 1):
            rest = self._pack.hand_cards - cards
            own = range(max(0, rest - higher), min(rest, lower) + 1)
            if own:
                here = table[rest - np.array(own), own]
                bands = zip(points.bands, pairwise(self._unbid.starts), strict=True)
                parts[cards] = (
                    own,
                    [
                        here[:, slice(*cells)]
                        .reshape(len(own), band.stop - band.start, -1)
                        .swapaxes(0, 1)
                        .reshape((band.stop - band.start) * len(own), -1)
                        for band, cells in bands
                    ],
                )
        return parts

    def _join(self, unbid: _Unbid, bid: Summed, users: list[tuple[Joined, bool]]) -> None:
        """Multiply the two pairs of suits over the points of opener and overcaller in W and V.

        Responder's lengths in W and V are swapped for those users that say so.
        """
        for cards, counts in bid.items():
            if cards not in unbid or not counts.shape[1]:
                continue
            own, bands = unbid[cards]
            rest, least = self._pack.hand_cards - cards, self._filing.lower[cards].start
            plain = slice(own.start - least, own.stop - least)
            swapped = slice(rest - own.stop + 1 - least, rest - own.start + 1 - least)
            for band, table in zip(self._points.bands, bands, strict=True):
                product = (table @ counts[: table.shape[1]]).reshape(-1, len(own), counts.shape[1])
                for into, swap in users:
                    if swap:
                        into[cards][band, swapped] += product[:, ::-1]
                    else:
                        into[cards][band, plain] += product
