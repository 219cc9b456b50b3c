"""Three hands: short packs dealt out in full, the full pack in integers, SciPy, and dealt hands.

The rules here are arrays drawn at random or a few lines of numpy: the count must hold for any rules.
"""

from collections import Counter
from dataclasses import replace
from itertools import combinations, product
from math import comb, factorial
from typing import Any

import numpy as np
import pytest
from double_study.cards import hands
from double_study.cards.deal import BLOCK_DEALS
from double_study.combinatorics.three_hands import Pack, PairRules, ResponderWays, responder_ways
from double_study.counting.run import cards_of
from scipy.stats import chi2, multivariate_hypergeom

# Sums of non-negative float64 terms, well below 10,000 roundings of 2**-53 in a row.
RELATIVE = 1e-12
LEVELS = 1, 2


def ways_of(pack: Pack, rules: PairRules) -> ResponderWays:
    return responder_ways(pack, [rules])[0]


def random_rules(
    pack: Any, opened: int, overcalled: int, opens: Any, overcalls: Any, seed: int = 7
) -> Any:
    """Return random rules that hold for these fractions of the classes."""
    rng = np.random.default_rng(seed)
    classes = len(pack.shapes), pack.most_hcp + 1
    flagged = (*classes, 2, 2)  # the responder's; the overcaller's Z has three qualities
    return PairRules(
        opened,
        overcalled,
        rng.random(classes) < opens,
        {level: rng.random((*classes, 3, 2)) < overcalls for level in LEVELS},
        {level: rng.integers(-1, 3, flagged) for level in LEVELS},
    )


def every_hand(pack: Any) -> Any:
    """All hands of a short pack, as sets of cards and by what the rules ask of them."""
    suit, cards = pack.suit_cards, 4 * pack.suit_cards
    held = combinations(range(cards), pack.hand_cards)
    sets = np.array([sum(1 << card for card in hand) for hand in held])
    holdings = (sets >> (suit * np.arange(4)[:, np.newaxis])) & ((1 << suit) - 1)
    lengths = np.bitwise_count(holdings).astype(int)
    number = {tuple(shape): i for i, shape in enumerate(pack.shapes.tolist())}
    shape = np.array([number[tuple(hand)] for hand in lengths.T.tolist()])
    holdings <<= 13 - suit
    hcp = hands.HOLDING_HCP[holdings].sum(axis=0)
    good, honour = hands.good()[holdings], hands.HONOUR[holdings]
    return sets, lengths, shape, hcp, good, hands.STOPPER[holdings], honour


@pytest.mark.parametrize(
    ("suit_cards", "hand_cards", "opened", "overcalled"),
    [
        *[(4, 4, 0, 1), (5, 3, 2, 1), (5, 3, 3, 0), (6, 3, 1, 3)],
        pytest.param(6, 4, 1, 3, marks=pytest.mark.slow),
    ],
)
def test_short_packs_dealt_out_in_full(
    suit_cards: Any, hand_cards: Any, opened: int, overcalled: int
) -> None:
    pack = Pack(2, suit_cards, hand_cards)
    rules = random_rules(pack, opened, overcalled, opens=0.02, overcalls=0.03)
    counted = ways_of(pack, rules)
    together = ways_of(pack, replace(rules, groups={}))

    sets, lengths, shape, hcp, good, stopper, honour = every_hand(pack)
    lower, higher = (s for s in range(4) if s not in (opened, overcalled))
    own_flags = good[overcalled].astype(int), stopper[overcalled].astype(int)
    flags = own_flags[0] + honour[overcalled], stopper[opened].astype(int)
    for level in LEVELS:
        overcalls = rules.overcalls[level][shape, hcp, *flags]
        cells = rules.groups[level][shape, hcp, *own_flags]
        ways = np.zeros(len(sets), dtype=np.int64)
        fits = np.zeros((3, suit_cards + 1, suit_cards + 1), dtype=np.int64)
        overcallers = sets[overcalls]
        for opener in np.flatnonzero(rules.opens[shape, hcp]):
            left = overcallers[overcallers & sets[opener] == 0]
            free = np.flatnonzero(sets & sets[opener] == 0)
            here = (left[:, np.newaxis] & sets[free] == 0).sum(axis=0)
            ways[free] += here
            counted_in = cells[free] >= 0
            of_opener = fits[:, lengths[lower, opener], lengths[higher, opener]]
            np.add.at(of_opener, cells[free][counted_in], here[counted_in])
        expected = np.zeros(counted.ways[level].shape, dtype=np.int64)
        np.add.at(expected, (shape, hcp, *own_flags), ways)
        assert expected.sum() > 1000
        # These counts are whole and far below 2**53: not a digit may differ.
        assert np.array_equal(counted.ways[level], expected)
        assert np.array_equal(counted.fits[level], fits)
        # And where opener's lengths need not be distinguished.
        assert np.array_equal(together.ways[level], expected)


