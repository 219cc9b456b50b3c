"""The study's exact figure for each published one: what `test_published_tables.py` compares.

`exact_figures()` maps the id of a row to a tuple with one figure for each number printed in it.
"""

from collections.abc import Callable
from fractions import Fraction
from functools import cache
from math import comb, factorial

import numpy as np
from double_study.agreements.reader import load
from double_study.cards.bids import N_DEALS, SUITS
from double_study.cards.hands import SHAPES
from double_study.combinatorics import hands as one_hand
from double_study.combinatorics import two_hands
from double_study.combinatorics.hands import one_of_a_suit
from double_study.combinatorics.two_hands import chance_of_holding
from double_study.stats import wilson
from published import hand_figures, length_tables
from published.hand_figures import chance
from scipy.stats import binomtest

Figure = Fraction | int | float
Figures = dict[str, tuple[Figure, ...]]
Pattern = tuple[int, ...]

BALANCED: set[Pattern] = {(4, 3, 3, 3), (4, 4, 3, 2), (5, 3, 3, 2)}


@cache
def exact_figures() -> Figures:
    figures: Figures = {}
    for family in (
        splits,
        vacant_places,
        shapes,
        points,
        honours,
        partnerships,
        whole_deals,
        openings,
    ):
        figures |= family()
    return figures | intervals()


def odds_against(probability: Fraction) -> tuple[Fraction, int]:
    """Return the odds of n to 1 against, as the pair (n, 1) that is printed."""
    return (1 / probability - 1, 1)


def splits() -> Figures:
    figures: Figures = {}
    for outstanding in range(2, 14):
        for longer in range((outstanding + 1) // 2, outstanding + 1):
            name = f"split.{outstanding}.{longer}-{outstanding - longer}"
            figures[f"{name}.eb84"] = (hand_figures.split(outstanding, longer),)
            figures[f"{name}.wiese"] = (hand_figures.split(outstanding, longer),)
            figures[f"{name}.onelayout"] = (hand_figures.one_layout(outstanding, longer),)
    # The king alone in either hand is one layout of a 3-1 split, or its mirror image.
    return figures | {
        "alder.40": (chance_of_holding(4, 4),),
        "alder.singK": (2 * hand_figures.one_layout(4, 1),),
        "honours.split": (hand_figures.split(2, 1),),
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


def shapes() -> Figures:
    figures: Figures = {}
    in_order = dict(zip(map(tuple, SHAPES.tolist()), one_hand.shape_ways().tolist(), strict=True))
    for pattern, ways in hand_figures.patterns().items():
        name = "pattern." + "-".join(map(str, pattern))
        figures[name] = (chance(ways),)
        figures[f"{name}.specific"] = (chance(in_order[pattern]),)
    by_length = hand_figures.total_by(SHAPES[:, 0], one_hand.shape_ways())
    figures |= {f"suitlen.{k}": (chance(ways),) for k, ways in enumerate(by_length)}
    longest = hand_figures.longest_suit_ways()
    balanced = one_hand.class_hands().balanced
    return figures | {
        "pattern.total": (len(hand_figures.patterns()), len(in_order), one_hand.N_HANDS),
        "pattern.5332.onesuitorder": (in_order[5, 3, 3, 2],),
        "shape.len4": (chance(longest[4]),),
        "shape.len5": (chance(longest[5]),),
        "shape.bal": (chance(one_hand.hand_classes()[balanced].sum()),),
        "shape.semi": (of_patterns({(7, 2, 2, 2), (6, 3, 2, 2), (5, 4, 2, 2)}.__contains__),),
        # The second-hand lesson gives no definitions. These four share out all hands and give
        # the printed figures: three suits of four or more make a three-suiter; a single-suiter
        # has six or more cards and no other suit of five; what else is not balanced has two.
        "handtype.balanced": (of_patterns(BALANCED.__contains__),),
        "handtype.two-suiter": (of_patterns(is_two_suiter),),
        "handtype.three-suiter": (of_patterns(is_three_suiter),),
        "handtype.single-suiter": (of_patterns(is_single_suiter),),
    }


def of_patterns(wanted: Callable[[Pattern], bool]) -> Fraction:
    return chance(sum(w for pattern, w in hand_figures.patterns().items() if wanted(pattern)))


def is_three_suiter(pattern: Pattern) -> bool:
    return pattern[2] >= 4


def is_single_suiter(pattern: Pattern) -> bool:
    return pattern[0] >= 6 and pattern[1] <= 4


def is_two_suiter(pattern: Pattern) -> bool:
    return not (pattern in BALANCED or is_single_suiter(pattern) or is_three_suiter(pattern))


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


def honours() -> Figures:
    yarborough = hand_figures.no_card_above("9")
    lowest_terms = chance(yarborough)
    four_aces = chance(hand_figures.aces(4))
    return {
        "yarb": odds_against(lowest_terms),
        "yarb.count": (yarborough, lowest_terms.numerator, lowest_terms.denominator),
        "no10up": odds_against(chance(hand_figures.no_card_above("T"))),
        "noJup": odds_against(chance(hand_figures.no_card_above("J"))),
        "noQup": odds_against(chance(hand_figures.no_card_above("Q"))),
        "noace": odds_against(chance(hand_figures.aces(0))),
        "4aces": odds_against(four_aces),
        "4aces.crc": (four_aces.numerator, four_aces.denominator, *odds_against(four_aces)),
        "4hon": odds_against(chance(hand_figures.honours_in_some_suit(4))),
        "5hon": odds_against(chance(hand_figures.honours_in_some_suit(5))),
    }


def partnerships() -> Figures:
    balanced = one_hand.class_hands().balanced[:, 0]
    own = hand_figures.total_by(SHAPES[balanced, 0], one_hand.shape_ways()[balanced])
    together = hand_figures.combined_length_opposite(own)
    return {
        "fit.8plus": (hand_figures.fit(),),
        "fit.1NT.length": tuple(100 * together[cards] for cards in range(3, 11)),
        # The printed 26 is the number of named cards.
        "hands.pair26": (
            *odds_against(Fraction(1, two_hands.N_PARTNERSHIPS)),
            two_hands.PARTNERSHIP_CARDS,
        ),
    }


def whole_deals() -> Figures:
    after_one, after_two = comb(39, 13), comb(26, 13)
    assert one_hand.N_HANDS * after_one * after_two == N_DEALS
    return {
        "deals.total": (N_DEALS,),
        "deals.matrices": (length_tables.length_tables(),),
        "deals.dealprints": (length_tables.length_tables_up_to_symmetry(),),
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
    figures: Figures = {}
    for successes, of in ((81, 263), (15, 148), (0, 20), (1, 29)):
        figures[f"ci.wilson.{successes}/{of}"] = tuple(float(x) for x in wilson(successes, of))
        # The study does not use Clopper and Pearson's interval: these rows show that SciPy, the
        # reference of tests/statistics, is itself in step with the published table.
        figures[f"ci.cp.{successes}/{of}"] = clopper_pearson(successes, of)
    return figures | {"ci.scipydoc": clopper_pearson(7, 50)}


def clopper_pearson(successes: int, of: int) -> tuple[float, float]:
    interval = binomtest(successes, of).proportion_ci(0.95, method="exact")
    return (float(interval.low), float(interval.high))
