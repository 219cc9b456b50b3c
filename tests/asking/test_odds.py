"""The odds on partner's hand against SciPy, published vacant places and plain dealing."""

from dataclasses import replace
from functools import cache
from math import comb

import numpy as np
import pandas as pd
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.asking import odds as on
from double_study.asking.answer import basis, odds_tables
from double_study.asking.odds import ENOUGH, HALF_WIDTH, both_bid, deals_that_fit, sample
from double_study.asking.question import Question
from double_study.cards.bids import CLUBS, DIAMONDS, HEARTS, SPADES, SUIT_NAMES, SUITS
from double_study.cards.hands import N_HCP, SHAPES
from double_study.cards.notation import read_hand
from double_study.combinatorics.known_hand import BothBid, partner_after, partner_before
from double_study.stats import goodness_of_fit, wilson
from numpy.typing import NDArray
from published.published_values import printed_numbers, rows
from scipy.stats import binomtest, hypergeom
from shared.plain_reading import dealt_around

HAND = "K752.AJ64.83.T92"
HANDS = (HAND, "AKQJT98765432...", "-.5432.AKQJT.9876", "AQ.AQ32.KQ32.KQ3")

# Random tests have fixed seeds. A correct program fails one of them with this chance or less.
FALSE_ALARM = 1e-4

ANYTHING = np.ones((len(SHAPES), N_HCP), dtype=np.bool_)
ANY_CALL = np.ones((len(SHAPES), N_HCP, 3, 2), dtype=np.bool_)


def holds(lengths: dict[int, int]) -> NDArray[np.bool_]:
    """Return the shapes with these lengths of suits."""
    return (SHAPES[:, [*lengths]] == [*lengths.values()]).all(axis=1, keepdims=True)


@pytest.mark.parametrize("text", HANDS)
def test_without_bidding_the_lengths_are_hypergeometric(text: str) -> None:
    # scipy.stats.hypergeom(M, n, N): N cards drawn from M of which n are of the suit.
    cards = read_hand(text)
    table = on.lengths(on.odds_before_bidding(cards))
    for suit in SUITS:
        out = 13 - (cards >> 13 * suit & 8191).bit_count()
        chances = table.loc[table["suit"] == SUIT_NAMES[suit]]
        expected = hypergeom(39, out, 13).pmf(np.arange(14))
        for column in ("estimate", "ignoring_bidding"):
            # SciPy's own logarithms of gamma functions are right to about 1e-12.
            assert chances[column].to_numpy() == pytest.approx(expected, rel=1e-10, abs=1e-15)


def test_points_before_bidding_are_right_on_average() -> None:
    # Each of the 39 unseen cards is partner's with chance 1/3, so is each unseen point.
    table = on.points(on.odds_before_bidding(read_hand(HAND)))
    assert np.dot(table["hcp"], table["estimate"]) == pytest.approx((40 - 8) / 3, rel=1e-12)


def test_rules_that_allow_everything_leave_the_bidding_out() -> None:
    cards = read_hand(HAND)
    both = BothBid(DIAMONDS, SPADES, ANYTHING, ANY_CALL)
    ways = partner_after(cards, both)
    # Float64 sums of whole numbers: twelve digits, as the module's text says.
    assert ways == pytest.approx(partner_before(cards) * comb(26, 13), rel=1e-12)


@pytest.mark.parametrize("lie", ["0-0", "5-4", "6-3", "8-1"])
def test_vacant_places(lie: str) -> None:
    """Nine spades and four hearts are known; the fourth hand has no spade: 4 of 26 cards are out."""
    cards = read_hand("AKQJT9876.AKQJ..")
    first, second = map(int, lie.split("-"))

    def known(hearts: int) -> dict[int, int]:
        return {HEARTS: hearts} if first else {}

    ways = []
    for k in range(5):
        partner = ANYTHING & holds(known(first) | {SPADES: k})
        opponent = ANY_CALL & holds(known(second) | {SPADES: 4 - k})[..., None, None]
        ways.append(partner_after(cards, BothBid(DIAMONDS, CLUBS, partner, opponent)).sum())
    for k, number in enumerate(ways):
        row = rows("table")[f"vacant.4out.{lie}.{k}"]
        (printed,) = printed_numbers(row.published_value)
        # A figure marked as differing was cut off where it should have been rounded.
        allowed = printed.half_unit * (2 if "differs" in row.note else 1)
        assert abs(number / sum(ways) - printed.value) <= allowed, str(row)


@cache
def odds_of(auction: str) -> on.Odds:
    return on.odds(Question.read(HAND, auction))


def hearts(auction: str) -> pd.DataFrame:
    table = on.lengths(odds_of(auction))
    return table.loc[table["suit"] == "hearts"]


def plainly_dealt(auction: str, deals: int, seed: int) -> NDArray[np.int64]:
    """Return plainly dealt deals with this auction by the partner's hearts, as many as the odds say.

    The sampled chance of the auction is known within 1%, far better than the count.
    """
    opener = auction.count("pass")
    found = [hands[opener][HEARTS] for hands, _ in dealt_around(HAND, auction, deals, seed)]
    assert binomtest(len(found), deals, odds_of(auction).chance[0]).pvalue > FALSE_ALARM
    return np.bincount([holding.bit_count() for holding in found], minlength=14)


def test_exact_odds_are_those_of_plain_dealing() -> None:
    found = plainly_dealt("1D 1S", deals=25_000, seed=853)
    expected = hearts("1D 1S")["estimate"].to_numpy()
    assert found.sum() > 200
    assert goodness_of_fit(found, expected).p_value > FALSE_ALARM


