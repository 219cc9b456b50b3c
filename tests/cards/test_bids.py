"""Bids and how they are written."""

import pytest
from double_study.cards.bids import DENOMINATIONS, Bid, bid_code
from double_study.errors import InputError


def test_bids_rank_as_law_18_says() -> None:
    """Laws of Duplicate Bridge 2017, Law 18E: notrump, spades, hearts, diamonds, clubs."""
    in_order = [Bid(level, suit) for level in range(1, 8) for suit in range(5)]
    assert in_order == sorted(in_order)
    assert [bid.code for bid in in_order] == list(range(35))
    assert [Bid.from_code(code) for code in range(35)] == in_order
    assert [str(bid) for bid in in_order[:5]] == [f"1{name}" for name in DENOMINATIONS]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        *(("1C", "1C"), ("1♣", "1C"), (" 2d ", "2D"), ("3♥", "3H"), ("4♠\ufe0e", "4S")),
        *(("1n", "1NT"), ("7NT", "7NT")),
    ],
)
def test_bids_are_read_in_any_usual_spelling(text: str, written: str) -> None:
    bid = Bid.parse(text)
    assert (bid.level, bid.denomination) == (int(written[0]), DENOMINATIONS.index(written[1:]))
    assert str(bid) == written
    assert Bid.parse(str(bid)) == Bid.parse(bid.symbol) == bid
    assert bid.code == bid_code(bid.level, bid.denomination)


@pytest.mark.parametrize("text", ["1 C S", *",8C,0S,1,C,1X,1CC,NT,11C,¹C".split(",")])
def test_other_texts_are_no_bids(text: str) -> None:
    with pytest.raises(InputError, match="allowed: 1C to 7NT"):
        Bid.parse(text)