def test_every_deal_of_a_short_pack_is_counted_once() -> None:
    pack = Pack(2, 4, 4)
    rules = random_rules(pack, 2, 3, opens=1.0, overcalls=1.0)
    counted = ways_of(pack, rules).ways[1]
    deals = factorial(16) // factorial(4) ** 4
    assert counted.sum() == deals
    of_shape = multivariate_hypergeom([4] * 4, 4).pmf(pack.shapes)
    assert counted.sum(axis=(1, 2, 3)) / deals == pytest.approx(of_shape, rel=RELATIVE)


FULL = Pack()
OPENER, OVERCALLER = (2, 3, 3, 5), (3, 6, 2, 2)
OPENER_HCP, OVERCALLER_HCP = (12, 13, 19), (8, 11, 14)
SPADES, DIAMONDS = 3, 1


def one_shape_each(opener_hcp: Any, overcaller_hcp: Any) -> Any:
    """1♠ with one shape, overcalled in diamonds with one, the lighter the better the suit.

    At level 3 no stopper in spades is wanted.
    """
    number = {tuple(shape): i for i, shape in enumerate(FULL.shapes.tolist())}
    opens = np.zeros((len(FULL.shapes), FULL.most_hcp + 1), dtype=bool)
    opens[number[OPENER], list(opener_hcp)] = True
    over = np.zeros((*opens.shape, 3, 2), dtype=bool)
    for quality in range(3):
        over[number[OVERCALLER], list(overcaller_hcp[2 - quality :]), quality] = True
    without_stopper = over & np.array([True, False])
    return number, PairRules(SPADES, DIAMONDS, opens, {2: over, 3: without_stopper})


def suit_in_integers(lengths: Any) -> Any:
    """Return the ways to deal a suit: Counter of (points of three hands, their flags), Python integers.

    The flags of a hand, computed here from the cards, are the quality of its suit (0, 1 with the
    ace, king or queen, 2 if good) and its stopper.
    """
    points = 4, 3, 2, 1, 0
    lengths = (*lengths, 13 - sum(lengths))
    ways: Counter[tuple[Any, Any]] = Counter()
    for owner in product(range(4), repeat=5):
        held = [[card for card in range(5) if owner[card] == hand] for hand in range(4)]
        small = [n - len(cards) for n, cards in zip(lengths, held, strict=True)]
        if min(small) < 0:
            continue
        number = factorial(8)
        for n in small:
            number //= factorial(n)
        honours = [(min(cards, default=5) < 3) * (1 + (len(cards) >= 2)) for cards in held]
        stops = [any(c < 4 and n > c for c in hand) for n, hand in zip(lengths, held, strict=True)]
        flags = tuple(zip(honours[:3], stops[:3], strict=True))
        ways[tuple(sum(points[c] for c in cards) for cards in held[:3]), flags] += number
    return ways


def joined_in_integers(one: Any, other: Any, keep: Any) -> Any:
    joined: Counter[tuple[Any, Any]] = Counter()
    for (points, flags), ways in one.items():
        for (more, other_flags), number in other.items():
            total = tuple(a + b for a, b in zip(points, more, strict=True))
            joined[total, keep(flags, other_flags)] += ways * number
    return joined


@pytest.mark.parametrize("responder", [(4, 2, 5, 2), (1, 4, 4, 4), (6, 0, 3, 4)])
def test_the_full_pack_in_integers(responder: Any) -> None:
    number, rules = one_shape_each(OPENER_HCP, OVERCALLER_HCP)
    counted = ways_of(FULL, rules).ways
    suits = [suit_in_integers(held) for held in zip(OPENER, OVERCALLER, responder, strict=True)]
    unbid = joined_in_integers(suits[0], suits[2], keep=lambda _, __: None)
    by_pair: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for ((a, b, c), _), ways in unbid.items():
        by_pair.setdefault((a, b), []).append((c, ways))

    def asked(diamonds: Any, spades: Any) -> Any:
        """Overcaller's quality of diamonds, its stopper in spades, responder's good ones and stopper."""
        quality, stopped = diamonds[2]
        return diamonds[1][0], spades[1][1], (quality == 2, stopped)

    expected: dict[int, Counter[Any]] = {level: Counter() for level in (2, 3)}
    for ((a, b, c), flags), ways in joined_in_integers(suits[1], suits[3], asked).items():
        quality, stopped, own = flags
        hcp = OVERCALLER_HCP[2 - quality :]
        for opener, over in product(OPENER_HCP, hcp):
            for more, others in by_pair.get((opener - a, over - b), []):
                expected[2][c + more, *own] += ways * others
                if not stopped:
                    expected[3][c + more, *own] += ways * others
    for level, cells in expected.items():
        found = counted[level][number[responder]]
        assert {tuple(map(int, cell)) for cell in np.argwhere(found)} == set(cells)
        for cell, ways in cells.items():
            assert found[*map(int, cell)] == pytest.approx(ways, rel=RELATIVE)


