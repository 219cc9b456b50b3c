"""Exact counterparts of the deals themselves: cards, hands, partnerships, splits, and no deal twice."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

import numpy as np
import scipy
from numpy.typing import NDArray
from scipy.special import comb

from analysis.cards.bids import MAJORS, SUIT_NAMES, SUITS
from analysis.checking.family import Family, Grouping
from analysis.counting.dealt_counts import (
    CARD,
    CARDS_BY_SEAT,
    EACH_SEAT,
    HAND_CLASSES,
    MAJOR_SPLITS,
    PARTNERSHIP_HCP,
    PARTNERSHIP_LENGTHS,
)
from analysis.counting.fingerprints import BITS, KEPT_SHARE, Fingerprints
from analysis.counting.tally import Counts, Tally
from analysis.exact.one_hand import HAND_CARDS, MAX_HCP, N_HANDS, hand_classes, shapes
from analysis.exact.two_hands import N_PARTNERSHIPS, partnership_hcp_ways, partnership_lengths
from analysis.statistics.goodness_of_fit import GoodnessOfFit

FIT = 8
"""Cards of a suit that make it a partnership's fit."""

FINGERPRINTS = (1 << BITS) // KEPT_SHARE
"""Different fingerprints that may be kept."""


def dealt_families(tally: Tally) -> Iterator[Family]:
    """The families that check the dealer, whatever the agreement."""
    yield _cards(tally[CARDS_BY_SEAT.name])
    for seat, counts in zip(EACH_SEAT.names, tally[HAND_CLASSES.name], strict=True):
        yield from _hands(seat, counts)
    yield from _partnership_lengths(tally[PARTNERSHIP_LENGTHS.name])
    counts = tally[PARTNERSHIP_HCP.name]
    labels = [f"{points} HCP" for points in range(len(counts))]
    yield Family(
        "HCP of seats 1 and 3",
        labels,
        counts,
        partnership_hcp_ways() / N_PARTNERSHIPS,
        int(counts.sum()),
    )
    yield from _splits(tally[MAJOR_SPLITS.name])
    yield _repeats(tally.fingerprints)


def _cards(counts: Counts) -> Family:
    """Each card in each seat a quarter of the time.

    A deal gives thirteen cards to each seat, so the 52 by 4 counts hang together: their covariance
    is that of independent cards, times 52/51, with the part that all cards share taken out. Hence
    51/52 times the sum over cells is chi-square with 51 * 3 degrees of freedom.
    """
    cards, seats = counts.shape
    deals = int(counts[0].sum())
    expected = deals / seats
    statistic = (cards - 1) / cards * float(((counts - expected) ** 2).sum()) / max(expected, 1)
    df = (cards - 1) * (seats - 1)
    test = GoodnessOfFit(statistic, df, float(scipy.stats.chi2.sf(statistic, df)), 0)
    labels = [f"{card} in seat {seat}" for card in CARD.names for seat in EACH_SEAT.names]
    shares = np.full(counts.size, 1 / seats)
    return Family("cards by seat", labels, counts.ravel(), shares, deals, own_test=test)


@lru_cache
def _hand_labels() -> tuple[list[str], list[str], dict[str, Grouping]]:
    """The points and the shape of each class of hands, and coarser cells by what tells of a hand."""
    points = range(MAX_HCP + 1)
    rows = np.repeat(shapes(), len(points), axis=0)
    texts = [_dashed(row) for row in rows.tolist()]
    hcp = [f"{n:2} HCP" for n in [*points] * len(shapes())]
    ordered = -np.sort(-rows, axis=1)
    coarser = {
        "HCP": hcp,
        "shapes": texts,
        "patterns": [_dashed(row) for row in ordered.tolist()],
        "longest suit": [f"{n:2} cards" for n in ordered[:, 0]],
    }
    for suit in SUITS:
        coarser[SUIT_NAMES[suit]] = [f"{n:2} cards" for n in rows[:, suit]]
    return hcp, texts, {name: Grouping.of(labels) for name, labels in coarser.items()}


def _hands(seat: int, counts: Counts) -> Iterator[Family]:
    """Shape and points of one seat's hand, and what follows from them."""
    hcp, texts, coarser = _hand_labels()
    classes = Family(
        f"HCP within a shape, seat {seat}",
        hcp,
        counts.ravel(),
        hand_classes().ravel() / N_HANDS,
        int(counts.sum()),
        texts,
    )
    yield classes
    for name, grouping in coarser.items():
        yield classes.grouped(f"{name}, seat {seat}", grouping)


