"""Every threshold of the agreement from both sides, on hands made by hand (tests/edges).

The expected result of each case was worked out from the text of the agreement: common practice,
no single source. Both the package and the plain reading must give it.
"""

from typing import Any

import numpy as np
import plain.bidding as plain
import pytest
from edges import EDGES, Edge, plain_result

from analysis.agreements.agreement import REFERENCE
from analysis.bidding.after_overcall import Overcalled
from analysis.bidding.answer import (
    ANSWER,
    ANSWERS,
    SPADE_RAISE,
    AnswerSituation,
    SpadeRaiseSituation,
)
from analysis.bidding.continuation import RestSituation
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import RESTS, resting_places
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.bidding.overcall import OVERCALL, OvercallSituation, suit_overcall
from analysis.bidding.response import CALLS, DOUBLE_CALL, RESPONSE, decide_call
from analysis.cards.bids import Bid
from analysis.cards.hands import Hands, hand_words


def one_hand(text: str) -> Hands:
    cards = sum(holding << 13 * suit for suit, holding in enumerate(plain.read_hand(text)))
    return Hands(hand_words(np.array([cards], dtype=np.uint64)))


def bid_or(code: Any, none: str | None) -> str | None:
    return none if code.item() < 0 else str(Bid.from_code(code.item()))


def auction(edge: Edge) -> tuple[int, int, int]:
    opening, overcall = (Bid.parse(call) for call in edge.context)
    return opening.denomination, overcall.denomination, overcall.level


def opened(edge: Edge, hand: Hands) -> str | None:
    situation = OpeningSituation(hand, REFERENCE, *edge.context)
    return bid_or(OPENING.decide(situation).bid, "pass")


def overcalled(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = OvercallSituation(hand, REFERENCE, Bid.parse(edge.context[0]).denomination)
    chosen = OVERCALL.decide(situation)
    name = OVERCALL.names[OVERCALL.named(chosen).item()]
    return name, bid_or(suit_overcall(situation, chosen), None)


def responded(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = Overcalled(hand, REFERENCE, *auction(edge))
    call = decide_call(situation)
    name = CALLS[call.item()]
    if name == "double":
        return name, "X"
    bid = bid_or(RESPONSE.bids(situation, call), None)
    return name, "pass" if name in ("penalty_pass", "pass") else bid


def answered(edge: Edge, hand: Hands) -> tuple[str, str | None]:
    situation = AnswerSituation(hand, REFERENCE, *auction(edge))
    chosen = ANSWER.decide(situation)
    return ANSWERS[ANSWER.named(chosen).item()], bid_or(ANSWER.bids(situation, chosen), "pass")


def rested(edge: Edge, opener: Hands, responder: Hands) -> tuple[str, str | None, int | None]:
    before = AnswerSituation(opener, REFERENCE, *auction(edge))
    chosen = ANSWER.decide(before)
    answer, bid = ANSWER.named(chosen), ANSWER.bids(before, chosen)
    place, last, trumps = resting_places(
        RestSituation(responder, REFERENCE, *auction(edge), opener, answer, bid)
    )
    return RESTS[place.item()], bid_or(last, None), trumps.item() or None


def raised(edge: Edge, hand: Hands) -> str | None:
    situation = SpadeRaiseSituation(hand, REFERENCE)
    return bid_or(SPADE_RAISE.bids(situation, SPADE_RAISE.decide(situation)), None)


def reasoned(edge: Edge, hand: Hands) -> str:
    situation = Overcalled(hand, REFERENCE, *auction(edge))
    assert decide_call(situation).item() == DOUBLE_CALL
    return REASON.names[REASON.decide(situation).item()]


OURS = {
    "opening": opened,
    "overcall": overcalled,
    "response": responded,
    "reason": reasoned,
    "answer": answered,
    "spade_raise": raised,
    "rest": rested,
}


def name_of(edge: Edge) -> str:
    return " ".join((edge.step, *edge.hands, *map(str, edge.context)))


@pytest.mark.parametrize("edge", EDGES, ids=name_of)
def test_edge(edge: Edge) -> None:
    assert plain_result(edge) == edge.expected, edge.why
    assert OURS[edge.step](edge, *map(one_hand, edge.hands)) == edge.expected, edge.why
