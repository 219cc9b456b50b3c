"""Every step of the bidding against a slow, plain reading of the same agreement, hand by hand.

The oracle (tests/plain) was written from the text of the agreement alone, apart from
the package. Agreement is asked of every single hand, so there is no tolerance and no false alarm.
"""

from collections.abc import Iterable

import numpy as np
import plain.bidding as plain
import pytest

from analysis.agreements.agreement import REFERENCE
from analysis.bidding.after_overcall import MESSAGES, PAIRS, Overcalled
from analysis.bidding.answer import (
    ANSWER,
    ANSWERS,
    SPADE_RAISE,
    AnswerSituation,
    SpadeRaiseSituation,
)
from analysis.bidding.class_tables import opening_lookup, overcall_lookup
from analysis.bidding.continuation import RestSituation
from analysis.bidding.double import REASON
from analysis.bidding.final_contract import RESTS, resting_places
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.bidding.overcall import OVERCALL, OvercallSituation, suit_overcall
from analysis.bidding.response import CALLS, DOUBLE_CALL, RESPONSE, decide_call
from analysis.cards.bids import Bid
from analysis.cards.dealing import deal_block
from analysis.cards.hands import Hands, hand_words

HANDS = 200_000
"""Hands a step: all four of one block's 50,000 deals."""

BLOCK = deal_block(seed=94_061, block=3)
CARDS = BLOCK.T.reshape(-1)
WORDS = hand_words(CARDS)
PARTNERS = hand_words(np.roll(BLOCK, 2, axis=0).T.reshape(-1))

Deal = tuple[int, int, int, int]


def plain_hands(cards: np.ndarray) -> list[Deal]:
    holdings = [((cards >> np.uint64(13 * suit)) & np.uint64(8191)).tolist() for suit in range(4)]
    return list(zip(*holdings, strict=True))


def text(code: int, none: str | None) -> str | None:
    return none if code < 0 else str(Bid.from_code(code))


def first_differences(ours: Iterable[object], theirs: Iterable[object]) -> list[tuple[object, ...]]:
    return [
        (at, our, their)
        for at, (our, their) in enumerate(zip(ours, theirs, strict=True))
        if our != their
    ][:5]


@pytest.fixture(scope="module")
def hands() -> list[Deal]:
    return plain_hands(CARDS)


@pytest.fixture(scope="module")
def pairs() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """An auction for each hand, all 42 in turn, so that rare ones are met as often as common."""
    turn = np.arange(HANDS) % len(PAIRS)
    opening = np.array([suit for suit, _ in PAIRS])[turn]
    overcall = np.array([bid.denomination for _, bid in PAIRS])[turn]
    level = np.array([bid.level for _, bid in PAIRS])[turn]
    return opening, overcall, level


@pytest.fixture
def through_four_spades(monkeypatch: pytest.MonkeyPatch) -> object:
    """Both readings with the highest ceiling, so that the rules at level 4 are compared too."""
    monkeypatch.setattr(plain.REFERENCE, "double_through", "4S")
    return REFERENCE.changed("response.double_through", "4S")


@pytest.mark.parametrize("seat", [1, 4])
def test_openings(seat: int, hands: list[Deal]) -> None:
    situation = OpeningSituation(Hands(WORDS), REFERENCE, seat)
    bids = OPENING.bids(situation, OPENING.decide(situation))
    assert not first_differences(
        (text(code, "pass") for code in bids.tolist()),
        (plain.opening(hand, seat) for hand in hands),
    )
    # The sampler's look-up says the same as the rules that fill it.
    np.testing.assert_array_equal(opening_lookup(REFERENCE).bids(WORDS, seat), bids)


def test_overcalls(hands: list[Deal]) -> None:
    opening = np.arange(HANDS) % 4
    situation = OvercallSituation(Hands(WORDS), REFERENCE, opening)
    chosen = OVERCALL.decide(situation)
    names, overcalls = OVERCALL.named(chosen), suit_overcall(situation, chosen)
    assert not first_differences(
        (
            (OVERCALL.names[name], text(code, None))
            for name, code in zip(names.tolist(), overcalls.tolist(), strict=True)
        ),
        map(plain.overcall, hands, opening.tolist()),
    )
    looked_up = overcall_lookup(REFERENCE).calls(WORDS, opening)
    np.testing.assert_array_equal(looked_up[0], names)
    np.testing.assert_array_equal(looked_up[1], overcalls)


