"""Bid random deals by the plain reading and look at what came of them: ``python -m plain.selfcheck``.

With a number of deals (20,000 unless told otherwise) every auction is checked under the reference
and under some changed settings; with "show" and a number as many doubled auctions are printed for a
player to read. What is legal is by Laws 18 (bids), 19 (doubles) and 22 (the end) of the Laws of
Duplicate Bridge.
"""

import sys
from collections import Counter
from collections.abc import Iterator
from typing import Any

import numpy as np
from plain.bidding import Auction, Hand, played, read_bid, whole_auction
from plain.words import RANKS, high_card_points

CONTRACTS = {
    *("game", "three_notrump", "part_score_fit", "part_score_no_fit"),
    *("notrump_part_score", "defended", "their_contract"),
}
CHANGED: list[dict[str, Any]] = [
    {},
    {"response.double_through": "4S", "reopening.suits_first": True},
    {"opening.major_cards": 4, "opening.one_notrump": (12, 14), "response.raise_cards": 4},
    {"response.five_three_majors": True, "response.double_cards": 13, "response.double_hcp": 0},
    {"response.both_majors": False, "response.one_level_cards": 5, "overcall.weak_jump": (0, 12)},
    {"response.double": False, "response.penalty_cards": 4, "overcall.two_suited_calls": False},
    {
        "response.double_through": "4S",
        "overcall.one_level_good": (4, 17),
        "overcall.two_level_six": (6, 17),
        "advancer.preemptive_raise": 0,
        "advancer.strong_raise": 7,
        "advancer.notrump_one": 4,
        "contested_end.strong_enough": 20,
        "contested_answer.strong_double": 13,
        "contested_end.high_double": 7,
        "continuation.settle": 9,
        "continuation.game": 10,
        "answer.cue_bid": 14,
    },
]


def deals(number: int, seed: int) -> Iterator[list[Hand]]:
    """Yield four hands each, of packs shuffled by NumPy."""
    dealer = np.random.default_rng(seed)
    for _ in range(number):
        pack = dealer.permutation(52).tolist()
        yield [read_cards(pack[13 * place : 13 * place + 13]) for place in range(4)]


def read_cards(cards: list[int]) -> Hand:
    suits = [sum(1 << card % 13 for card in cards if card // 13 == suit) for suit in range(4)]
    return suits[0], suits[1], suits[2], suits[3]


def assert_legal(auction: Auction) -> None:
    """Turn, rank, doubles and the end are right, and the contract is what the calls say."""
    last, last_seat, doubled, passes = (0, 0), 0, False, 0
    for turn, (seat, call) in enumerate(auction.calls):
        assert seat == turn % 4 + 1
        assert passes < (3 if last_seat else 4), "a call after the auction's end"
        passes = passes + 1 if call == "pass" else 0
        if call == "X":
            assert last_seat % 2 != seat % 2
            assert last_seat
            assert not doubled
            doubled = True
        elif call != "pass":
            bid = read_bid(call)
            assert last < bid <= (7, 4)
            last, last_seat, doubled = bid, seat, False
    ended = passes == (3 if last_seat else 4)
    assert ended == (auction.over and auction.settled is None)
    if not auction.over:
        assert auction.contract is None
        return
    theirs = last_seat % 2 != auction.seat % 2
    if auction.settled is None:
        assert not last_seat or read_bid(str(auction.last_bid)) == last
    elif auction.settled.endswith("X"):
        assert theirs
        assert read_bid(auction.settled[:-1]) == last
        assert auction.contract == "defended"
    else:
        bid = read_bid(auction.settled)
        assert last <= bid <= (7, 4)
        assert bid > last or not theirs
        assert auction.contract not in ("defended", "their_contract")
        return
    if auction.contract:
        assert theirs == (auction.contract in ("their_contract", "defended"))
        closed = doubled or bool(auction.settled)
        assert not theirs or closed == (auction.contract == "defended")
        assert auction.declarer


def check(number: int) -> None:
    for changes in CHANGED:
        names: Counter[str] = Counter()
        with played(changes):
            for hands in deals(number, seed=25):
                auction = whole_auction(hands)
                assert_legal(auction)
                assert (auction.call == "double") == (auction.contract is not None)
                assert auction.contract is None or auction.contract in CONTRACTS
                if auction.contract:
                    names["doubles"] += 1
                    names[auction.contract] += 1
                    names["settled"] += auction.settled is not None
                    names["bids again"] += auction.overcaller_again == "bids"
                if auction.reopening:
                    names[f"reopening {auction.reopening}"] += 1
        print(changes or "the reference")
        print("   ", ", ".join(f"{name} {count}" for name, count in sorted(names.items())))


def shown(hand: Hand) -> str:
    def cards(holding: int) -> str:
        return "".join(rank for at, rank in reversed(list(enumerate(RANKS))) if holding >> at & 1)

    return ".".join(cards(holding) or "-" for holding in reversed(hand))


def show(number: int, seed: int) -> None:
    """Print doubled auctions, the opener's hand first and the calls from the opening on."""
    found = 0
    for hands in deals(10**6, seed):
        auction = whole_auction(hands)
        if auction.contract is None:
            continue
        found += 1
        seats = [(auction.seat - 1 + turn) % 4 for turn in range(4)]
        for who, seat in zip(("opener", "overc.", "resp. ", "adv.  "), seats, strict=True):
            print(f"  {who} {shown(hands[seat]):22} {high_card_points(hands[seat]):2}")
        calls = [call for _, call in auction.calls][auction.seat - 1 :]
        print(
            f"{found}. {' '.join(calls)}   [{auction.advancer}, {auction.answer}]"
            f" settled {auction.settled}; {auction.contract} {auction.last_bid}"
            f" on {auction.trumps}\n"
        )
        if found == number:
            return


if __name__ == "__main__":
    if sys.argv[1:2] == ["show"]:
        show(int(sys.argv[2]), int(sys.argv[3]))
    else:
        check(int((sys.argv[1:] or ["20000"])[0]))