def test_sampled_odds_are_those_of_plain_dealing() -> None:
    found = plainly_dealt("pass pass pass 1D 1S", deals=30_000, seed=812)
    table = hearts("pass pass pass 1D 1S")
    assert found.sum() > 50
    # Lengths of 0 to 2 against longer ones, within four standard errors of both samples together:
    # chance of a false alarm 6e-5.
    share, expected = found[:3].sum() / found.sum(), table["estimate"].iloc[:3].sum()
    error = np.sqrt(expected * (1 - expected) * (1 / found.sum() + 1 / ENOUGH))
    assert abs(share - expected) < 4 * error


@pytest.mark.parametrize("auction", ["1D 1S", "1D 3C", "1H 2D"])
def test_a_sample_of_a_first_seat_auction_agrees_with_the_exact_odds(auction: str) -> None:
    question, chances = Question.read(HAND, auction), odds_of(auction)
    dealt = sample(question, both_bid(question), seed=813)
    assert len(dealt.partner) == ENOUGH
    # Deals beyond the last one wanted count as well: Wilson's interval at five standard errors.
    gap = abs(dealt.chance[0] - chances.chance[0])
    assert gap < 5 / 1.96 * (dealt.chance[2] - dealt.chance[1]) / 2
    total = chances.given.sum()
    for suit in SUITS:
        length = np.bitwise_count(dealt.partner >> np.uint64(13 * suit) & np.uint64(8191))
        exact = [chances.given[SHAPES[:, suit] == cards].sum() / total for cards in range(14)]
        found = goodness_of_fit(np.bincount(length, minlength=14), exact)
        assert found.p_value > FALSE_ALARM / len(SUITS)


def test_game_values_and_fits_of_a_sample_agree_with_the_exact_odds() -> None:
    question, exact = Question.read(HAND, "1D 1S"), odds_of("1D 1S")
    dealt = sample(question, both_bid(question), seed=814)
    sampled = replace(exact, given=on.by_class(dealt.partner), kept=len(dealt.partner))
    for table in (on.fits, on.games, on.point_ranges):
        error = np.sqrt(table(exact)["estimate"] * (1 - table(exact)["estimate"]) / ENOUGH)
        gap = (table(sampled)["estimate"] - table(exact)["estimate"]).abs()
        # Five standard errors: 6e-7 each, 13 figures.
        assert (gap <= 5 * error).all()


def test_enough_deals_make_every_interval_narrow() -> None:
    low, high = wilson(np.arange(ENOUGH + 1), ENOUGH)
    assert (high - low).max() / 2 <= HALF_WIDTH
    fewer = ENOUGH - 2
    low, high = wilson(fewer // 2, fewer)
    assert (high - low) / 2 > HALF_WIDTH


def test_a_rare_auction_says_how_far_it_got() -> None:
    question = Question.read(HAND, "pass 1D 1S")
    shapes = np.array([[3, 4, 3, 3]]), np.array([[3, 3, 4, 3]])
    limits = {"seed": 815, "max_deals": 20_000}
    never = deals_that_fit(question.cards, shapes, lambda others: others[0] == 0, **limits)
    assert (len(never.partner), never.fitted, never.dealt) == (0, 0, 20_000)
    assert never.chance[:2] == (0, 0)
    # Of 39 cards, seven spades, nine hearts and so on as these two hands leave them.
    assert 0 < never.chance[2] < never.share < 0.01
    nobody = np.zeros((len(SHAPES), N_HCP))
    none = replace(odds_of("pass 1D 1S"), given=nobody, kept=0, chance=never.chance)
    assert f"from 0 such deals (a rare auction: {ENOUGH} deals were wanted)" in basis(none)
    table = on.lengths(none)
    assert table["estimate"].isna().all()
    assert (table["low"] == 0).all()
    assert (table["high"] == 1).all()
    assert list(odds_tables(none))


def test_the_sample_is_a_function_of_its_seed_and_keeps_the_hand_apart() -> None:
    question = Question.read(HAND, "pass 1D 1S")
    both = both_bid(question)
    one, again, other = (sample(question, both, seed).partner for seed in (1, 1, 2))
    assert np.array_equal(one, again)
    assert not np.array_equal(one, other)
    assert not (one & np.uint64(question.cards)).any()
    assert (np.bitwise_count(one) == 13).all()


def test_game_values_are_their_source_s() -> None:
    # The lower figure of each pair that the row prints.
    row = rows("teaching")["lesson.game.foundation"]
    assert row.published_value == "25-26 for 3NT, 23-24 for 4H/4S, 27-28 for 5C/5D", str(row)
    table = on.games(on.odds_before_bidding(read_hand(HAND))).set_index("game")
    needs = {"3NT": 25, "4H": 23, "4S": 23, "5C": 27, "5D": 27}
    assert table["combined_hcp"].to_dict() == needs


def test_promised_suits_follow_the_agreement() -> None:
    question = Question.read(HAND, "1D 1S")
    assert question.promised == (HEARTS,)
    assert Question.read(HAND, "1C 1D").promised == (HEARTS, SPADES)
    assert Question.read(HAND, "1C 4D").promised == ()
    without = replace(question, agreement=REFERENCE.changed("response.double", False))
    assert without.promised == ()
    for asked, promised in ((question, ["hearts"]), (without, [])):
        assert on.fits(on.odds(asked)).query("promised")["suit"].tolist() == promised
