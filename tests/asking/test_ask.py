"""The command `ask`: the call and its reasons against the plain reading; complaints."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import double_study as ds
import numpy as np
import pytest
from double_study.asking.answer import Answer
from double_study.asking.odds import ENOUGH, odds_before_bidding
from double_study.asking.question import Question, reply
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.cards.notation import Auction, read_hand, write_hand
from double_study.errors import InputError
from double_study.rules.response import RESPONSE
from double_study.rules.terms import SEQUENCES
from plain.bidding import opening, response
from shared.commands import ran, said
from shared.plain_reading import plain_hand
from shared.table_rows import cases, each_row

HAND = "K752.AJ64.83.T92"


def dealt_questions(number: int, seed: int) -> Iterator[Question]:
    """Yield the questions as they come up, from one block of deals."""
    for row in each_row(ds.deals(BLOCK_DEALS, seed=seed, hands=True).head(number)):
        hand = getattr(row, f"hand_{(row.seat + 1) % 4 + 1}")
        yield Question.read(hand, " ".join(row.auction.split()[: row.seat + 1]))


def test_the_call_and_the_rule_are_those_of_the_plain_reading() -> None:
    for question in dealt_questions(400, seed=801):
        overcall = question.auction.overcall
        hand = plain_hand(question.cards)
        rule, bid = response(hand, question.auction.opening, overcall.denomination, overcall.level)
        answer = reply(question)
        assert answer.rule == rule
        if rule != "above_ceiling":
            assert str(answer.call) == {"X": "double", None: "pass"}.get(bid, bid)


def test_each_rule_above_is_named_and_said_not_to_hold() -> None:
    for question in dealt_questions(150, seed=802):
        answer = reply(question)
        if answer.call is None:
            continue
        place = len(answer.above)
        assert RESPONSE.rules[place].name == answer.rule
        for rule, above in zip(RESPONSE.rules, answer.above, strict=False):
            assert above.rule == rule.name
            assert not rule.holds(question.situation).any()
            assert above.lacking
            assert "\n" not in above.lacking


# hand, auction, rule, what it lacked, and why
LACKED = """
K752.AJ643.83.T9 | 1D 1S | new_major | one more total point for 2♥ | 9 with the fifth heart, of 10
2.J4.AQ8532.A942 | 1H 2S | raise_major | one more heart for 3♥     | one card of two; the points are there
K75.J43.8532.T92 | 1C 1H | one_level_major | 2 more total points; 2 more spades for 1♠ | the only way open
2.J4.AQ8532.A942 | 1H 2S | new_major | only with an unbid major    | both bid: nothing else is said
2.J43.Q8532.T942 | 1H 2D | new_major | 4 more spades;              | one major is unbid
"""


@pytest.mark.parametrize(("hand", "auction", "rule", "lacking", "why"), cases(LACKED))
def test_what_a_rule_lacked(hand: str, auction: str, rule: str, lacking: str, why: str) -> None:
    found = {above.rule: above.lacking for above in reply(Question.read(hand, auction)).above}
    assert found[rule].startswith(lacking), why


def test_above_the_ceiling_the_agreement_says_nothing() -> None:
    answer = reply(Question.read(HAND, "1C 4D"))
    assert (answer.call, answer.rule, answer.above) == (None, "above_ceiling", ())
    assert ": not in the agreement." in said(["ask", HAND, "1C 4D"])


def asked(*words: str) -> Any:
    """Return the command's answer for programs."""
    return json.loads(said(["ask", HAND, *words, "--json"]))


def test_the_agreement_chosen_is_the_one_that_answers(tmp_path: Path) -> None:
    strict = tmp_path / "strict.toml"
    strict.write_text("[response]\ndouble_one = 9\n", encoding="utf-8")
    answer = asked("1D 1S", "--agreement", str(strict))
    assert answer["agreement"] == "strict.toml"
    assert answer["call"] != "double"
    lacking = {above["rule"]: above["lacking"] for above in answer["rules_above"]}
    assert lacking["double"] == "one more total point"


@pytest.mark.parametrize("auction", ["1D 1S", "pass 1D 1S", None])
def test_json_for_programs(auction: str | None) -> None:
    answer = asked(*([auction] if auction else []))
    lengths = answer["opener_length"]
    assert set(lengths) == {"spades", "hearts", "diamonds", "clubs"}
    assert all(len(chances) == 14 for chances in lengths.values())
    # Sums of float64 shares: a dozen roundings of at most 2**-53 each.
    for chances in lengths.values():
        assert sum(chances) == pytest.approx(1, abs=1e-12)
    mean = sum(np.dot(chances, range(14)) for chances in lengths.values())
    assert mean == pytest.approx(13, abs=1e-10)
    assert (answer["call"], answer["rule"]) == (("double", "double") if auction else (None, None))
    sampled = auction == "pass 1D 1S"
    assert (answer["kept"] is not None) == sampled
    if not auction:
        assert answer["auction_chance"] is None
    if not sampled:
        assert answer["opener_length_low"] == lengths == answer["opener_length_high"]


def test_a_sample_says_how_large_it_is_and_shows_intervals() -> None:
    answer = asked("pass 1D 1S")
    assert answer["kept"] == ENOUGH
    low, middle, high = (answer[f"auction_chance{end}"] for end in ("_low", "", "_high"))
    assert 0 < low < middle < high
    ends = answer["opener_length_low"], answer["opener_length_high"]
    for low, high in zip(*(end["hearts"] for end in ends), strict=True):
        assert high - low <= 0.02
    text = said(["ask", HAND, "pass 1D 1S", "--full"])
    assert f"comes up on {middle:.2%} of the deals around this hand" in text
    assert "95% interval" in text


def test_text_for_readers() -> None:
    lines = said(["ask", HAND, "1D 1S", "--full"]).splitlines()
    assert lines[0] == "♠K752 ♥AJ64 ♦83 ♣1092 after 1♦ 1♠: double."
    assert "  raise of opener's major  only after a major opening" in lines
    assert any("you hold 4 hearts and 8 total" in line for line in lines)
    assert any(line.startswith("hearts (promised by a double)") for line in lines)
    assert "This auction with this call comes up on " in "\n".join(lines)


TYPED = """
K752.AJ64.83.T92 1D 1S      | K752.AJ64.83.T92
K752.AJ64.83.T92 --json 1D1S? | K752.AJ64.83.T92
K752 AJ64 83 T92 1D 1S      | K752.AJ64.83.T92
-.AJ643.8753.QT92 1D 1S     | .AJ643.8753.QT92
- AJ643 8753 QT92 "1D 1S"   | .AJ643.8753.QT92
"""


@pytest.mark.parametrize(("typed", "hand"), cases(TYPED))
def test_what_people_type_is_read(typed: str, hand: str, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[Question] = []
    monkeypatch.setattr("double_study.asking.answer.replied", read.append)
    monkeypatch.setattr(Answer, "chances", odds_before_bidding(read_hand(hand)))
    assert ran(f"ask {typed}").status == 0
    assert {(write_hand(each.cards), str(each.auction)) for each in read} == {(hand, "1D 1S")}


def test_a_hand_passed_first_if_and_only_if_it_would_not_have_opened() -> None:
    for row, seat in ((0, 1), (1, 2)):
        for cards in deal_block(803, 0)[row, :60].tolist():
            hand = plain_hand(cards)
            auction = Auction(seat + 1, 1, SEQUENCES[12][1])
            assert SEQUENCES[12][0] == 1
            if opening(hand, seat) == "pass":
                assert Question(cards, auction).cards == cards
            else:
                with pytest.raises(InputError, match="would have opened"):
                    Question(cards, auction)
