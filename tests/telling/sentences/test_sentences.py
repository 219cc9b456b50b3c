"""Sentences state the numbers of their own run, and say so where they do not apply.

The numbers are worked out again here from the deals, one by one. About four seconds.
"""

import inspect
import re
from collections import Counter
from collections.abc import Callable
from types import ModuleType

import pandas as pd
import pytest
from double_study.columns import COLUMNS
from double_study.lessons.examples import examples
from double_study.lessons.pitfalls import PITFALLS
from double_study.rules.terms import SEQUENCES
from double_study.stats import wilson
from double_study.tables import Run, with_exact
from double_study.telling.sentences import (
    exact_figures,
    given_up,
    how_often,
    in_words,
    partner,
    responder,
    teaching,
)
from double_study.telling.sentences.reading import reading_table
from double_study.words import listed, percent, rounded
from shared.small_runs import AGREEMENTS, DEALS, Hand, hands, run_of

MODULES = (how_often, exact_figures, teaching, responder, partner, given_up)
OF_EVERY_RUN = {
    "method",
    "exact_method",
    "rule",
    "funnel_text",
    "examples_rule",
    "calls_text",
    "precision_text",
}
"""Sentences that speak of more than doubles, and so apply to every run."""
OF_ONE_SPADE = {"spades_text"}
SHIFTS = (0, 13, 26, 39)
"""Where the suits of a hand's 52 bits begin."""


def builders(module: ModuleType) -> dict[str, Callable[[Run], str]]:
    """The sentences of a module that need nothing but the run."""
    return {
        name: build
        for name, build in inspect.getmembers(module, inspect.isfunction)
        if build.__module__ == module.__name__
        and list(inspect.signature(build).parameters) == ["run"]
        and not name.startswith("_")
    }


SENTENCES = [(module, name) for module in MODULES for name in builders(module)]
every_sentence = pytest.mark.parametrize(
    ("module", "name"), SENTENCES, ids=[f"{m.__name__}.{name}" for m, name in SENTENCES]
)


@every_sentence
@pytest.mark.parametrize("agreement", AGREEMENTS)
def test_a_sentence_is_whole_or_says_that_it_does_not_apply(
    module: ModuleType, name: str, agreement: str
) -> None:
    said = builders(module)[name](run_of(agreement))
    assert said[-1] in ".*|)"
    assert not re.search(r"\bnan\b|None|_|\{|\}", said)
    applies = "does not apply" not in said
    of_doubles = name not in OF_EVERY_RUN | OF_ONE_SPADE
    assert applies == (agreement != "not played" or not of_doubles)


@every_sentence
def test_a_sentence_about_hardly_any_deals_is_whole(module: ModuleType, name: str) -> None:
    said = builders(module)[name](run_of("reference", 300))
    assert not re.search(r"\bnan\b|None", said)


def share(part: int, whole: int) -> str:
    low, high = wilson(part, whole)
    return percent(part / whole, float(low), float(high))


def short(part: int, whole: int) -> str:
    """The same as a sentence gives it."""
    low, high = wilson(part, whole)
    return f"{rounded(100 * part / whole, 100 * float(low), 100 * float(high))}%"


@pytest.mark.parametrize("agreement", ["reference", "one major will do", "through 1♠"])
def test_the_headline_is_counted_again(agreement: str) -> None:
    counted = hands(agreement)
    doubled = [h for h in counted if h.call == "double"]
    reach = [h for h in counted if h.call != "above_ceiling"]
    said = how_often.answer(run_of(agreement))
    assert f"doubles on {in_words.share(len(doubled) / DEALS, 'deal')}.**" in said
    assert f"of all deals it is {short(len(doubled), DEALS)}." in said
    assert f"doubles {in_words.share(len(doubled) / len(reach), 'overcall')}." in said
    precise = how_often.headline_table(run_of(agreement))
    assert f"| whoever opens | {share(len(doubled), DEALS)} |" in precise
    assert share(len(doubled), len(reach)) in precise
    most = Counter((h.opening, h.overcall.symbol) for h in doubled).most_common(1)
    (opening, overcall), _ = most[0]
    assert f"comes up after 1{'♣♦♥♠'[opening]} ({overcall})" in said
    narrow = [h for h in doubled if h.overcall.level == 1]
    by_level = how_often.levels_text(run_of(agreement))
    all_narrow = [h for h in reach if h.overcall.level == 1]
    assert short(len(narrow), len(all_narrow)) in by_level


@pytest.mark.parametrize("agreement", ["reference", "one major will do", "through 1♠"])
def test_the_first_topics_are_counted_again(agreement: str) -> None:
    doubled = [h for h in hands(agreement) if h.call == "double"]
    topics = Counter((h.message, min(h.overcall.level, 3)) for h in doubled)
    [((message, level), deals), *_] = topics.most_common(5)
    said = run_of(agreement).table("answer")
    assert f"**Teach “{COLUMNS['message'].wording(message)}, level {level}" in said
    assert f"it is {in_words.share(deals / len(doubled), 'double')}.**" in said
    first = sum(deals for _, deals in topics.most_common(5))
    assert f"Together these are {in_words.share(first / len(doubled), 'double')}" in said


