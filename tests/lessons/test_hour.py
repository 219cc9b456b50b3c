"""An hour's lesson and the course: what is drawn, and answers that are true of the hands."""

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

import numpy as np
import pytest
from double_study.agreements.reader import load, shipped
from double_study.asking.question import Question
from double_study.cards.bids import call_symbol
from double_study.errors import InputError
from double_study.lessons.board import Board
from double_study.lessons.board_answers import answer, reason, why
from double_study.lessons.case import OPENER, RESPONDER
from double_study.lessons.hour import COURSE, WHOLE, Hour, Hours, of_week, rows, topics_in
from double_study.lessons.search import search
from double_study.rules.response import double_needs
from double_study.rules.terms import SEQUENCES
from plain.bidding import answer as plain_answer
from plain.bidding import message, response
from plain.contested import contested_answer
from plain.reopening import reopening
from plain.words import high_card_points, length, support_points, total_points
from shared.plain_reading import plain_board
from shared.table_rows import cases

EVERYWHERE = np.ones(len(SEQUENCES), dtype=np.bool_)
SUITS = ("clubs", "diamonds", "hearts", "spades")
NUMBERS = "no one two three four five six seven".split()


@cache
def draw(name: str = "reference", deals: int = 500_000, seed: int = 11) -> Hours:
    agreement = load(name)
    return Hours(search(seed, deals, agreement, progress=False), seed, agreement)


@cache
def hours() -> list[Hour]:
    """Return the hour of the reference and its course, drawn one after another."""
    agreement, drawn = load("reference"), draw()
    ranked = rows(agreement)
    made = [drawn.hour(WHOLE, EVERYWHERE, ranked, 60)]
    for week, focus in enumerate(COURSE, start=1):
        within = of_week(week, agreement)
        made.append(drawn.hour(focus, within, ranked, 60, first=1 + 24 * week))
    return made


def deals_of(hour: Hour) -> list[Board]:
    """Return every hand that the lesson shows."""
    parts = [hour.openers, hour.passes, hour.boards, hour.homework, hour.quiz]
    parts += [hands for _, hands in hour.topics]
    return [hour.warm_up, *(board for part in parts for board in part)]


def test_no_deal_comes_twice_in_the_lesson_and_the_course() -> None:
    deals = [item.origin for hour in hours() for item in deals_of(hour)]
    assert len(deals) == len(set(deals)) > 180
    numbers = [item.number for hour in hours() for item in (*hour.boards, *hour.homework)]
    assert numbers == list(range(1, 121))


def test_an_hour_has_every_kind_of_board_in_an_order_that_gives_nothing_away() -> None:
    [hour, *_] = hours()
    asked = [item for item in hour.boards if item.asked == RESPONDER]
    rules = Counter(item.bidding.rule(RESPONDER) for item in asked)
    assert rules["double"] >= 4
    assert rules["penalty_pass"] >= 1
    assert rules["pass"] >= 2
    assert {"one_level_major", "raise_major", "raise_minor"} & set(rules)
    assert len(hour.boards) - len(asked) >= 2
    order = [item.bidding.doubled for item in hour.boards]
    assert order != sorted(order)
    assert order != sorted(order, reverse=True)
    titles = [row.title for row in rows(load("reference"))]
    assert [row.title for row, _ in hour.topics] == titles[: topics_in(60)]
    for row, hands in hour.topics:
        assert [item.bidding.doubled for item in hands] == [True, False, False]
        assert hands[1].call != "pass"
        for item in hands:
            opening, over, level = plain_board(item)[2]
            assert message(opening, over, level) == row.message
            assert level == row.level


def test_the_weeks_of_the_course_keep_to_their_auctions() -> None:
    _, one, two, three, four = hours()
    assert {plain_board(item)[2][2] for item in deals_of(one)} == {1}
    for item in deals_of(two):
        opening, over, level = plain_board(item)[2]
        assert level == 2 or message(opening, over, level) == "both_minors"
    assert {item.asked for item in three.boards} == {OPENER}
    assert {item.bidding.rule(item.asked) for item in four.boards} > {"penalty_pass", "double"}


