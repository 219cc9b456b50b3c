"""The study's exact figure for each published one: what `test_published_tables.py` compares.

`exact_figures()` maps the id of a row to a tuple with one figure for each number printed in it.
"""

from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from functools import cache
from math import comb, factorial

import numpy as np
from double_study.agreements.reader import load
from double_study.cards.bids import N_DEALS, RANKS, SUITS
from double_study.cards.hands import SHAPES
from double_study.combinatorics import hands as one_hand
from double_study.combinatorics import two_hands
from double_study.combinatorics.hands import N_HANDS, hand_classes, one_of_a_suit
from double_study.combinatorics.two_hands import N_PARTNERSHIPS, chance_of_holding
from double_study.stats import wilson
from numpy.typing import NDArray
from published.length_tables import length_tables, length_tables_up_to_symmetry
from scipy.stats import binomtest

Figure = Fraction | int | float
Figures = dict[str, tuple[Figure, ...]]
Pattern = tuple[int, ...]

BALANCED: set[Pattern] = {(4, 3, 3, 3), (4, 4, 3, 2), (5, 3, 3, 2)}


@cache
def exact_figures() -> Figures:
    families = (
        *(splits, vacant_places, shapes, points, honours, partnerships),
        *(whole_deals, openings, intervals),
    )
    return {name: figures for family in families for name, figures in family().items()}


def chance(ways: int | np.integer) -> Fraction:
    """Return the probability of a case that `ways` of the `N_HANDS` hands belong to."""
    return Fraction(int(ways), N_HANDS)


def odds_against(probability: Fraction) -> tuple[Fraction, int]:
    """Return the odds of n to 1 against, as the pair (n, 1) that is printed."""
    return (1 / probability - 1, 1)


def split(outstanding: int, longer: int) -> Fraction:
    """Return the chance that the cards outstanding in a suit split longer - rest, either way round."""
    one_way = chance_of_holding(longer, outstanding)
    return one_way if 2 * longer == outstanding else 2 * one_way


def one_layout(outstanding: int, held: int) -> Fraction:
    """Return the chance that one hand holds `held` named cards of those outstanding, the other the rest."""
    return chance_of_holding(held, outstanding) / comb(outstanding, held)


