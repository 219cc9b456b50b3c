"""The funnel as far as the overcall: against integers, the oracle, and its own sums."""

from collections import Counter

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import SPADES, SUIT_NAMES, SUITS, Bid
from double_study.cards.deal import deal_block
from double_study.cards.hands import SHAPES, Hands, hand_words
from double_study.combinatorics.hands import N_HANDS, one_of_a_suit, opening_ways
from double_study.combinatorics.suits import two_hand_ways
from double_study.combinatorics.table import ANY, exact_table, next_hands_table, opener_majors
from double_study.combinatorics.two_hands import OvercallerWays, next_hand_calls
from double_study.rules.overcall import OVERCALL
from double_study.rules.terms import SEQUENCES
from double_study.stats import goodness_of_fit
from numpy.typing import NDArray
from scipy.stats import hypergeom
from shared.plain_reading import plain_hands
from shared.table_rows import each_row

DEALS = 50_000
BLOCK = deal_block(seed=71_290, block=5)
FALSE_ALARM = 1e-6
"""Of each joint test below on deals of a fixed seed."""

OTHER = REFERENCE.changed("hand.good_suit", 3).changed("overcall.two_suited_calls", False)
Ways = Counter[tuple[int, int, int, int]]
"""By the points of two hands, and the second's quality of Z and stopper in Y."""

SUIT_OVERCALLS = ("weak_jump", "one_level_major", "one_level_diamond", "two_level")


def actions(agreement: Agreement) -> NDArray[np.float64]:
    """Return the chance of each call of the next hand; shape (4 openings, calls)."""
    return next_hands_table(agreement)["probability"].to_numpy().reshape(len(SUITS), -1)


def number(shape: tuple[int, ...]) -> int:
    return SHAPES.tolist().index(list(shape))


Auctions = list[tuple[str, str | None]]
"""Opening in first seat, overcall."""


@pytest.fixture(scope="module")
def auctions() -> Auctions:
    """Return the oracle's auction of each deal."""
    found: Auctions = []
    for opener, next_hand in zip(*map(plain_hands, BLOCK[:2]), strict=True):
        bid = plain.opening(opener, 1)
        suit = bid[0] == "1" and bid != "1NT"
        found.append((bid, plain.overcall(next_hand, "CDHS".index(bid[1]))[1] if suit else None))
    return found


def test_one_suit_over_two_hands_layout_by_layout() -> None:
    # All 3**13 ways to give each card to the first hand, the second, or neither.
    owner = np.arange(3**13) // 3 ** np.arange(13)[:, np.newaxis] % 3
    lengths = [(owner == hand).sum(axis=0) for hand in (0, 1)]
    points = [np.array([4, 3, 2, 1]) @ (owner[:4] == hand) for hand in (0, 1)]
    second = owner == 1
    tops, high = second[:5].sum(axis=0), second[:3].any(axis=0)
    stops = (second[:4] & (lengths[1] > np.arange(4)[:, np.newaxis])).any(axis=0)
    counted = np.zeros((14, 14, 6, 11, 11))
    # Without an ace, king or queen; with one; and good.
    quality = high.astype(int) + ((tops >= 2) & high)
    np.add.at(counted, (*lengths, 2 * quality + stops, *points), 1)
    assert np.array_equal(two_hand_ways(("quality", "stopper")), counted)


@pytest.mark.parametrize("opening", SUITS)
def test_every_hand_calls_as_the_oracle_says(opening: int) -> None:
    cards = BLOCK[2, :5_000]
    hands = Hands(hand_words(cards))
    at = np.arange(len(cards))
    z = hands.longest_but(opening)
    quality = hands.honour_in(z).astype(int) + hands.good[z, at]
    flags = quality, hands.stopper[opening].astype(int)
    rows = [number(lengths) for lengths in hands.lengths.T.tolist()]
    call, bid = (table[rows, hands.hcp, *flags] for table in next_hand_calls(REFERENCE, opening))
    calls = zip(call.tolist(), bid.tolist(), strict=True)
    ours = [(OVERCALL.names[c], None if b < 0 else str(Bid.from_code(b))) for c, b in calls]
    assert ours == [plain.overcall(hand, opening) for hand in plain_hands(cards)]


