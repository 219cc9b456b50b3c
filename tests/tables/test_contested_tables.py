"""The tables of the contested auctions against plain counting, deal by deal."""

from collections import Counter

import numpy as np
import pytest
from double_study.counting.counts import PENALTIES
from shared.small_runs import (
    AGREEMENTS,
    SUIT_RESTS,
    Hand,
    as_mapping,
    hands,
    last_level,
    outcome,
    run_of,
    trumps,
)
from shared.table_rows import each_row

every_agreement = pytest.mark.parametrize("name", AGREEMENTS)


def doubled(name: str) -> list[Hand]:
    return [hand for hand in hands(name) if hand.call == "double"]


@every_agreement
def test_the_advancers_calls_and_the_answers_over_them(name: str) -> None:
    run, doubles = run_of(name), doubled(name)
    calls = Counter((hand.overcall.level, hand.advancer) for hand in doubles)
    assert as_mapping(run.table("advancer_calls"), "level", "advancer") == calls
    table = run.table("answers_by_advancer")
    answers = Counter((hand.overcall.level, hand.advancer, hand.answer) for hand in doubles)
    assert as_mapping(table, "level", "advancer", "answer") == answers
    for row in each_row(table):
        assert row.of == calls[row.level, row.advancer]


@every_agreement
def test_every_double_is_on_one_way_to_a_contract(name: str) -> None:
    table, doubles = run_of(name).table("ways_to_contract"), doubled(name)
    ways = Counter((hand.advancer, hand.answer, hand.final_contract) for hand in doubles)
    assert as_mapping(table, "advancer", "answer", "final_contract") == ways
    assert table["of"].eq(len(doubles)).all()


@every_agreement
def test_contracts_by_level_and_advancer(name: str) -> None:
    table, doubles = run_of(name).table("contracts"), doubled(name)
    levels = Counter(
        (hand.overcall.level, hand.advancer, hand.final_contract, last_level(hand))
        for hand in doubles
    )
    found: Counter[object] = Counter()
    for row in each_row(table):
        found[row.level, row.advancer, row.final_contract, row.last_level] += row.deals
    assert found == levels
    theirs = table["declarer"].isin(["overcaller", "advancer"])
    assert (table["final_contract"].isin(["their_contract", "defended"]) == theirs).all()


@every_agreement
def test_fits_found_and_lost_to_them(name: str) -> None:
    found: Counter[object] = Counter()
    for row in each_row(run_of(name).table("fits_by_advancer")):
        found[row.advancer, row.outcome] += row.deals
    assert found == Counter((hand.advancer, outcome(hand)) for hand in doubled(name))


@every_agreement
def test_trumps_by_level(name: str) -> None:
    expected = Counter(
        (last_level(hand), trumps(hand))
        for hand in doubled(name)
        if hand.final_contract in SUIT_RESTS
    )
    assert as_mapping(run_of(name).table("trumps_by_level"), "last_level", "trumps") == expected


@every_agreement
def test_a_penalty_is_had_or_lost_in_one_way(name: str) -> None:
    run = run_of(name)
    table = run.table("penalties")
    assert table["deals"].sum() == run.tally[PENALTIES.name].sum() > 0
    shares = table.groupby(["level", "cards_in_theirs"], observed=True)["estimate"].sum()
    np.testing.assert_allclose(shares, 1)
    five = table[table["cards_in_theirs"] == "five_or_more"]
    defended = Counter(hand.overcall.level for hand in hands(name) if hand.call == "penalty_pass")
    assert five.groupby("level")["deals"].sum().to_dict() == defended
