"""Every step of the bidding against a slow, plain reading of the same agreement, hand by hand.

The oracle (tests/plain) was written from the text of the agreement alone, apart from
the package. Agreement is asked of every single hand, so there is no tolerance and no false alarm.
Thresholds are held to it hand by hand as well, in test_variants and test_edges.
"""

from collections.abc import Iterator

import numpy as np
import plain.bidding as plain
import pytest
from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.deal import deal_block
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.rules.opening import opening_lookup
from double_study.rules.overcall import overcall_lookup
from double_study.rules.terms import SEQUENCES, Overcalled, messages_by_sequence
from shared.plain_reading import plainly
from shared.steps import PLAINLY, TOLD, Codes, dealt

DEALT = dealt(deal_block(seed=94_061, block=3))
"""200,000 hands per step: all four of one block's 50,000 deals."""
READ, OF_EACH = 30_000, 5
"""The hands read plainly: the first ones, and the first of each result in each auction."""


def read_plainly(rows: Codes) -> list[int]:
    """Return the positions of the hands to read, of their codes at a step.

    A fault that shows on one hand in 6,500 is missed with chance 0.01. A result that is wrong
    wherever it comes is found if it comes at all, on one of the 200,000 hands.
    """
    every = np.arange(len(rows))
    result = rows @ 64 ** np.arange(rows.shape[1]) * len(SEQUENCES) + every % len(SEQUENCES)
    order = np.argsort(result, kind="stable")
    place = every - np.searchsorted(result[order], result[order])
    return np.union1d(every[:READ], order[place < OF_EACH]).tolist()


@pytest.fixture
def through_four_spades() -> Iterator[Agreement]:
    """Yield both readings with the highest ceiling, so that the rules at level 4 are compared too."""
    agreement = REFERENCE.changed("response.double_through", "4S")
    with plainly(agreement):
        yield agreement


# What a step has several of: opener's calls in two seats, the advancer's after two calls.
NAMES_MET = {
    **{"overcall": 9, "response": 11, "answer": 10, "continuation": 7, "advancer": 6},
    **{"contested_answer": 8, "contested_end": 7, "reopening": 5},
}


@pytest.mark.parametrize("step", PLAINLY)
def test_a_step(step: str, through_four_spades: Agreement) -> None:
    rows = getattr(DEALT, step)(through_four_spades)
    for at in read_plainly(rows):
        assert TOLD[step](rows[at].tolist()) == PLAINLY[step](*DEALT.known[at]), DEALT.known[at]
    # Otherwise the comparison would say nothing of some rule.
    names = np.unique(rows[:, 0])
    assert len(names[names >= 0]) == NAMES_MET.get(step, len(names[names >= 0]))


@pytest.mark.slow
@pytest.mark.parametrize("step", PLAINLY)
def test_a_step_on_every_hand(step: str, through_four_spades: Agreement) -> None:
    rows = getattr(DEALT, step)(through_four_spades).tolist()
    for row, known in zip(rows, DEALT.known, strict=True):
        assert TOLD[step](row) == PLAINLY[step](*known), known


def test_the_look_ups_say_the_same_as_the_rules_that_fill_them() -> None:
    words, openings = DEALT.hands(REFERENCE).words, opening_lookup(REFERENCE.opening)
    opened = [openings.bids(words, seat) for seat in (1, 4)]
    np.testing.assert_array_equal(np.stack(opened, axis=1), DEALT.opening(REFERENCE))
    overcalled = overcall_lookup(REFERENCE.overcall).calls(words, DEALT.auctions[0])
    np.testing.assert_array_equal(np.stack(overcalled, axis=1), DEALT.overcall(REFERENCE))


def test_messages() -> None:
    by_sequence = messages_by_sequence(REFERENCE)
    for (opening, bid), message in zip(SEQUENCES, by_sequence, strict=True):
        nobody = Hands(np.zeros(1, dtype=np.uint32))
        situation = Overcalled(nobody, REFERENCE, opening, bid.denomination, bid.level)
        suits = tuple(suit for suit in range(4) if situation.promised[suit].item())
        auction = (opening, bid.denomination, bid.level)
        assert COLUMNS["message"].names[situation.message.item()] == message
        assert message == plain.message(*auction)
        assert set(suits) == set(plain.promised_suits(*auction))
