"""The lesson plan says what its run counted and shows hands that are what they are called."""

import re
from functools import lru_cache

import pytest
from double_study.lessons.board import Course
from double_study.lessons.case import TOPIC_OF, TOPICS
from double_study.report.lesson_plan import LessonPlan, lesson_plan
from double_study.rules.response import double_needs
from plain.bidding import message
from shared.small_runs import run_of


@lru_cache
def plan_of(agreement: str) -> LessonPlan:
    return lesson_plan(run_of(agreement))


@pytest.mark.parametrize("agreement", ["reference", "one major will do"])
def test_topics_come_in_the_order_of_the_ranking_each_with_its_boards(agreement: str) -> None:
    plan = plan_of(agreement)
    ranked = run_of(agreement).table("topics")["topic"].to_list()
    assert [part.topic.name for part in plan.parts] == ranked[: len(plan.parts)]
    assert [item.board.number for item in plan.boards] == list(range(1, len(plan.boards) + 1))
    assert len({item.board.origin for item in plan.boards}) == len(plan.boards)
    text = plan.text()
    for number, part in enumerate(plan.parts, start=1):
        assert re.search(rf"^## {number}. {part.topic.wording}$", text, re.M | re.I)


def test_what_is_shown_is_of_its_topic_and_the_rule_tells_it_from_its_look_alike() -> None:
    for part in plan_of("reference").parts:
        shown = [part.example, *(item.board.course for item in part.boards)]
        shown += [part.alike[0]] if part.alike else []
        for course in shown:
            topic = TOPIC_OF[plain_message(course), course.auction.overcall.level]
            assert topic == part.topic
        assert part.example.doubled
        assert part.alike is None or not part.alike[0].doubled
        drilled = [item.look_alike for item in part.boards if item.look_alike]
        assert [kind.wording for kind in drilled] == ([part.alike[1]] if part.alike else [])
        assert [item.board.course.doubled for item in part.boards] == [
            not item.decoy for item in part.boards
        ]


def plain_message(course: Course) -> str:
    auction = course.auction
    return message(auction.opening, auction.overcall.denomination, auction.overcall.level)


def test_the_rule_states_the_points_of_its_overcalls_and_no_others() -> None:
    agreement = run_of("reference").agreement
    for topic in TOPICS:
        if topic.sequences(agreement).any():
            needs = {int(double_needs(agreement, level, 2)) for level in topic.levels if level < 4}
            said = {int(number) for number in re.findall(r"\d+(?=\+ total)", topic.rule(agreement))}
            assert said == needs


def test_a_partnership_without_the_double_is_told_so() -> None:
    assert plan_of("not played").parts == ()
    assert "not played" in plan_of("not played").text()