@pytest.mark.parametrize("agreement", AGREEMENTS)
def test_what_is_given_up_is_counted_again(agreement: str) -> None:
    counted = hands(agreement)
    passed = sum(h.call == "penalty_pass" for h in counted)
    doubled = sum(h.call == "double" for h in counted)
    said = run_of(agreement).table("penalties_text")
    both = f"Against {passed:,} of them stand {doubled:,} doubles."
    assert (both in said) == (doubled > 0)


def test_a_ceiling_is_named_as_the_agreement_has_it() -> None:
    above = sum(h.call == "above_ceiling" for h in hands("through 1♠"))
    said = how_often.funnel_text(run_of("through 1♠"))
    assert f"{above:,} overcalls were higher than 1♠" in said
    # One level only: there is no rise to be measured.
    assert "no rise can be measured" in run_of("through 1♠").table("rise")


def test_a_case_that_an_agreement_has_not_says_so() -> None:
    run = run_of("one major will do")
    table = run.table("pitfalls")
    (case,) = (case for case in PITFALLS if case.name == "both_majors_over_diamonds")
    assert "no double says this" in teaching.pitfall_text(run, case, table)


def test_a_fault_would_be_told() -> None:
    # Counts as they would be if the machine were right, and if one cell were doubled.
    exact = pd.DataFrame({"opening": ["1D", "1H"], "overcall": ["1S", "2C"], "call": "any"}).assign(
        exact=[0.01, 0.005], of=DEALS
    )
    right = exact.assign(deals=[400, 200])
    wrong = exact.assign(deals=[800, 200])
    assert "no sign of a fault" in how_often.exact_text(with_exact(right))
    told = how_often.exact_text(with_exact(wrong))
    assert ": a sign of a fault" in told
    assert "1♦ (1♠)" in told


def test_an_example_is_the_first_ordinary_one_of_its_case_not_shown_before() -> None:
    run = run_of("reference")
    drawn = examples(run)
    assert list(drawn) == [case.name for case in PITFALLS]
    reasons = {case.name: case.reasons for case in PITFALLS}
    shown: set[int] = set()
    for case in PITFALLS:
        after = case.after(run.agreement)
        example = drawn[case.name]
        first = next(
            h
            for h in hands()
            if h.reason in reasons[case.name]
            and h.deal not in shown
            and after[sequence_of(h)]
            and not stops_short(h)
        )
        assert (example.block, example.deal) == (0, first.deal)
        assert example.total_points == first.total_points
        assert example.auction.seat_of_opener == first.seat
        assert (example.answer, example.final_contract) == (first.answer, first.final_contract)
        suits = [(hand >> shift & 0x1FFF).bit_count() for hand in example.cards for shift in SHIFTS]
        assert sum(suits) == 52
        assert max(suits) < 8
        shown.add(first.deal)


def stops_short(hand: Hand) -> bool:
    """Whether the rules stop in a contract where a table would go on, or a suit is too long."""
    below_game = ("part_score_fit", "part_score_no_fit", "notrump_part_score", "their_contract")
    strong = hand.hcp + hand.opener_hcp >= 26 and hand.final_contract in below_game
    return strong or max(hand.responder + hand.opener) >= 8


def sequence_of(hand: Hand) -> int:
    return SEQUENCES.index((hand.opening, hand.overcall))


def test_lists_read_as_in_a_sentence() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b", "c"]) == "a, b and c"


def test_every_name_that_a_table_may_hold_has_words() -> None:
    named = {
        name: [column.wording(value) for value in column.constraints.get("enum", ())]
        for name, column in COLUMNS.items()
    }
    assert all(
        named[name] for name in ("message", "reason", "answer", "final_contract", "call", "pitfall")
    )
    assert not [wording for wordings in named.values() for wording in wordings if "_" in wording]
    assert not [column.heading for column in COLUMNS.values() if "_" in column.heading]


def test_a_table_for_readers_joins_a_number_with_its_interval() -> None:
    table = run_of("reference").table("doubles_by_level")
    lines = reading_table(table, "level", "deals", "estimate").splitlines()
    assert lines[:2] == ["| level | deals | share |", "| --- | ---: | ---: |"]
    first = percent(*(table[name].iloc[0] for name in COLUMNS["estimate"].columns))
    assert lines[2] == f"| 1 | {table['deals'].iloc[0]:,} | {first} |"
    assert len(lines) == 2 + len(table)
    with pytest.raises(KeyError):
        reading_table(table, "no such column")


def test_free_text_of_a_table_is_no_markup() -> None:
    table = pd.DataFrame({"agreement": ["<b>a|b"]})
    assert reading_table(table).splitlines()[2] == r"| \<b\>a\|b |"
