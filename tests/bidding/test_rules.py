"""What a rule says of a hand that it does not hold for, and what the rule tables promise."""

import re
from typing import Any

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import Bid
from double_study.cards.hands import Hands, hand_words
from double_study.cards.notation import read_hand
from double_study.rules import terms
from double_study.rules.explain import RULE_TABLES
from double_study.rules.explain import lacking as what_lacks
from double_study.rules.response import RESPONSE
from double_study.rules.terms import HCP, SEQUENCE_CODE, SEQUENCES, A, Overcalled, RuleTable


def responder(text: str, opening: str, overcall: str) -> Overcalled:
    hands = Hands(hand_words(np.array([read_hand(text)], dtype=np.uint64)))
    return Overcalled.by(Bid.parse(overcall), hands, REFERENCE, Bid.parse(opening).denomination)


def test_a_rule_says_by_how_much_a_hand_missed_it_and_which_of_its_ways_came_nearest() -> None:
    for name, hand, missed in (
        ("new_major", "K75.AJ642.83.T92", ["one more total point"]),
        ("double", "K75.AJ642.83.T92", []),
        ("double", "J9752.KQ52.A8.92", ["at most 4 spades"]),
        ("double", "8.Q952.J8.J76432", ["one more HCP"]),
        ("raise_minor", "K75.Q42.9832.T92", ["one more support point"]),
    ):
        rule = next(rule for rule in RESPONSE.rules if rule.name == name)
        assert what_lacks(rule, responder(hand, "1D", "1S")) == missed


def test_a_level_that_is_never_bid_is_not_a_number() -> None:
    flat = responder("K75.AQ42.K832.92", "1S", "4D")
    texts = [text for rule in RESPONSE.rules for text in what_lacks(rule, flat)]
    assert [text for text in texts if re.search(r"\d", text)]
    assert not [text for text in texts if "99" in text]


@pytest.mark.parametrize("table", RULE_TABLES, ids=lambda table: table.title)
def test_every_rule_has_words_and_the_last_always_holds(table: RuleTable[Any]) -> None:
    for rule in table.rules:
        sentence = rule.sentence(REFERENCE)
        assert sentence
        assert "{" not in sentence
    assert table.rules[-1].when is None


def test_a_misspelt_setting_and_conditions_joined_by_words_are_errors() -> None:
    with pytest.raises(AttributeError, match="takeuot"):
        _ = A.overcall.takeuot
    with pytest.raises(TypeError, match="brackets"):
        _ = terms.BALANCED and HCP >= A.overcall.takeout


@pytest.mark.parametrize("table", RULE_TABLES, ids=lambda table: table.title)
def test_every_table_gives_the_codes_of_names_in_its_own_order(table: RuleTable[Any]) -> None:
    """Every rule of every table, those that share a name among them, by the name it was given."""
    names = [rule.name for rule in table.rules]
    positions = np.arange(len(names), dtype=np.int8)
    decided = terms.Decided(table, responder("K75.AQ42.K832.92", "1S", "4D"), positions)
    assert [table.names[code] for code in decided.name] == names
    assert decided.named(names[0]).tolist() == [name == names[0] for name in names]
    assert len(set(table.names)) == len(table.names)


def test_the_tables_that_have_two_rules_of_one_name() -> None:
    """Those above are no idle cases: a position taken for a code would be another name's."""
    assert sum(len({rule.name for rule in t.rules}) < len(t.rules) for t in RULE_TABLES) == 5


def test_cheapest_levels() -> None:
    """Law 18 of the Laws of Duplicate Bridge: a bid must outrank the one before it."""
    for over in range(20):
        for suit in range(5):
            level = int(terms.cheapest_level(suit, over))
            assert Bid(level, suit).code > over
            assert level == 1 or Bid(level - 1, suit).code <= over


def test_pairs_are_the_overcalls_that_outrank_the_opening() -> None:
    for opening in range(4):
        for bid in (Bid(level, suit) for level in range(1, 5) for suit in range(4)):
            possible = bid.denomination != opening and bid > Bid(1, opening)
            assert (SEQUENCE_CODE[opening, bid.code] >= 0) == possible
            if possible:
                assert SEQUENCES[SEQUENCE_CODE[opening, bid.code]] == (opening, bid)
