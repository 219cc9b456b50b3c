"""Section 9: the opener in the pass-out seat, after passes by the responder and the advancer.

The first of the text's rules, for three cards or more in the overcaller's suit, makes four entries
here, one for each name that tables use. If an agreement tries the suits before the double on a short
holding, that double is not made on a hand with a suit to bid, which comes to the same.
"""

from dataclasses import dataclass

from double_study.agreements.reader import Agreement
from double_study.columns import COLUMNS
from double_study.rules.terms import *


@dataclass(frozen=True)
class ReopeningSituation(Overcalled):
    """The opener after 1Y (overcall) pass (pass): ``hands`` are the opener's."""


UNBID = SuitTerm("the longest unbid suit", lambda s: s.hands.longest_among(s.unbid_set))
UNBID_LEVEL = Number("the level of that suit", UNBID.level)
SHORTEST = Number("cards in the shortest suit", lambda s: s.hands.lengths.min(axis=0))
IN_EACH_UNBID = Number("cards in each unbid suit",
                       lambda s: s.hands.shortest_length_among(s.unbid_set))
THREE_OF_THEIRS = OVERCALLED.cards >= 3

SECOND_SUIT = ((UNBID.cards >= 5)
               & ((UNBID_LEVEL <= 2) | (UNBID_LEVEL <= 3) & (HCP >= A.reopening.second_suit_three)))
OWN_SUIT = (HCP <= A.reopening.own_suit) & (
    (OPENED.cards >= 6) & (OPENED.level <= 2) | (OPENED.cards >= 7) & (OPENED.level <= 3)
)
VOID_AND_SUIT = Fact("a void in {} and a second suit to bid",
                     lambda s: (OVERCALLED.cards(s) == 0) & SECOND_SUIT.met(s),
                     "not both a void in {} and a second suit to bid", suit=OVERCALLED)
A_SUIT_FIRST = Fact(
    "a suit to bid first",
    lambda s: s.agreement.reopening.suits_first & (SECOND_SUIT.met(s) | OWN_SUIT.met(s)),
    "no suit to bid first",
)


def _double_sentence(a: Agreement) -> str:
    r = a.reopening
    first = ", and only without a suit to bid by the next two rules" if r.suits_first else ""
    cards = f"{r.high_double_cards} card{'s' * (r.high_double_cards != 1)}"
    return (
        f"{r.double}+ HCP, or two cards or more in each unbid suit: double, but only with at most six "
        "cards in the suit opened, not with both a void in the overcaller's suit and a suit to bid by "
        "the next rule, and over an overcall at level 3 or 4 only with at most "
        f"{cards} in the overcaller's suit or {r.high_double}+ HCP{first}"
    )


REOPENING: RuleTable[ReopeningSituation] = RuleTable("The opener after two passes", "reopening", (
    Rule("notrump", "three cards or more and a stopper in the overcaller's suit, "
         "{reopening.notrump}+ HCP, no singleton or void, and an overcall no higher than level "
         "3: bid notrump",
         THREE_OF_THEIRS & (HCP >= A.reopening.notrump) & OVERCALLED.stopper & (SHORTEST >= 2)
         & (LEVEL <= 3), bid=NT.at(LEVEL)),
    Rule("double", "three cards or more in the overcaller's suit and {reopening.long_double}+ "
         "HCP: double",
         THREE_OF_THEIRS & (HCP >= A.reopening.long_double)),
    Rule("own_suit", "three cards or more in the overcaller's suit and six or more in the suit "
         "opened: rebid it, if its cheapest level is 2",
         THREE_OF_THEIRS & (OPENED.cards >= 6) & (OPENED.level <= 2), bid=OPENED.cheapest),
    Rule("pass", "three cards or more in the overcaller's suit, and no rule above holds: pass",
         THREE_OF_THEIRS),
    Rule("double", _double_sentence,
         ((HCP >= A.reopening.double) | (IN_EACH_UNBID >= 2)) & (OPENED.cards <= 6)
         & ~VOID_AND_SUIT & ~A_SUIT_FIRST
         & ((LEVEL <= 2)
            | (OVERCALLED.cards <= A.reopening.high_double_cards)
            | (HCP >= A.reopening.high_double))),
    Rule("second_suit", "five cards or more in the longest unbid suit (the higher-ranking if "
         "equal): bid it, if its cheapest level is 2 or lower, or 3 with "
         "{reopening.second_suit_three}+ HCP",
         SECOND_SUIT, bid=UNBID.cheapest),
    Rule("own_suit", "at most {reopening.own_suit} HCP and six cards or more in the suit opened: "
         "rebid it, if its cheapest level is 2 or lower, or with seven if that level is 3",
         OWN_SUIT, bid=OPENED.cheapest),
    Rule("double", "{reopening.late_double}+ HCP: double", HCP >= A.reopening.late_double),
    Rule("pass", "anything else: pass"),
))

NOT_REACHED = COLUMNS["reopening"].code("not_reached")
DOUBLE_AGAIN = COLUMNS["reopening"].code("double")