def test_the_call_of_every_answer_is_that_of_the_plain_reading() -> None:
    checked: Counter[str] = Counter()
    for item in (item for hour in hours() for item in deals_of(hour)):
        opener, responder, auction = plain_board(item)
        last = str(item.before[-1])
        contested = item.asked == OPENER and last != "pass"
        if item.asked == RESPONDER:
            made = response(responder, *auction)
        elif item.asked == "reopening":
            made = reopening(opener, *auction)
        elif contested:
            made = contested_answer(opener, *auction, last)
        else:
            made = plain_answer(opener, *auction)
        call = str(item.call)
        assert (item.bidding.rule(item.asked), call.replace("double", "X")) == made
        plainly = call in ("pass", "double")
        shown = call.capitalize() if plainly else call_symbol(item.call)
        assert answer(item).startswith(f"{shown}. ")
        checked[item.asked + " contested" * contested] += 1
    assert len(checked) == 4
    assert min(checked.values()) >= 10, checked


def figures(item: Board) -> Iterator[bool]:
    """Yield each number that the answer says of the hand asked, and whether the hand has it."""
    opener, responder, (_, over, _) = plain_board(item)
    mine = responder if item.asked == RESPONDER else opener
    # What the hand has is said first; what another hand would have comes after it.
    said = re.split(r"[;:]|\. |, but |with five|you would|would ", why(item))[0].lower()
    for number, suit in re.findall(rf"({'|'.join(NUMBERS)}) ({'|'.join(SUITS)})", said):
        held = length(mine, SUITS.index(suit))
        yield held == NUMBERS.index(number) or "fewer than" in said
    for hcp in re.findall(r"(\d+) hcp", said):
        yield high_card_points(mine) == int(hcp)
    for points in re.findall(r"(\d+) points with the length", said):
        yield total_points(mine, over) == int(points)
    for points in re.findall(r"(\d+) points with the shortness", said):
        yield support_points(mine) == int(points)


def test_every_figure_of_an_answer_is_true_of_the_hand() -> None:
    told = 0
    for item in (item for hour in hours() for item in deals_of(hour)):
        found = list(figures(item))
        assert all(found), answer(item)
        told += len(found)
    assert told > 250


UNSAID = re.compile(r"…|not followed|no further|\bnan\b|\bNone\b|[{}]|promised:|_| {2}|\.\.")


# One agreement in three is quick enough for every run of the tests; CI runs the others.
PLAYED, SLOW = [name for name in shipped() if name != "not_played"], pytest.mark.slow
NAMES = [pytest.param(name, marks=[SLOW] * (at % 3 > 0)) for at, name in enumerate(PLAYED)]


@pytest.mark.parametrize("name", NAMES)
def test_answers_hold_under_every_agreement(name: str) -> None:
    agreement = load(name)
    hour = draw(name, 80_000, 12).hour(WHOLE, EVERYWHERE, rows(agreement), 60)
    for item in deals_of(hour):
        said = answer(item)
        assert not UNSAID.search(said), said
        assert len(said) < 330
        overcall = item.bidding.auction.overcall
        level, over = overcall.level, overcall.denomination
        needs = int(double_needs(agreement, level, over))
        for asked in re.findall(r"over \d. it takes (\d+)", said):
            assert int(asked) == needs
        assert all(figures(item)), said
    assert all(len(hands) > 1 for _, hands in hour.topics)
    assert all(row.needs == sorted(row.needs) for row in rows(agreement))
    levels = {SEQUENCES[at][1].level for row in rows(agreement) for at in row.auctions}
    assert max(levels) == agreement.response.double_through.level


PASSES = """
T2.K964.J.T98763 | The right shape for a double, but only 4 HCP.
T8652.K964.A7.92 | Too long in spades for a double, and no bid fits.
J86.K94.QT3.T982 | Enough points (6 HCP), but only three hearts: not the shape for a double
J86.K94.T53.T982 | Only 4 HCP, and not the shape for a double.
"""


@pytest.mark.parametrize(("hand", "said"), cases(PASSES))
def test_a_pass_says_what_stops_the_double(hand: str, said: str) -> None:
    asked = Question.read(hand, "1D 1S")
    assert reason(asked.rules.decide(asked.situation)).startswith(said)


def test_too_few_hands_are_told() -> None:
    drawn = Hours(search(3, 2_000, load("reference"), progress=False), 3, load("reference"))
    few = r"found \d+ hands to show, but 300 are needed; allowed: another"
    with pytest.raises(InputError, match=few):
        drawn.boards(WHOLE.boards, 300, 1, EVERYWHERE)