def splits() -> Figures:
    figures: Figures = {}
    for outstanding in range(2, 14):
        for longer in range((outstanding + 1) // 2, outstanding + 1):
            name = f"split.{outstanding}.{longer}-{outstanding - longer}"
            figures[f"{name}.eb84"] = (split(outstanding, longer),)
            figures[f"{name}.wiese"] = (split(outstanding, longer),)
            figures[f"{name}.onelayout"] = (one_layout(outstanding, longer),)
    # The king alone in either hand is one layout of a 3-1 split, or its mirror image.
    return figures | {
        "alder.40": (chance_of_holding(4, 4),),
        "alder.singK": (2 * one_layout(4, 1),),
        "honours.split": (split(2, 1),),
    }


def vacant_places() -> Figures:
    figures: Figures = {
        f"vacant.4out.{first}-{second}.{held}": (
            chance_of_holding(held, 4, 13 - first, 13 - second),
        )
        for first, second in ((0, 0), (5, 4), (6, 3), (8, 1))
        for held in range(5)
    }
    for name, places, other in (("tuffnell", 10, 5), ("wiki", 12, 11)):
        lies_here = chance_of_holding(1, 1, places, other)
        figures[f"vacant.{name}"] = (lies_here / (1 - lies_here) * other, other)
    return figures | {"vacant.bourke": (chance_of_holding(1, 1, 7, 5),)}


def shape_ways() -> NDArray[np.int64]:
    """Return the hands of each shape, from the classes that every exact figure is made of."""
    return hand_classes().sum(axis=1)


def patterns() -> Counter[Pattern]:
    """Return the hands of each of the 39 patterns: lengths from longest to shortest, any suits."""
    ways: Counter[Pattern] = Counter()
    for shape, number in zip(SHAPES.tolist(), shape_ways().tolist(), strict=True):
        ways[tuple(sorted(shape, reverse=True))] += number
    return ways


def shapes() -> Figures:
    figures: Figures = {}
    in_order = dict(zip(map(tuple, SHAPES.tolist()), shape_ways().tolist(), strict=True))
    for pattern, ways in patterns().items():
        name = "pattern." + "-".join(map(str, pattern))
        figures[name] = (chance(ways),)
        figures[f"{name}.specific"] = (chance(in_order[pattern]),)
    for cards in range(14):
        figures[f"suitlen.{cards}"] = (chance(shape_ways()[SHAPES[:, 0] == cards].sum()),)
    balanced = one_hand.class_hands().balanced
    even, three = of_patterns(BALANCED.__contains__), of_patterns(lambda pattern: pattern[2] >= 4)
    single = of_patterns(lambda pattern: pattern[0] >= 6 and pattern[1] <= 4)
    return figures | {
        "pattern.total": (len(patterns()), len(in_order), N_HANDS),
        "pattern.5332.onesuitorder": (in_order[5, 3, 3, 2],),
        "shape.len4": (of_patterns(lambda pattern: pattern[0] == 4),),
        "shape.len5": (of_patterns(lambda pattern: pattern[0] == 5),),
        "shape.bal": (chance(one_hand.hand_classes()[balanced].sum()),),
        "shape.semi": (of_patterns({(7, 2, 2, 2), (6, 3, 2, 2), (5, 4, 2, 2)}.__contains__),),
        # The second-hand lesson gives no definitions. These four share out all hands and give
        # the printed figures: three suits of four or more make a three-suiter; a single-suiter
        # has six or more cards and no other suit of five; what else is not balanced has two.
        "handtype.balanced": (even,),
        "handtype.two-suiter": (1 - even - three - single,),
        "handtype.three-suiter": (three,),
        "handtype.single-suiter": (single,),
    }


def of_patterns(wanted: Callable[[Pattern], bool]) -> Fraction:
    return chance(sum(w for pattern, w in patterns().items() if wanted(pattern)))


def points() -> Figures:
    ways = one_hand.hcp_ways()
    balanced = one_hand.class_hands().balanced
    balanced_ways = np.where(balanced, one_hand.hand_classes(), 0).sum(axis=0)
    figures: Figures = {f"hcp.one.{k}": (chance(w),) for k, w in enumerate(ways)}
    figures |= {f"hcp.one.cum.{k}": (chance(w),) for k, w in enumerate(np.cumsum(ways))}
    for low, high in ((31, 37), (12, 19), (12, 14), (15, 17)):
        figures[f"hcp.one.{low}-{high}"] = (chance(ways[low : high + 1].sum()),)
    return figures | {
        "hcp.one.12plus": (chance(ways[12:].sum()),),
        "hcp.one.15plus": (chance(ways[15:].sum()),),
        "ratio.bal": (Fraction(int(balanced_ways[15:18].sum()), int(balanced_ways[16:19].sum())),),
        "ratio.all": (Fraction(int(ways[15:18].sum()), int(ways[16:19].sum())),),
    }


def no_card_above(rank: str) -> int:
    """Return the hands without a card above `rank`: '9' gives the Yarboroughs."""
    return comb(len(SUITS) * (RANKS.index(rank) + 1), 13)


def aces(number: int) -> int:
    return comb(4, number) * comb(48, 13 - number)


def honours_in_some_suit(number: int) -> int:
    """Return the hands with exactly `number` of the five honours A K Q J T in at least one suit."""
    top = np.bitwise_count(np.arange(1 << 13) >> 8)
    without = np.bincount(np.bitwise_count(np.arange(1 << 13)[top != number]), minlength=14)
    two_suits = np.convolve(without, without)
    return N_HANDS - int(np.convolve(two_suits, two_suits)[13])


def honours() -> Figures:
    yarborough, four_aces = chance(no_card_above("9")), chance(aces(4))
    return {
        "yarb": odds_against(yarborough),
        "yarb.count": (no_card_above("9"), yarborough.numerator, yarborough.denominator),
        "no10up": odds_against(chance(no_card_above("T"))),
        "noJup": odds_against(chance(no_card_above("J"))),
        "noQup": odds_against(chance(no_card_above("Q"))),
        "noace": odds_against(chance(aces(0))),
        "4aces": odds_against(four_aces),
        "4aces.crc": (four_aces.numerator, four_aces.denominator, *odds_against(four_aces)),
        "4hon": odds_against(chance(honours_in_some_suit(4))),
        "5hon": odds_against(chance(honours_in_some_suit(5))),
    }


def partnerships() -> Figures:
    balanced = one_hand.class_hands().balanced[:, 0]
    own = SHAPES[balanced, 0]
    # The chances of 0 to 13 cards of a suit in two hands, the first of them balanced.
    together = [Fraction(0)] * 14
    for held, ways in zip(own.tolist(), shape_ways()[balanced].tolist(), strict=True):
        for partner, unseen in enumerate(two_hands.partner_length(held)[: 14 - held]):
            together[held + partner] += ways * unseen
    together = [part / sum(together) for part in together]
    lengths, ways_of_two = two_hands.partnership_lengths()
    eight = ways_of_two[(lengths >= 8).any(axis=1)].sum()
    return {
        "fit.8plus": (Fraction(int(eight), N_PARTNERSHIPS),),
        "fit.1NT.length": tuple(100 * together[cards] for cards in range(3, 11)),
        # The printed 26 is the number of named cards.
        "hands.pair26": (*odds_against(Fraction(1, N_PARTNERSHIPS)), two_hands.PARTNERSHIP_CARDS),
    }


def whole_deals() -> Figures:
    after_one, after_two = comb(39, 13), comb(26, 13)
    assert N_HANDS * after_one * after_two == N_DEALS
    return {
        "deals.total": (N_DEALS,),
        "deals.matrices": (length_tables(),),
        "deals.dealprints": (length_tables_up_to_symmetry(),),
        "deals.fourperfect": odds_against(Fraction(factorial(len(SUITS)), N_DEALS)),
        "hands.second": (after_one, after_two),
    }


def openings() -> Figures:
    """Return the fewest cards of a suit on which any hand in first seat opens 1S, 1H, 1D, 1C."""
    agreements = {"5533": "reference", "4444": "four_card_majors", "5542": "two_card_club"}
    figures: Figures = {}
    for name, agreement in agreements.items():
        opens = one_of_a_suit(load(agreement))
        figures[f"open.lengths.{name}"] = tuple(
            SHAPES[opens[suit].any(axis=1), suit].min() for suit in reversed(SUITS)
        )
    return figures


def intervals() -> Figures:
    figures: Figures = {"ci.scipydoc": clopper_pearson(7, 50)}
    for successes, of in ((81, 263), (15, 148), (0, 20), (1, 29)):
        figures[f"ci.wilson.{successes}/{of}"] = tuple(float(x) for x in wilson(successes, of))
        # The study does not use Clopper and Pearson's interval: these rows show that SciPy, the
        # reference of tests/statistics, is itself in step with the published table.
        figures[f"ci.cp.{successes}/{of}"] = clopper_pearson(successes, of)
    return figures


def clopper_pearson(successes: int, of: int) -> tuple[float, float]:
    interval = binomtest(successes, of).proportion_ci(0.95, method="exact")
    return (float(interval.low), float(interval.high))
