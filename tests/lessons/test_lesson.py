"""Which boards a lesson has, drawn honestly, and the command `boards`. 15 seconds.

The chi-square tests draw without repeats from the deals found, so counts vary less than the test
supposes: each raises a false alarm at most once in a million seeds, and the seeds are fixed.
"""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.deal import BLOCK_DEALS
from double_study.cli.boards import BOARDS
from double_study.columns import COLUMNS
from double_study.errors import InputError
from double_study.lessons import practice
from double_study.lessons.board import COMPASS, Bidding, Board, Origin, south_number
from double_study.lessons.board_answers import answer
from double_study.lessons.case import FIVE_SPADES, OPENER, REOPENING, RESPONDER, Case
from double_study.lessons.practice import ALWAYS_SOUTH, BOTH, EVEN, Practice
from double_study.lessons.search import Found, search
from double_study.report.sheets import ENDINGS
from double_study.stats import goodness_of_fit
from numpy.typing import ArrayLike, NDArray
from plain.bidding import answer as plain_answer
from plain.bidding import message, reason, response, spade_raise
from plain.reopening import reopening
from plain.words import high_card_points
from shared.commands import complaint, said
from shared.plain_reading import hand_of, plain_board, plain_hand

FALSE_ALARM = 1e-6
SEED, DEALS = 81, 400_000


@lru_cache
def found() -> Found:
    return search(SEED, DEALS, REFERENCE, progress=False)


def fits(drawn: Iterable[int], all_of_case: ArrayLike) -> bool:
    """Return whether drawn values are distributed as those of all deals of the case."""
    values, counts = np.unique(all_of_case, return_counts=True)
    seen = Counter(drawn)
    assert set(seen) <= set(values.tolist())
    table = goodness_of_fit([seen[value] for value in values.tolist()], counts / counts.sum())
    return table.p_value > FALSE_ALARM


def points_of_responder(deals: Iterable[int]) -> list[int]:
    """Return the responder's HCP in deals by their numbers, read plainly, and the deals' blocks."""
    origins = [Origin(SEED, *divmod(int(deal), BLOCK_DEALS)) for deal in sorted(deals)]
    return [plain(hand_of(Bidding(origin.cards, REFERENCE), "responder")) for origin in origins]


def plain(cards: int) -> int:
    return high_card_points(plain_hand(cards))


def deal_of(item: Board) -> int:
    return item.origin.block * BLOCK_DEALS + item.origin.deal


def drawn(number: int, **options: Any) -> list[Board]:
    return Practice(number=number, deals=DEALS, seed=SEED, **options).boards(progress=False)


def one_board(**options: Any) -> Board:
    [item] = Practice(number=1, deals=100_000, seed=87, **options).boards(progress=False)
    return item


@lru_cache
def drawn_from_one_case() -> tuple[NDArray[np.int64], list[Board]]:
    case = Case(message="other_major", level="1")
    deals = found().deal[found().of_case(case, REFERENCE, RESPONDER)]
    return deals, drawn(150, cases=(case,))


