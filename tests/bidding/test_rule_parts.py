"""The part of a rule that applies in one auction: that auction's suits, bids and values, no others."""

import re

import numpy as np
import pytest
from double_study.agreements.reader import REFERENCE, Agreement, load
from double_study.cards.bids import SUIT_NAMES
from double_study.cards.deal import deal_block
from double_study.cards.hands import Hands
from double_study.rules import terms
from double_study.rules.batch import Batch
from double_study.rules.explain import sentence_here
from double_study.rules.response import DOUBLE_RULE, RESPONSE, double_needs
from double_study.rules.terms import SEQUENCE, SEQUENCES, Overcalled, after_sequence
from plain.bidding import message, promised_suits
from plain.response import double_points
from plain.settings import SETTINGS

CEILING = REFERENCE.response.double_through
PLAYED = [at for at, (_, overcall) in enumerate(SEQUENCES) if overcall <= CEILING]
NAMED = {"both_majors": {"major"}, "both_minors": {"minor"}, "exactly_four_spades": {"spades"}}
"""Suits that the words of a message may name; of the unbid major, its own."""


NOBODY = np.zeros(1, dtype=np.uint32)


def after(at: int, agreement: Agreement = REFERENCE) -> Overcalled:
    return after_sequence(at, Hands(NOBODY), agreement)


@pytest.mark.parametrize("at", PLAYED, ids=lambda at: f"{SEQUENCES[at][0]}-{SEQUENCES[at][1]}")
def test_the_doubles_part_names_what_the_auction_promises_and_its_values(at: int) -> None:
    opening, overcall = SEQUENCES[at]
    text = sentence_here(DOUBLE_RULE, after(at))
    auction = opening, overcall.denomination, overcall.level
    own = {SUIT_NAMES[suit] for suit in promised_suits(*auction)}
    named = re.findall("|".join(["major", "minor", *SUIT_NAMES]), text)
    assert set(named) == NAMED.get(message(*auction), own)
    needs = double_points(overcall.denomination, overcall.level), SETTINGS.response.double_hcp
    assert re.findall(r"\d+(?=\+)", text) == list(map(str, needs))
    assert f"at most {SETTINGS.response.double_cards} cards" in text
    assert re.findall(r"\d[♣♦♥♠]", text) == [overcall.symbol]


@pytest.mark.parametrize(
    "name", ["reference", "one_major_enough", "values_6_8_9_10", "through_2s", "five_three_majors"]
)
def test_the_general_sentence_is_made_of_the_same_pieces(name: str) -> None:
    """Each promise that some auction has, and the values of each level that the double reaches."""
    agreement = load(name)
    text = DOUBLE_RULE.sentence(agreement)
    for at, promised in enumerate(terms.messages_by_sequence(agreement)):
        overcall = SEQUENCES[at][1]
        if overcall <= agreement.response.double_through:
            assert terms.PROMISES[promised] in text
            needs = double_needs(agreement, overcall.level, overcall.denomination).item()
            assert re.search(rf"\b{needs}\b[^,]* (at (level )?{overcall.level}|over two)\b", text)


def test_five_and_three_are_told_where_they_are_enough_and_nowhere_else() -> None:
    agreement = load("five_three_majors")
    assert terms.FIVE_THREE in DOUBLE_RULE.sentence(agreement)
    texts = [sentence_here(DOUBLE_RULE, after(at, agreement)) for at in range(len(SEQUENCES))]
    told = [SEQUENCE.names[at] for at, text in enumerate(texts) if terms.FIVE_THREE in text]
    assert told == [("1C", "2D"), ("1D", "2C")]
    assert terms.FIVE_THREE not in DOUBLE_RULE.sentence(REFERENCE)
    # One major is enough for the double of both minors: five and three add nothing.
    one_major = agreement.changed("response.both_majors", False)
    assert terms.FIVE_THREE not in DOUBLE_RULE.sentence(one_major)


def test_every_calls_rule_speaks_of_its_own_auction_and_the_hand_has_what_it_asks() -> None:
    """Dealt hands, by the rule that chose their call: one overcall, one bid, values that are held."""
    decided = Batch(deal_block(1511, 0), REFERENCE).at("overcalled").decided("response")
    situation = decided.situation
    told = 0
    played = situation.overcall_bid <= CEILING.code
    for row in np.flatnonzero(played)[:600]:
        rule = RESPONSE.rules[decided.rule[row]]
        if rule.here is None:
            continue
        hand = Hands(situation.hands.words[row : row + 1])
        one = Overcalled(hand, REFERENCE, *(int(x[row]) for x in situation.auction))
        text = sentence_here(rule, one)
        codes = one.overcall_bid, max(decided.bid[row], 0)
        over, bid = (terms.bid_text(int(code)) for code in codes)
        assert f"over {over}" in text
        assert re.findall(r"\d[♣♦♥♠]", text) in ([over], [over, bid])
        told += 1
        held = {"total points": one.total_points, "HCP": one.hands.hcp}
        held["support points"] = one.hands.support_points
        asked = re.findall(r"(\d+)\+ (total points|support points|HCP)", text)
        assert len(asked) == 1 + (rule is DOUBLE_RULE)
        assert all(held[what].item() >= int(needs) for needs, what in asked)
    assert told > 200
