"""Every threshold of the agreement from both sides, on hands made by hand (tests/edges).

The expected result of each case was computed from the text of the agreement: common practice,
no single source. Both the package and the plain reading must give it.
"""

from collections.abc import Callable
from itertools import product
from operator import eq
from typing import Any

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import NO_BID, Bid
from double_study.cards.hands import Hands, hand_words
from double_study.columns import COLUMNS
from double_study.rules.advancer import ADVANCER, AdvancerSituation
from double_study.rules.answer import ANSWER, SPADE_RAISE, AnswerSituation, SpadeRaiseSituation
from double_study.rules.auction import taken_out
from double_study.rules.contested import (
    CONTESTED_ANSWER,
    CONTESTED_END,
    OVERCALLER,
    ContestedEndSituation,
    ContestedSituation,
    OvercallerSituation,
)
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION, AfterAnswer, Answered
from double_study.rules.opening import OPENING, OpeningSituation
from double_study.rules.overcall import OVERCALL, OvercallSituation, suit_overcall
from double_study.rules.reopening import REOPENING, ReopeningSituation
from double_study.rules.response import DOUBLE_CALL, REASON, RESPONSE, calls_of, decide_call
from double_study.rules.settle import final_contracts
from double_study.rules.terms import Decided, Overcalled
from edges import EDGES, Edge, plain_result
from numpy.typing import NDArray


def one_hand(text: str) -> Hands:
    cards = sum(holding << 13 * suit for suit, holding in enumerate(plain.read_hand(text)))
    return Hands(hand_words(np.array([cards], dtype=np.uint64)))


def bid_or(code: NDArray[np.int8], none: str | None) -> str | None:
    return none if code.item() < 0 else str(Bid.from_code(code.item()))


def auction(edge: Edge) -> tuple[int, int, int]:
    opening, overcall = (Bid.parse(call) for call in edge.context[:2])
    return opening.denomination, overcall.denomination, overcall.level


def opened(edge: Edge, hand: Hands) -> str | None:
    situation = OpeningSituation(hand, REFERENCE, *edge.context)
    return bid_or(OPENING.decide(situation).bid, "pass")