def test_the_points_of_drawn_hands_follow_those_of_the_case() -> None:
    deals, boards = drawn_from_one_case()
    points = points_of_responder(deals)
    assert len(deals) > 3 * len(boards)
    assert fits([plain(hand_of(item.bidding, "responder")) for item in boards], points)
    # Hands picked for their points, were it only the stronger half, would not pass.
    assert not fits(sorted(points)[len(points) // 2 :][: len(boards)], points)


def test_drawn_deals_are_spread_over_the_whole_search() -> None:
    deals, boards = drawn_from_one_case()
    tenths = deals * 10 // DEALS
    assert fits([deal_of(item) * 10 // DEALS for item in boards], tenths)
    # The first that come along would not pass.
    assert not fits(sorted(tenths)[: len(boards)], tenths)


def test_the_natural_mix_has_the_real_frequencies() -> None:
    def kinds(rows: NDArray[np.int64]) -> list[int]:
        f = found()
        return (f.message[rows].astype(int) * 64 + f.sequence[rows]).tolist()

    everything = np.flatnonzero(found().message >= 0)
    of_deal = {int(deal): row for row, deal in enumerate(found().deal)}
    rows = [of_deal[deal_of(item)] for item in drawn(300, ask=OPENER)]
    assert fits(kinds(np.array(rows)), kinds(everything))


def test_with_the_doubler_south_openers_sit_as_often_in_each_seat_as_in_the_case() -> None:
    case = Case(message="exactly_four_spades")
    boards = drawn(300, cases=(case,), side=ALWAYS_SOUTH)
    seats = [item.bidding.auction.seat_of("opener") for item in boards]
    assert fits(seats, found().seat[found().of_case(case, REFERENCE, RESPONDER)])
    numbers = [item.number for item in boards]
    assert numbers == sorted(set(numbers))
    for item in boards:
        seat = item.bidding.auction.seat_of("responder")
        assert COMPASS[item.compass(seat)] == "South"
    # Every fourth number has the same dealer: each deal sits at the lowest left that fits.
    for seat in range(1, 5):
        mine = [n for n, s in zip(numbers, seats, strict=True) if s == seat]
        assert mine == [south_number(seat) + 4 * at for at in range(len(mine))]


def test_rotation_alone_puts_a_deal_at_its_board() -> None:
    for board in Practice(deals=100_000, seed=87).boards(progress=False):
        cards = board.origin.cards
        assert sorted(board.hands) == sorted(cards)
        for seat in range(4):
            # Seat 1 sits at the dealer, the others clockwise from there.
            assert board.hands[(board.number - 1 + seat) % 4] == cards[seat]


def test_boards_are_numbered_on_and_no_deal_comes_twice() -> None:
    boards = drawn(60, near_misses=20, ask=BOTH)
    assert [item.number for item in boards] == list(range(1, 81))
    assert len({deal_of(item) for item in boards}) == 80
    assert Counter(item.asked for item in boards) == {RESPONDER: 40, OPENER: 40}
    # Near misses are not all at one end.
    places = [at for at, b in enumerate(boards) if b.asked == RESPONDER and not b.bidding.doubled]
    assert len(places) == 10
    assert min(places) < 25 < 55 < max(places)


CASES = [
    Case.parse("message=other_major,level=2,reason=five_or_more"),
    Case.parse("opening=1♦, overcall=2c"),
    Case.parse("reason=both_suits,level=1"),
    Case.parse("overcall=1h,answer=raise_jump"),
]


def test_every_board_is_of_its_case_and_the_cases_take_turns() -> None:
    of_case: Counter[Case] = Counter()
    for item in drawn(22, cases=tuple(CASES), mix=EVEN):
        opener, responder, auction = plain_board(item)
        assert response(responder, *auction)[0] == "double"
        suit, over, level = auction
        given = {
            "message": message(*auction),
            "level": str(level),
            "reason": reason(responder, *auction),
            "opening": f"1{'CDHS'[suit]}",
            "overcall": f"{level}{'CDHS'[over]}",
            "answer": plain_answer(opener, *auction)[0],
        }
        [mine] = [c for c in CASES if all(v in ("", given[k]) for k, v in vars(c).items())]
        of_case[mine] += 1
    assert [of_case[case] for case in CASES] == [6, 6, 5, 5]


def test_without_a_case_the_even_mix_gives_every_case_that_came_up_a_turn() -> None:
    turns: Counter[object] = Counter()
    for item in drawn(34, mix=EVEN, ask=OPENER):
        opener, responder, auction = plain_board(item)
        rule, call = response(responder, *auction)
        if call == "1S":
            turns[FIVE_SPADES] += 1
            assert spade_raise(opener) == str(item.call)
        else:
            assert rule == "double"
            turns[message(*auction), auction[2], reason(responder, *auction)] += 1
    # 4 messages at levels 1 to 3, save exactly four spades; three reasons for the other major, of
    # which ordinary points do not reach level 3; and 1♠ showing five: 16 cases.
    assert len(turns) == 16
    assert set(turns.values()) == {2, 3}


def test_near_misses_are_drawn_in_the_auctions_of_the_cases() -> None:
    boards = drawn(2, near_misses=12, cases=(Case(overcall="1H"),))
    assert {str(item.bidding.auction.overcall) for item in boards} == {"1H"}
    rules = Counter(item.bidding.rule(RESPONDER) for item in boards)
    assert rules["double"] == 2
    assert {"one_level_major", "pass"} < set(rules)


def _passes_over(deal: int) -> bool:
    try:
        return Bidding(Origin(87, 0, deal).cards, REFERENCE).call(RESPONDER) == "pass"
    except InputError:
        return False


def test_a_board_that_opener_is_not_asked_about_is_refused() -> None:
    assert replace(one_board(), asked=OPENER).asked == OPENER
    origin = Origin(87, 0, next(filter(_passes_over, range(BLOCK_DEALS))))
    with pytest.raises(InputError, match="neither doubles nor"):
        Board(1, origin, REFERENCE, OPENER)


def test_the_opener_in_the_pass_out_seat_is_asked_and_told_of_a_trap_pass_alone() -> None:
    """The calls are those of the plain reading in test_hour and test_pbn."""
    waited = set()
    for item in drawn(60, ask=REOPENING, mix=EVEN):
        opener, responder, auction = plain_board(item)
        rule, name = response(responder, *auction)[0], reopening(opener, *auction)[0]
        assert rule in ("pass", "penalty_pass")
        assert [*map(str, item.before[-2:])] == ["pass", "pass"]
        assert COMPASS[item.asked_at] in item.question
        assert item.bidding.rule(REOPENING) == name
        if "Partner has a trap pass" in answer(item):
            assert (rule, name) == ("penalty_pass", "double")
            waited.add(name)
    assert waited


def test_a_deal_without_a_pass_out_seat_gets_one_clear_line() -> None:
    place = one_board().origin.place
    line = complaint(f"boards --only {place} --seed 87 --ask reopening")
    assert "is not in the pass-out seat; allowed: a deal on which" in line


def test_every_message_of_a_lesson_may_be_written_as_a_case() -> None:
    for name in COLUMNS["lesson_message"].names:
        assert str(Case.parse(f"message={name}")) == f"message={name}"


def files(folder: Path) -> list[bytes]:
    paths = [folder / f"{BOARDS}{ending}" for ending in ENDINGS]
    assert set(folder.iterdir()) == set(paths)
    return [path.read_bytes() for path in paths]


def boards(folder: Path, options: str) -> list[bytes]:
    """Return the three files that the command writes."""
    assert said(f"boards --deals 200_000 --out {folder} {options}")
    return files(folder)


def test_the_same_command_writes_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(practice, "search", search)  # otherwise the tests search once
    options = "--number 5 --near-misses 2 --ask both --mix even"
    first = boards(tmp_path / "one", options)
    assert boards(tmp_path / "two", options) == first
    other = boards(tmp_path / "three", f"{options} --seed 5")
    assert all(mine != theirs for mine, theirs in zip(first, other, strict=True))


def test_boards_of_another_lesson_are_overwritten_by_force_alone(tmp_path: Path) -> None:
    first = boards(tmp_path, "--number 2")
    line = complaint(f"boards --deals 200_000 --number 3 --out {tmp_path}")
    holds = "the folder holds practice.pbn of another run; allowed: another folder, or --force"
    assert holds in line
    assert files(tmp_path) == first
    assert boards(tmp_path, "--number 3 --force") != first


@pytest.mark.parametrize("side", ["around", "south"])
def test_a_board_is_printed_again_by_its_line_at_the_foot(tmp_path: Path, side: str) -> None:
    written = boards(tmp_path, f"--number 4 --near-misses 3 --ask both --side {side}")
    pbn, _, markdown = (part.decode() for part in written)
    again = [line for line in markdown.splitlines() if "; again: double-study " in line]
    assert len(again) == 7
    for line, game in zip(again, pbn.split("\r\n\r\n"), strict=True):
        printed = said(line.partition("double-study ")[2])
        # PBN files open with two escape lines, and the last game ends the file.
        wanted = game.split("% EXPORT\r\n")[-1].strip().replace("\r\n", "\n")
        assert printed.strip().endswith(wanted)
        question, _, rest = printed.partition("\n\n### ")
        assert question in markdown
        answered, _, _ = rest.partition(f"\n\n{line}")
        assert "### " + answered.rstrip() in markdown
        assert line in printed


def test_a_board_again_with_the_doubler_south() -> None:
    item = one_board(side=ALWAYS_SOUTH)
    command = f"boards --only {item.origin.place} --seed 87 --side south"
    assert f"### Board {item.number}\n" in said(command)
    line = complaint(f"{command} --board {item.number + 1}")
    assert f"does not put the responder South; allowed: {item.number}" in line