def test_shapes_beside_two_known_shapes_are_multivariate_hypergeometric() -> None:
    every = range(FULL.most_hcp + 1)
    _, rules = one_shape_each(every, every)
    over = {2: rules.overcalls[2] | rules.overcalls[2].any(axis=(1, 2, 3), keepdims=True)}
    ways = ways_of(FULL, PairRules(SPADES, DIAMONDS, rules.opens, over)).ways[2]
    left = 13 - np.array(OPENER) - OVERCALLER
    reference = multivariate_hypergeom(left, 13).pmf(FULL.shapes)
    two = np.prod([comb(13, a) * comb(13 - a, b) for a, b in zip(OPENER, OVERCALLER, strict=True)])
    deals = float(two) * comb(26, 13)
    # SciPy works through logarithms of factorials, whose rounding grows to about 1e-12.
    assert ways.sum(axis=(1, 2, 3)) / deals == pytest.approx(reference, rel=1e-10)


def test_dealt_hands_agree() -> None:
    """Fails for one seed in a thousand where the counts are right: chi-square at 0.001.

    Opener has two clubs, five hearts and 8-19 points; overcaller five good spades and 8-17.
    """
    shapes, hcp = FULL.shapes, np.arange(FULL.most_hcp + 1)
    opens = ((shapes[:, 0] == 2) & (shapes[:, 2] == 5))[:, np.newaxis] & (hcp >= 8) & (hcp <= 19)
    over = np.zeros((*opens.shape, 3, 2), dtype=bool)
    over[..., 2, :] = ((shapes[:, 3:] == 5) & (hcp >= 8) & (hcp <= 17))[..., np.newaxis]
    of_hcp = np.clip(hcp // 4, 1, 3)[:, np.newaxis, np.newaxis] - 1
    cells = np.broadcast_to(of_hcp, (*opens.shape, 2, 2))
    ways = ways_of(FULL, PairRules(2, 3, opens, {1: over}, {1: cells}))

    # Counts that are all three tenths too high are found with a power above 0.99.
    deals = 8 * BLOCK_DEALS
    cards = cards_of(2, [(block, BLOCK_DEALS) for block in range(8)])[:3]
    opener, overcaller, responder = (hands.Hands(hands.hand_words(hand)) for hand in cards)
    began = (opener.lengths[0] == 2) & (opener.lengths[2] == 5) & (overcaller.lengths[3] == 5)
    began &= overcaller.good[3] & (opener.hcp >= 8) & (opener.hcp <= 19)
    began &= (overcaller.hcp >= 8) & (overcaller.hcp <= 17)
    seen = np.zeros((3, 3))
    diamonds = np.clip(opener.lengths[1, began], 2, 4) - 2
    np.add.at(seen, (np.clip(responder.hcp[began] // 4, 1, 3) - 1, diamonds), 1)

    by_diamonds = ways.fits[1].sum(axis=1)
    parts = [by_diamonds[:, part].sum(axis=1) for part in (slice(3), slice(3, 4), slice(4, None))]
    chances = np.column_stack(parts) * (deals / (factorial(52) // factorial(13) ** 4))
    expected, counts = (np.append(x, deals - x.sum()) for x in (chances, seen))
    assert expected.min() > 5
    assert ((counts - expected) ** 2 / expected).sum() < chi2(len(counts) - 1).isf(0.001)


def test_pairs_counted_together_are_those_counted_alone() -> None:
    """And however many workers there are: the same bits, each pair in its place."""
    pack = Pack(2, 3, 2)
    pairs = [random_rules(pack, y, z, 0.5, 0.5) for y, z in [(0, 1), (3, 2), (1, 0)]]
    steps = []
    results = responder_ways(pack, pairs, 2, lambda done, of: steps.append((done, of)))
    assert steps == [(done, len(steps)) for done in range(1, len(steps) + 1)]
    for rules, result in zip(pairs, results, strict=True):
        alone = ways_of(pack, rules)
        for level in LEVELS:
            assert np.array_equal(result.ways[level], alone.ways[level])
            assert np.array_equal(result.fits[level], alone.fits[level])
