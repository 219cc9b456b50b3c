"""Hands, bids and auctions read from text and written as text. Three seconds."""

import pytest
from double_study.cards import notation
from double_study.cards.bids import DENOMINATIONS, DOUBLE, NOTRUMP, PASS, Bid, bid_code, legal_calls
from double_study.cards.notation import Auction, read_auction, read_hand, write_hand
from double_study.columns import PLAYERS
from double_study.errors import InputError
from hypothesis import given, settings
from hypothesis import strategies as st
from plain.words import read_hand as plainly
from shared.commands import read_or_refused

# A hand in the export format of the Portable Bridge Notation 2.1, section 3.4.11 (tag Deal): suits
# spades, hearts, diamonds, clubs with dots between them, ranks from the ace down, T for the ten.
PBN = "K752.AJ64.83.T92"

OTHER_WAYS = [
    *"k752.aj64.83.t92|K752.AJ64.83.1092|  K752  AJ64 83\tT92 |2 5 7 K.46JA.38.29T".split("|"),
    *"♠K752 ♥AJ64 ♦83 ♣T92|♤K752♡AJ64♢83♧1092|♠️K752 ♥️AJ64 ♦️83 ♣️10 9 2".split("|"),
    *"c T92 d 83 h AJ64 s K752|S:K752, H:AJ64, D:83, C:T92|H AJ64 S K752 C T92 D 83".split("|"),
    *("K 7 5 2 . A J 6 4 . 8 3 . T 9 2", "SK S7 S5 S2 HA HJ H6 H4 D8 D3 C10 C9 C2"),
]


@pytest.mark.parametrize("text", [PBN, *OTHER_WAYS])
def test_every_way_of_writing_is_read(text: str) -> None:
    assert write_hand(read_hand(text)) == PBN


@pytest.mark.parametrize(
    ("text", "written", "shown"),
    [
        ("AKQJT98765432...", "AKQJT98765432...", "♠AKQJ1098765432 ♥– ♦– ♣–"),
        ("- 5432 AKQJT 9876", ".5432.AKQJT.9876", "♠– ♥5432 ♦AKQJ10 ♣9876"),
        ("HAKQJ DAKQJ CAKQJT", ".AKQJ.AKQJ.AKQJT", "♠– ♥AKQJ ♦AKQJ ♣AKQJ10"),
    ],
)
def test_voids(text: str, written: str, shown: str) -> None:
    assert write_hand(read_hand(text)) == written
    assert notation.hand_symbols(read_hand(text)) == shown


HANDS = st.sets(st.integers(0, 51), min_size=13, max_size=13).map(
    lambda cards: sum(1 << card for card in cards)
)


@given(HANDS)
def test_what_is_written_is_read_back(cards: int) -> None:
    assert read_hand(write_hand(cards)) == cards
    assert read_hand(notation.hand_symbols(cards)) == cards
    # The oracle reads the same hand.
    suits = plainly(write_hand(cards))
    assert sum(holding << 13 * suit for suit, holding in enumerate(suits)) == cards


NEARLY = st.text("AKQJT98765432 10.-SHDCshdc♠♥♦♣\n\x00ßſ", max_size=30)


@settings(max_examples=300)
@given(st.text() | NEARLY)
def test_a_hand_is_read_or_refused_in_one_line(text: str) -> None:
    cards = read_or_refused(lambda: read_hand(text))
    assert cards is None or (cards.bit_count() == 13 and cards < 1 << 52)


def test_bids_rank_as_law_18_says() -> None:
    """Laws of Duplicate Bridge 2017, Law 18E: notrump, spades, hearts, diamonds, clubs."""
    in_order = [Bid(level, suit) for level in range(1, 8) for suit in range(5)]
    assert in_order == sorted(in_order)
    assert [bid.code for bid in in_order] == list(range(35))
    assert [Bid.from_code(code) for code in range(35)] == in_order
    assert [str(bid) for bid in in_order[:5]] == [f"1{name}" for name in DENOMINATIONS]


SPELLINGS = "1C:1C,1♣:1C, 2d :2D,3♥:3H,4♠\ufe0e:4S,1n:1NT,7NT:7NT"


@pytest.mark.parametrize(("text", "written"), [way.split(":") for way in SPELLINGS.split(",")])
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


AUCTIONS = st.builds(
    Auction,
    st.integers(0, 3),
    st.just(0),
    st.integers(1, 34).filter(lambda code: code % 5 not in (0, 4)).map(Bid.from_code),
)


@given(AUCTIONS)
def test_what_is_called_is_read_back(auction: Auction) -> None:
    assert read_auction(str(auction)) == auction
    assert read_auction(auction.symbols) == auction


@settings(max_examples=300)
@given(st.text() | st.text("1234567cdhsntpasCDHSNTPASX♠♥♦♣ -()", max_size=20))
def test_an_auction_is_read_or_refused_in_one_line(text: str) -> None:
    auction = read_or_refused(lambda: read_auction(text))
    assert auction is None or auction.overcall > auction.opening_bid


WAYS = "pass pass 1♦ 1♠|p-p-1d-1s|P,P,1D,(1S)|Pass Pass 1D 1S| p p 1d. 1s |pp1D1S|P/P/1D/1S ?"


@pytest.mark.parametrize("text", [*WAYS.split("|"), "pass pass 1♦\ufe0f1♠\ufe0f?"])
def test_every_way_of_writing_an_auction_is_read(text: str) -> None:
    assert read_auction(text) == Auction(2, 1, Bid(1, 3))


def test_seats_go_round_from_the_dealer() -> None:
    for passes in range(4):
        auction = Auction(passes, 1, Bid(1, 3))
        seats = [(passes + turn) % 4 + 1 for turn in range(4)]
        assert list(map(auction.seat_of, PLAYERS)) == seats
    with pytest.raises(InputError, match="0 to 3"):
        Auction(4, 1, Bid(1, 3))


@pytest.mark.parametrize(
    ("auction", "double"),
    [
        *(("", 0), ("P", 0), ("1D", 1), ("1D P", 0), ("1D P P", 1), ("1D 1S X", 0)),
        *(("1D 1S X P", 0), ("1D 1S X 2S", 1), ("1D 1S P P", 1), ("1D 1H 1S P", 0)),
    ],
)
def test_legal_calls_are_those_of_laws_18_and_19(auction: str, double: int) -> None:
    """Law 18D: a higher bid; 19A: a double only of the last call other than a pass, a bid of theirs."""
    calls = notation.read_calls(auction)
    bids = [call for call in calls if isinstance(call, Bid)]
    legal = legal_calls(calls, Bid(7, NOTRUMP))
    assert legal[: 1 + double] == [PASS, DOUBLE][: 1 + double]
    higher = [Bid.from_code(code) for code in range(35)]
    assert legal[1 + double :] == [bid for bid in higher if not bids or bid > bids[-1]]