def _dashed(lengths: Iterable[int]) -> str:
    return "-".join(map(str, lengths))


def _partnership_lengths(counts: Counts) -> Iterator[Family]:
    """Combined lengths of seats 1 and 3; the other side has the rest of each suit."""
    lengths, ways = partnership_lengths()
    deals = int(counts.sum())
    both = Family(
        "combined lengths of seats 1 and 3",
        ["-".join(map(str, row)) for row in lengths.tolist()],
        counts,
        ways / N_PARTNERSHIPS,
        deals,
    )
    yield both
    for suit in SUITS:
        labels = [f"{n:2} cards" for n in lengths[:, suit]]
        yield both.grouped(f"{SUIT_NAMES[suit]} of seats 1 and 3", Grouping.of(labels))
    longest = zip(lengths.max(axis=1), HAND_CARDS - lengths.min(axis=1), strict=True)
    labels = [f"we {ours:2}, they {theirs:2}" for ours, theirs in longest]
    yield both.grouped("longest fit", Grouping.of(labels))
    majors = lengths[:, list(MAJORS)]
    fits = zip(_fits(majors), _fits(HAND_CARDS - majors), strict=True)
    labels = [f"we {ours}, they {theirs}" for ours, theirs in fits]
    yield both.grouped("fits in a major", Grouping.of(labels))


def _fits(majors: NDArray[np.integer]) -> list[str]:
    """The majors in which a side has a fit."""
    sets = ("none", "hearts", "spades", "both")
    return [sets[code] for code in ((majors >= FIT) @ np.array([1, 2])).tolist()]


def _splits(counts: Counts) -> Iterator[Family]:
    """How what seats 1 and 3 lack of a major lies between seats 2 and 4.

    Each major alone, and spades given how hearts lie: seat 2 then has vacant places for them.
    """
    hearts, in_2, spades, spades_in_2 = np.indices(counts.shape).reshape(4, -1)
    # Seats 1 and 3 take their 26 cards, then seat 2 takes its 13 of the other 26.
    unseen = 2 * HAND_CARDS
    ways = comb(HAND_CARDS, hearts) * comb(HAND_CARDS, spades)
    ways *= comb(unseen, unseen - hearts - spades)
    out, spades_out = HAND_CARDS - hearts, HAND_CARDS - spades
    ways *= comb(out, in_2) * comb(spades_out, spades_in_2)
    ways *= comb(unseen - out - spades_out, HAND_CARDS - in_2 - spades_in_2)
    chances = np.asarray(ways / (N_PARTNERSHIPS * comb(unseen, HAND_CARDS)), dtype=np.float64)
    table = np.stack([out, in_2, spades_out, spades_in_2], axis=1)[ways > 0].tolist()
    both = Family(
        "spades, given how hearts lie",
        [f"{s} in seat 2" for _, _, _, s in table],
        counts.ravel()[ways > 0],
        chances[ways > 0],
        int(counts.sum()),
        [f"hearts {h}-{o - h}, {t} spades" for o, h, t, _ in table],
    )
    yield both
    for suit, column in zip(MAJORS, (0, 2), strict=True):
        sides = [(row[column], row[column + 1]) for row in table]
        labels = [f"{max(h, o - h)}-{min(h, o - h)}" for o, h in sides]
        splits = Grouping.of(labels, [f"{o:2} outstanding" for o, _ in sides])
        yield both.grouped(f"split of {SUIT_NAMES[suit]}", splits)


def _repeats(fingerprints: Fingerprints) -> Family:
    """No deal comes twice.

    Fingerprints that are kept differ in all bits but those by which their deals were picked. Two
    different deals have the same one with chance 1 in 2**51, so the number of such pairs is Poisson.
    """
    kept = len(fingerprints)
    seen, mean = kept - len(np.unique(fingerprints)), comb(kept, 2) / FINGERPRINTS
    test = GoodnessOfFit(float(seen), 0, float(scipy.stats.poisson.sf(seen - 1, mean)), 0)
    chance = np.array([mean / max(kept, 1)])
    return Family("deals that came twice", ["alike"], np.array([seen]), chance, kept, own_test=test)
