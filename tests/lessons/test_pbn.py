"""PBN: a strict reader finds no fault in what is written, and finds those planted."""

from dataclasses import replace
from functools import cache

import pytest
from double_study.agreements.reader import REFERENCE, load
from double_study.cards.deal import deal_block
from double_study.lessons.board import Board, Origin, dealer_of, vulnerability_of
from double_study.lessons.case import OPENER, Case
from double_study.lessons.pbn import deal_value, pbn
from double_study.lessons.practice import ALWAYS_SOUTH, BOTH, EVEN, Practice
from double_study.rules.batch import Batch
from hypothesis import given, settings
from hypothesis import strategies as st
from plain.bidding import whole_auction
from plain.words import Hand, read_hand
from published.published_values import rows
from readers.strict_pbn import Game, NotStrict, law_2, read_deal, read_pbn

SEARCH = 200_000
LESSONS = [
    Practice(deals=SEARCH, seed=71),
    Practice(number=30, near_misses=12, mix=EVEN, ask=BOTH, deals=SEARCH, seed=72),
    Practice(number=20, near_misses=9, side=ALWAYS_SOUTH, ask=OPENER, deals=SEARCH, seed=73),
    Practice(8, cases=(Case(level="4"),), deals=SEARCH, agreement=load("through_4s"), seed=74),
]


@cache
def written(lesson: Practice) -> tuple[list[Board], bytes]:
    """Return a lesson's boards, and the file of them."""
    boards = lesson.boards(progress=False)
    return boards, pbn(boards).encode("ascii")


def by_seat(game: Game) -> list[Hand]:
    """Return the four hands of a game that was read, from the dealer."""
    first = "NESW".index(game.tags["Dealer"])
    return [read_hand(game.hands["NESW"[(first + seat) % 4]]) for seat in range(4)]


def dealt(game: Game) -> tuple[int, ...]:
    """Return them as 52 bits each."""
    return tuple(sum(held << 13 * at for at, held in enumerate(hand)) for hand in by_seat(game))


@pytest.mark.parametrize("lesson", LESSONS, ids=["plain", "mixed", "south", "level 4"])
def test_a_strict_reader_reads_every_board_and_finds_the_deal_as_dealt(lesson: Practice) -> None:
    boards, data = written(lesson)
    games = read_pbn(data)
    assert len(games) == len(boards)
    for item, game in zip(boards, games, strict=True):
        seed, block, deal = map(int, game.tags["DealId"].split(":"))
        assert (seed, block, deal) == (item.origin.seed, item.origin.block, item.origin.deal)
        assert dealt(game) == item.origin.cards
        assert "You are" in game.comments[0]


SEED = 75
REACHED = Batch(deal_block(SEED, 0), REFERENCE).at("overcalled")["deal"].tolist()
"""Deals of a block whose auction reaches the responder: those that a board can hold."""


@settings(deadline=None)
@given(st.sampled_from(REACHED), st.integers(1, 999))
def test_any_deal_at_any_board_is_read_back_as_it_was_written(deal: int, number: int) -> None:
    origin = Origin(SEED, 0, deal)
    board = Board(number, origin, REFERENCE)
    [game] = read_pbn(pbn([board]).encode("ascii"))
    assert dealt(game) == origin.cards
    assert game.tags["Board"] == str(number)


def test_the_auctions_are_those_of_the_plain_reading() -> None:
    checked = 0
    for lesson in LESSONS[:3]:
        boards, data = written(lesson)
        for item, game in zip(boards, read_pbn(data), strict=True):
            auction = whole_auction(by_seat(game))
            calls = ["Pass" if call == "pass" else call for _, call in auction.calls]
            over = auction.over and not auction.settled
            if not auction.contract and not over:
                # A bid or a pass that is asked for is the last call that is shown.
                assert len(game.calls) == len(item.before) + 1
                calls = calls[: len(game.calls)]
            assert game.calls[: len(calls)] == calls
            assert game.finished == over
            if auction.contract and game.finished:
                doubled = "X" * (auction.contract == "defended")
                assert game.tags["Contract"] == f"{auction.last_bid}{doubled}"
            checked += auction.contract is not None
    assert checked > 60


def test_law_2_board_by_board() -> None:
    # Law 2 of the Laws of Duplicate Bridge 2017, as printed in the published row law.2.
    for number in range(1, 70):
        dealer, vulnerable = law_2(number)
        assert "NESW"[dealer_of(number)] == dealer
        assert vulnerability_of(number) == vulnerable


def test_the_reader_reads_the_example_of_the_standard() -> None:
    # Section 1.2 of the standard, row pbn.example (from memory there)
    example = rows("standard")["pbn.example"].published_value.partition(" (")[0]
    assert read_deal(example)["N"] == ".63.AKQ987.A9732"


FAULTS = {
    "a line feed alone": (b"\r\n", b"\n"),
    "another dealer": (b'[Dealer "N"]', b'[Dealer "E"]'),
    "another vulnerability": (b'"None"]', b'"All"]'),
    "no site": (b'[Site "?"]\r\n', b""),
    "tags out of order": (b'[Site "?"]\r\n[Date "?"]', b'[Date "?"]\r\n[Site "?"]'),
    "two spaces": (b'[Site "', b'[Site  "'),
    "a long line": (b"You are", b"You are " + b"so " * 90),
    "a call missing": (b"Pass Pass Pass\r\n", b"Pass Pass\r\n"),
    "a bid that is too low": (b" X Pass\r\n", b" X Pass\r\n1C "),
    "a call after the end": (b"Pass Pass Pass", b"Pass Pass Pass Pass"),
    "two empty lines": (b"\r\n\r\n", b"\r\n\r\n\r\n"),
    "a letter outside ASCII": (b"You are", "Voilà".encode("latin-1")),
    "an open comment": (b"\r\n}\r\n", b"\r\n"),
}


@pytest.mark.parametrize("fault", [*FAULTS, "line feeds alone", "a card twice"])
def test_the_reader_finds_a_planted_fault(fault: str) -> None:
    _, data = written(LESSONS[0])
    if fault == "line feeds alone":
        damaged = data.replace(b"\r\n", b"\n")
    elif fault == "a card twice":  # in the place of a two of the first hand
        before, tag, deal = data.partition(b"[Deal ")
        damaged = before + tag + deal.replace(b"2", b"A", 1)
    else:
        damaged = data.replace(*FAULTS[fault], 1)
    assert damaged != data
    with pytest.raises(NotStrict):
        read_pbn(damaged)


MARKS = 'the "club\\ours" {♥}; [x]', 'the "club\\ours" {?}; [x]'
LONG = '"' * 250 + ".toml", '"' * 100 + "..."


@pytest.mark.parametrize(("name", "shown"), [MARKS, LONG], ids=["marks", "long"])
def test_an_agreement_may_be_called_anything(name: str, shown: str) -> None:
    odd = replace(REFERENCE, name=name)
    [item] = Practice(number=1, deals=50_000, seed=76).boards(progress=False)
    renamed = replace(item, agreement=odd)
    [game] = read_pbn(pbn([renamed]).encode("ascii"))
    assert game.tags["Generator"].endswith(f"agreement {shown}")
    assert deal_value(renamed) == game.tags["Deal"]