def test_ways_agree_with_integers() -> None:
    # Openers 2-3-3-5 and 3-1-4-5 that open 1S; before every hand 5-3-3-2 (Z clubs) and 2-1-6-4
    # (Z hearts), by points and flags, in Python's integers.
    openers, seconds = ((2, 3, 3, 5), (3, 1, 4, 5)), ((5, 3, 3, 2), (2, 1, 6, 4))
    opens = one_of_a_suit(REFERENCE)[SPADES]
    opens = opens & np.isin(np.arange(560), [number(s) for s in openers])[:, np.newaxis]
    ways = OvercallerWays(2).ways(opens, SPADES)
    suit = two_hand_ways(("quality", "stopper"))
    for second in seconds:
        z = int(np.argmax(second[:3]))
        exact = np.zeros((38, 3, 2), dtype=object)
        for first in openers:
            joined = Ways({(0, 0, 0, 0): 1})
            for s in SUITS:
                before, joined = joined, Ways()
                table = suit[first[s], second[s]]
                for mark, p, q in np.argwhere(table).tolist():
                    quality, stops = divmod(mark, 2)
                    quality, stops = quality * (s == z), stops * (s == SPADES)
                    for (p2, q2, g2, t2), n in before.items():
                        cell = p + p2, q + q2, quality | g2, stops | t2
                        joined[cell] += n * int(table[mark, p, q])
            for (p, q, g, t), n in joined.items():
                if p < 38 and q < 38 and opens[number(first), p]:
                    exact[q, g, t] += n
        assert exact.sum() > 0
        # Fourteen digits: the rounding of a few thousand float64 additions, most of it cancelling.
        assert ways[number(second)] == pytest.approx(exact.astype(float), rel=1e-14)


@pytest.mark.whole
@pytest.mark.parametrize("agreement", [REFERENCE, OTHER], ids=["reference", "other"])
def test_calls_sum_to_the_opening_and_overcalls_to_the_calls(agreement: Agreement) -> None:
    calls = actions(agreement)
    # Twelve of the promised digits at least, from sums of the whole table.
    opened = opening_ways(agreement)[1:5] / N_HANDS
    assert calls.sum(axis=1) == pytest.approx(opened, rel=1e-12)
    overcalls = calls[:, [OVERCALL.names.index(name) for name in SUIT_OVERCALLS]].sum(axis=1)
    table = exact_table(agreement, calls=False)
    sequences = table.loc[table["call"] == ANY, "probability"]
    by_opening = np.bincount([suit for suit, _ in SEQUENCES], sequences)
    assert by_opening == pytest.approx(overcalls, rel=1e-12)


def test_a_call_that_is_not_played_is_never_made() -> None:
    assert not actions(OTHER)[:, OVERCALL.names.index("two_suited")].any()
    assert actions(REFERENCE)[:, OVERCALL.names.index("two_suited")].all()


@pytest.mark.whole
def test_openers_majors_add_up_to_the_overcall() -> None:
    table = opener_majors(REFERENCE)
    unbid = table[[r.major[0].upper() not in r.opening + r.overcall for r in each_row(table)]]
    sums = unbid.groupby(["opening", "overcall", "major"], sort=False)["probability"].sum()
    exact = exact_table(REFERENCE, calls=False)
    whole = exact[exact["call"] == ANY].set_index(["opening", "overcall"])["probability"]
    assert len(sums) == 42
    for (opening, overcall, _), total in zip(sums.index, sums, strict=True):
        assert total == pytest.approx(whole[opening, overcall], rel=1e-12)
    assert (table.drop(unbid.index)["probability"] == 0).all()


HOLDS = ("0 to 2", "3", "4 or more")


@pytest.mark.whole
def test_the_naive_chance_is_hypergeometric() -> None:
    table = opener_majors(REFERENCE).drop_duplicates(["responder_cards", "opener_holds"])
    for row in each_row(table):
        opener = hypergeom(39, 13 - row.responder_cards, 13)
        reference = dict(zip(HOLDS, (opener.cdf(2), opener.pmf(3), opener.sf(3)), strict=True))
        # SciPy's logarithms of factorials are good to about 1e-12.
        assert row.naive == pytest.approx(reference[row.opener_holds], rel=1e-10, abs=1e-15)


@pytest.mark.whole
@pytest.mark.parametrize("major", [2, 3])
def test_openers_majors_agree_with_the_oracle_on_deals(auctions: Auctions, major: int) -> None:
    lengths = Hands(hand_words(BLOCK[[0, 2]])).lengths[major]
    table = opener_majors(REFERENCE).set_index(
        ["major", "opening", "overcall", "responder_cards", "opener_holds"]
    )
    groups: Counter[tuple[str, str, str, int, str]] = Counter()
    for (bid, overcall), opener, responder in zip(auctions, *lengths.tolist(), strict=True):
        held = HOLDS[min(max(opener, 2), 4) - 2]
        if bid in ("1C", "1D"):
            groups[bid, "1H" if major == 3 else "1S", "after_opening", responder, held] += 1
        four = f"{bid} {overcall}" in ("1C 1D", "1D 1H", "1D 1S", "1S 2C")
        if overcall and four and "CDHS"[major] not in bid + overcall:
            groups[bid, overcall, "after_overcall", responder, held] += 1
    tested = 0
    for bid, overcall, column, responder in sorted({key[:4] for key in groups}):
        counts = [groups[bid, overcall, column, responder, h] for h in HOLDS]
        key = (SUIT_NAMES[major], bid, overcall, responder)
        chances = table[column].loc[[(*key, h) for h in HOLDS]].to_numpy()
        if sum(counts) >= 50:
            tested += 1
            assert goodness_of_fit(counts, chances).p_value > FALSE_ALARM, key
    assert tested >= 12