def test_messages() -> None:
    for opening, bid in PAIRS:
        nobody = Hands(np.zeros(1, dtype=np.uint32))
        situation = Overcalled(nobody, REFERENCE, opening, bid.denomination, bid.level)
        suits = tuple(suit for suit in range(4) if situation.promised[suit].item())
        auction = (opening, bid.denomination, bid.level)
        assert MESSAGES[situation.message.item()] == plain.message(*auction)
        assert set(suits) == set(plain.promised_suits(*auction))


def test_responses_and_reasons(
    hands: list[Deal], pairs: tuple[np.ndarray, ...], through_four_spades: object
) -> None:
    situation = Overcalled(Hands(WORDS), through_four_spades, *pairs)
    calls = decide_call(situation)
    bids = RESPONSE.bids(situation, calls)
    auctions = list(zip(*(part.tolist() for part in pairs), strict=True))
    expected = [
        plain.response(hand, *auction) for hand, auction in zip(hands, auctions, strict=True)
    ]
    assert not first_differences(
        (CALLS[call] for call in calls.tolist()), (name for name, _ in expected)
    )
    assert not first_differences(
        (text(code, None) for code in bids.tolist()),
        (None if bid in ("pass", "X") else bid for _, bid in expected),
    )
    doubled = np.flatnonzero(calls == DOUBLE_CALL)
    reasons = REASON.decide(situation)[doubled]
    assert not first_differences(
        (REASON.names[reason] for reason in reasons.tolist()),
        (plain.reason(hands[at], *auctions[at]) for at in doubled.tolist()),
    )


def test_calls_above_the_ceiling(hands: list[Deal], pairs: tuple[np.ndarray, ...]) -> None:
    some = slice(0, 5_000)
    auction = tuple(part[some] for part in pairs)
    calls = decide_call(Overcalled(Hands(WORDS[some]), REFERENCE, *auction))
    expected = map(plain.response, hands[some], *(part.tolist() for part in auction))
    assert not first_differences((CALLS[call] for call in calls.tolist()), (n for n, _ in expected))


def test_answers_and_resting_places(hands: list[Deal], pairs: tuple[np.ndarray, ...]) -> None:
    openers = Hands(WORDS)
    situation = AnswerSituation(openers, REFERENCE, *pairs)
    chosen = ANSWER.decide(situation)
    names, bids = ANSWER.named(chosen), ANSWER.bids(situation, chosen)
    auctions = [part.tolist() for part in pairs]
    assert not first_differences(
        (
            (ANSWERS[name], text(code, "pass"))
            for name, code in zip(names.tolist(), bids.tolist(), strict=True)
        ),
        map(plain.answer, hands, *auctions),
    )

    rests = RestSituation(Hands(PARTNERS), REFERENCE, *pairs, openers, names, bids)
    place, last, trumps = (part.tolist() for part in resting_places(rests))
    responders = plain_hands(np.roll(BLOCK, 2, axis=0).T.reshape(-1))
    expected = map(plain.resting_place, hands, responders, *auctions)
    assert not first_differences(
        (
            (RESTS[at], text(code, None), cards)
            for at, code, cards in zip(place, last, trumps, strict=True)
        ),
        ((where, bid, cards or 0) for where, bid, cards in expected),
    )


def test_raises_of_one_spade(hands: list[Deal]) -> None:
    situation = SpadeRaiseSituation(Hands(WORDS), REFERENCE)
    bids = SPADE_RAISE.bids(situation, SPADE_RAISE.decide(situation))
    assert not first_differences(
        (text(code, None) for code in bids.tolist()), map(plain.spade_raise, hands)
    )


def test_every_name_of_every_step_was_met(
    pairs: tuple[np.ndarray, ...], through_four_spades: object
) -> None:
    """Otherwise the comparison above would say nothing of some rule."""
    hands = Hands(WORDS)

    def met(names: tuple[str, ...], codes: np.ndarray) -> set[str]:
        return set(names) - {names[code] for code in np.unique(codes)}

    opening = OpeningSituation(hands, REFERENCE, 1)
    overcall = OvercallSituation(hands, REFERENCE, np.arange(HANDS) % 4)
    responder = Overcalled(hands, through_four_spades, *pairs)
    opener = AnswerSituation(hands, REFERENCE, *pairs)
    assert not met(OPENING.names, OPENING.named(OPENING.decide(opening)))
    assert not met(OVERCALL.names, OVERCALL.named(OVERCALL.decide(overcall)))
    assert met(CALLS, decide_call(responder)) == {"above_ceiling"}
    assert not met(ANSWERS, ANSWER.named(ANSWER.decide(opener)))
