"""Section 6: the advancer, the overcaller's partner, after a double or a pass by the responder.

The strong raise needs no condition that limits it to level 3, because over an overcall that is not
a jump the cheapest level of the suit opened is 2 or 3.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from double_study.cards.hands import IntArray
from double_study.rules.terms import *


@dataclass(frozen=True)
class AdvancerSituation(Overcalled):
    """The advancer to call; ``doubled`` is whether the responder doubled rather than passed."""

    doubled: bool

    @cached_property
    def total_points(self) -> IntArray:
        return self.hands.hcp + self.hands.length_points


NO_JUMP = Fact("over no jump", lambda s: ~s.jump)
TRUMPS = Number(
    "trumps",
    lambda s: (OVERCALLED.cards(s) + np.where(s.jump, np.asarray(s.level) + 4, 5)).astype(np.int16),
)
"""t: the hand's own cards, and those that the overcall showed: five, or for a jump its level plus four."""
TRUMP_LEVEL = Number("the level of the trumps",
                     lambda s: np.minimum(TRUMPS(s) - 6, GAME_LEVEL.take(s.overcall)))
"""The level of a raise on nine trumps or more; game at most."""
NEW_SUIT = SuitTerm(
    "the longest suit neither bid nor promised",
    lambda s: s.hands.longest_among(s.unbid_set & ~(s.promised_set if s.doubled else np.int8(0))),
)

RAISE_POINTS = by_level(LEVEL, one=A.advancer.raise_one, two=A.advancer.raise_two)
NOTRUMP_POINTS = by_level(LEVEL, one=A.advancer.notrump_one, two=A.advancer.notrump_two)
NOTRUMP_GAME = by_level(LEVEL, one=A.advancer.notrump_game_one, two=A.advancer.notrump_game_two)
NEW_SUIT_POINTS = by_level(NEW_SUIT.level, one=A.advancer.new_suit, two=A.advancer.new_suit,
                           three=A.advancer.new_suit_three)

ADVANCER: RuleTable[AdvancerSituation] = RuleTable(
    "The fourth hand, the overcaller's partner", "advancer", (
    Rule("strong_raise", "over an overcall that was not a jump, three cards or more in the "
         "overcaller's suit and {advancer.strong_raise}+ support points, or four or more and "
         "{advancer.strong_raise_four}+ HCP: cue-bid the suit opened as cheaply as possible",
         NO_JUMP
         & ((OVERCALLED.cards >= 3) & (SUPPORT >= A.advancer.strong_raise)
            | (OVERCALLED.cards >= 4) & (HCP >= A.advancer.strong_raise_four)),
         bid=OPENED.cheapest),
    Rule("preemptive_raise", "nine trumps or more, counting the cards that the overcall showed "
         "(five, or for a jump four more than its level), and {advancer.preemptive_raise}+ "
         "support points: raise to as many tricks as trumps, but not beyond game, if that is "
         "higher than the overcall",
         (TRUMPS >= 9) & (SUPPORT >= A.advancer.preemptive_raise) & (TRUMP_LEVEL > LEVEL),
         bid=OVERCALLED.at(TRUMP_LEVEL)),
    Rule("raise", "three cards or more in the overcaller's suit and {advancer.raise_one}+ "
         "support points over an overcall at level 1, {advancer.raise_two}+ at 2: raise it one "
         "level",
         (OVERCALLED.cards >= 3) & (SUPPORT >= RAISE_POINTS), bid=OVERCALLED.at(LEVEL + 1)),
    Rule("new_suit", "over an overcall that was not a jump, five good cards or more in the "
         "longest suit neither bid nor promised (the higher-ranking if equal), with "
         "{advancer.new_suit}+ total points to bid it at level 1 or 2, "
         "{advancer.new_suit_three}+ at 3: bid it at its cheapest level",
         NO_JUMP & (NEW_SUIT.cards >= 5) & NEW_SUIT.good & (TOTAL >= NEW_SUIT_POINTS),
         bid=NEW_SUIT.cheapest),
    Rule("notrump", "over an overcall that was not a jump, exactly two cards in its suit, a "
         "stopper in the suit opened, and {advancer.notrump_one}+ HCP at level 1, "
         "{advancer.notrump_two}+ at 2: bid notrump at that level, but over an overcall at level "
         "1 jump to 2NT with {advancer.notrump_jump}+ and to 3NT with "
         "{advancer.notrump_game_one}+, and over one at level 2 to 3NT with "
         "{advancer.notrump_game_two}+",
         NO_JUMP & (OVERCALLED.cards == 2) & OPENED.stopper & (HCP >= NOTRUMP_POINTS),
         bid=NT.at(notrump_level(A.advancer.notrump_jump, NOTRUMP_GAME))),
    Rule("pass", "anything else: pass (a redouble is never made)"),
))