def overcalled(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = OvercallSituation(hand, REFERENCE, Bid.parse(edge.context[0]).denomination)
    decided = OVERCALL.decide(situation)
    return OVERCALL.names[decided.name.item()], bid_or(suit_overcall(decided), None)


def responded(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = Overcalled(hand, REFERENCE, *auction(edge))
    decided = RESPONSE.decide(situation)
    name = COLUMNS["call"].names[calls_of(decided).item()]
    if name == "double":
        return name, "X"
    if name == "above_ceiling":
        return name, None
    return name, bid_or(decided.bid, "pass")


def answered(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = AnswerSituation(hand, REFERENCE, *auction(edge))
    decided = ANSWER.decide(situation)
    return ANSWER.names[decided.name.item()], bid_or(decided.bid, "pass")


def named_end(decided: Decided[AfterAnswer]) -> tuple[str, str | None, int | None, bool]:
    end = final_contracts(decided)
    return (
        COLUMNS["final_contract"].names[end.final_contract.item()],
        bid_or(end.last_bid, None),
        end.trumps.item() or None,
        bool(end.settled.item()),
    )


def bid_again(edge: Edge, overcaller: Hands) -> str | None:
    """Return the overcaller's second call over an answer given by name and as made."""
    name, call = edge.context[2:]
    answer = np.array([ANSWER.names.index(name)], dtype=np.int8)
    bid = np.array([NO_BID if call == "pass" else Bid.parse(call).code], dtype=np.int8)
    situation = Answered(overcaller, REFERENCE, *auction(edge), answer, bid)
    return bid_or(BIDS_AGAIN.decide(situation).bid, "pass")


def ended(
    edge: Edge, opener: Hands, overcaller: Hands, responder: Hands
) -> tuple[str, str | None, int | None, bool]:
    answer = ANSWER.decide(AnswerSituation(opener, REFERENCE, *auction(edge)))
    after = REFERENCE, *auction(edge), answer.name, answer.bid
    theirs = np.maximum(
        Bid.parse(edge.context[1]).code, BIDS_AGAIN.decide(Answered(overcaller, *after)).bid
    )
    return named_end(CONTINUATION.decide(AfterAnswer(responder, *after, opener, theirs)))


def raised(edge: Edge, hand: Hands) -> str | None:
    situation = SpadeRaiseSituation(hand, REFERENCE)
    return bid_or(SPADE_RAISE.decide(situation).bid, None)


def advanced(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    doubled = edge.context[2] == "X"
    decided = ADVANCER.decide(AdvancerSituation(hand, REFERENCE, *auction(edge), doubled))
    return ADVANCER.names[decided.name.item()], bid_or(decided.bid, "pass")


def doubled_or_bid(name: str, bid: NDArray[np.int8]) -> tuple[str, str | None]:
    return name, "X" if name in ("strong_double", "double") else bid_or(bid, "pass")


def advancers_bid(edge: Edge) -> NDArray[np.int8]:
    return np.array([Bid.parse(edge.context[-1]).code], dtype=np.int8)


def answered_over(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = ContestedSituation(hand, REFERENCE, *auction(edge), advancers_bid(edge))
    decided = CONTESTED_ANSWER.decide(situation)
    return doubled_or_bid(CONTESTED_ANSWER.names[decided.name.item()], decided.bid)


def ended_over(
    edge: Edge, opener: Hands, overcaller: Hands, responder: Hands
) -> tuple[str, str | None, int | None, bool]:
    over = advancers_bid(edge)
    answer = CONTESTED_ANSWER.decide(ContestedSituation(opener, REFERENCE, *auction(edge), over))
    after = REFERENCE, *auction(edge), answer.name, answer.bid
    advancer = np.array([ADVANCER.names.index(edge.context[2])], dtype=np.int8), over
    again = OVERCALLER.decide(OvercallerSituation(overcaller, *after, *advancer))
    theirs = np.maximum(over, again.bid)
    situation = ContestedEndSituation(responder, *after, opener, theirs, *advancer)
    return named_end(CONTESTED_END.decide(situation))


def reopened(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    decided = REOPENING.decide(ReopeningSituation(hand, REFERENCE, *auction(edge)))
    return doubled_or_bid(REOPENING.names[decided.name.item()], decided.bid)


def reopened_after_a_penalty_pass(edge: Edge, opener: Hands, advancer: Hands) -> str:
    name = REOPENING.decide(ReopeningSituation(opener, REFERENCE, *auction(edge))).name
    return REOPENING.names[taken_out(name, advancer, auction(edge)[1]).item()]


def reasoned(edge: Edge, hand: Hands) -> str:
    situation = Overcalled(hand, REFERENCE, *auction(edge))
    assert decide_call(situation).item() == DOUBLE_CALL
    return REASON.names[REASON.decide(situation).name.item()]


OURS: dict[str, Callable[..., Any]] = {
    "opening": opened,
    "overcall": overcalled,
    "response": responded,
    "reason": reasoned,
    "answer": answered,
    "spade_raise": raised,
    "second_bid": bid_again,
    "continuation": ended,
    "advancer": advanced,
    "contested_answer": answered_over,
    "contested_end": ended_over,
    "reopening": reopened,
    "taken_out": reopened_after_a_penalty_pass,
}


def name_of(edge: Edge) -> str:
    return " ".join((edge.step, *edge.hands, *map(str, edge.context)))


@pytest.mark.parametrize("edge", EDGES, ids=name_of)
def test_edge(edge: Edge) -> None:
    assert plain_result(edge) == edge.expected, edge.why
    assert OURS[edge.step](edge, *map(one_hand, edge.hands)) == edge.expected, edge.why


@pytest.mark.parametrize("edge", EDGES, ids=name_of)
def test_hands_of_an_edge_could_be_dealt_together(edge: Edge) -> None:
    hands = [plain.read_hand(text) for text in edge.hands]
    assert {sum(holding.bit_count() for holding in hand) for hand in hands} == {13}
    held = [sum(holding.bit_count() for hand in hands for holding in hand)]
    assert held == [
        sum(np.bitwise_or.reduce(suit).bit_count() for suit in zip(*hands, strict=True))
    ]


UNNOTICED = {
    # 22 HCP open 2♣ before 2NT is asked.
    ("opening.two_notrump", 1, 1),
    # 11 HCP with six cards in a suit, and so nine or more in two, open one of it.
    ("opening.weak", 1, 1),
    # Without a suit of five cards, two diamonds are never longer than the clubs.
    ("opening.diamond_cards", 0, -1),
    # A major of six is no opening of any school.
    ("opening.major_cards", 0, 1),
    # 18 HCP double before an overcall is asked; 17 overcall at level one in any suit with an honour.
    ("overcall.one_level_good", 1, 1),
    ("overcall.one_level_good", 1, -1),
    ("overcall.one_level", 1, 1),
    ("overcall.two_level_six", 1, 1),
    ("overcall.two_level_five", 1, 1),
    # Overcalls at level 4 are above the reference's ceiling.
    *product(("response.double_four", "response.raise_five"), (0,), (1, -1)),
}


def test_every_number_of_the_agreement_has_hands_on_both_sides() -> None:
    """Moved by one, it changes what some hand calls."""
    standing = [plain_result(edge) for edge in EDGES]
    unnoticed = set()
    for key, value in plain.settings().items():
        if isinstance(value, str | bool):
            continue
        numbers = value if isinstance(value, tuple) else (value,)
        for place, by in product(range(len(numbers)), (1, -1)):
            moved = tuple(number + by * (at == place) for at, number in enumerate(numbers))
            with plain.played({key: moved if isinstance(value, tuple) else moved[0]}):
                results = (plain_result(edge) for edge in EDGES)
                if all(map(eq, results, standing)):
                    unnoticed.add((key, place, by))
    assert unnoticed == UNNOTICED
