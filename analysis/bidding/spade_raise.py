"""The end of section 4: the opener's answer to 1♠ over 1♥, which shows five spades."""

from __future__ import annotations

from dataclasses import dataclass

from analysis.bidding.after_overcall import RAISE_WORDINGS
from analysis.bidding.rules import Condition, Rule, RuleTable, Situation, at_least
from analysis.cards.bids import SPADES, bid_code
from analysis.cards.hands import IntArray
from analysis.vocabulary.dimension import Dimension


@dataclass(frozen=True)
class SpadeRaiseSituation(Situation):
    """The opener after a minor, 1♥ and 1♠, which shows five spades."""

    @property
    def spades(self) -> IntArray:
        """Opener's spades."""
        return self.hands.lengths[SPADES]


def _three_spades(
    *more: Condition[SpadeRaiseSituation],
) -> list[Condition[SpadeRaiseSituation]]:
    return [at_least("spades", lambda s: s.spades, lambda s: 3), *more]


SPADE_RAISE: RuleTable[SpadeRaiseSituation] = RuleTable(
    "The opener's answer to 1♠ over 1♥",
    (
        Rule(
            "raise_game",
            RAISE_WORDINGS["raise_game"],
            lambda a: f"three spades or more and {a.answer.spade_game}+ support points: 4♠",
            [
                _three_spades(
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.answer.spade_game,
                    )
                )
            ],
            lambda s: bid_code(4, SPADES),
        ),
        Rule(
            "raise_jump",
            RAISE_WORDINGS["raise_jump"],
            lambda a: f"three spades or more and {a.answer.spade_jump}+ support points: 3♠",
            [
                _three_spades(
                    at_least(
                        "support points",
                        lambda s: s.hands.support_points,
                        lambda s: s.agreement.answer.spade_jump,
                    )
                )
            ],
            lambda s: bid_code(3, SPADES),
        ),
        Rule(
            "raise_minimum",
            RAISE_WORDINGS["raise_minimum"],
            lambda a: "three spades or more, otherwise: 2♠",
            [_three_spades()],
            lambda s: bid_code(2, SPADES),
        ),
        Rule(
            "no_raise",
            "no raise",
            lambda a: "fewer than three spades: no raise; not followed further",
        ),
    ),
)

SPADE_ANSWER = Dimension("answer", "opener's answer", "The answer to 1♠.", SPADE_RAISE.wordings)
