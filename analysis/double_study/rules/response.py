"""Section 3: the responder, the opener's partner; the double, what it needs, and why it was chosen.

Total points leave out length in the overcaller's suit. Over an overcall above the agreement's
ceiling the rules decide nothing; such deals are counted as :data:`ABOVE_CEILING`. What the double
promises, its message, depends on the opening and the overcall (:mod:`double_study.rules.terms`).

Choice where the text leaves room: over an overcall at level 3 a raise to game, like any other,
needs the points for the cheapest level first.
"""

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import *
from double_study.cards.hands import SUIT_CARDS, Suit, suit_set
from double_study.columns import COLUMNS
from double_study.rules.terms import *

PROMISED_CARDS = 4


def double_needs(agreement: Agreement, level: Suit, suit: Suit) -> NDArray[np.integer]:
    """Return the total points that the double needs over an overcall at ``level`` in ``suit``."""
    needs = agreement.response
    # Levels 1 to 4 in a minor, and after them in a major.
    by_level = [UNREACHABLE]
    for two in (needs.double_two_minor, needs.double_two_major):
        by_level += [needs.double_one, two, needs.double_three, needs.double_four]
    in_major = np.asarray(suit) >= HEARTS
    return np.array(by_level, dtype=np.int16).take(np.asarray(level) + in_major * np.int8(4))


def _double_sentence(a: Agreement) -> str:
    r = a.response
    if not r.double:
        return "the responder's double is not played"
    majors = PROMISES["both_majors" if r.both_majors else "either_major"]
    at_two = (
        f"{r.double_two_minor} at 2"
        if r.double_two_minor == r.double_two_major
        else f"{r.double_two_minor} over two of a minor, {r.double_two_major} over two of a major"
    )
    higher = [at_two, f"{r.double_three} at 3", f"{r.double_four} at 4"]
    points = [f"{r.double_one}+ total points at level 1", *higher[: r.double_through.level - 1]]
    if r.both_majors and r.five_three_majors:
        majors += f" (over two of a minor, also {FIVE_THREE})"
    return (
        f"double through {r.double_through.symbol} with {', '.join(points)}, and always with "
        f"{_always_needed(a)}; the length needed is, if both minors are bid, {majors}; if both majors "
        f"are bid, {PROMISES['both_minors']}; over 1♥ after a minor, {PROMISES['exactly_four_spades']}; "
        f"otherwise {PROMISES['other_major']}"
    )


def _always_needed(a: Agreement) -> str:
    most = a.response.double_cards
    limit = f" and at most {most} cards in the overcaller's suit" if most < SUIT_CARDS else ""
    return f"{a.response.double_hcp}+ HCP{limit}"


def _double_here(s: Overcalled) -> str:
    points = f"{DOUBLE_NEEDS(s).item()}+ total points"
    return f"over {s.overcall_made}, double with {s.promise}, {points} and {_always_needed(s.agreement)}"


def _promised_names(s: Overcalled) -> str:
    between = " or " if np.ravel(s.message)[0] == EITHER_MAJOR else " and as many "
    return between.join(SUIT_NAMES[suit] for suit in np.flatnonzero(s.promised[:, 0]))


def _in_promise(s: Overcalled) -> NDArray[np.integer]:
    if s.agreement.response.both_majors:
        return s.in_shortest_promised
    one_enough = s.message == EITHER_MAJOR
    return np.where(one_enough, s.in_longest_promised, s.in_shortest_promised)


def _cards_lacking(s: Overcalled) -> str:
    """Return the cards that a single hand lacks for the promise, by suit; of either major, the longer."""
    lengths = {suit: s.hands.lengths[suit].item() for suit in np.flatnonzero(s.promised[:, 0])}
    either = np.asarray(s.message).item() == EITHER_MAJOR
    longest = max(lengths.values())
    parts = [
        more(PROMISED_CARDS - cards, SUIT_NAMES[suit])
        for suit, cards in lengths.items()
        if (cards == longest if either else cards < PROMISED_CARDS)
    ]
    return (" or " if either else " and ").join(parts)


PROMISED_SUITS = SuitTerm("the suit or suits promised", lambda s: s.longest_promised, _promised_names)
IN_PROMISE = Number("cards in {}", _in_promise, PROMISED_SUITS, lacking=_cards_lacking)
"""Cards in the shortest promised suit, or in the longest if one major is enough."""
SPADES_HELD = Number("spades", lambda s: s.hands.lengths[SPADES])
SPADES_ALLOWED = Number(
    "", lambda s: np.where(s.message == FOUR_SPADES, np.int16(4), np.int16(SUIT_CARDS))
)
LONGER_MAJOR = SuitTerm("the longer major", lambda s: s.hands.longest(*MAJORS))
SHORTER_MAJOR = SuitTerm("the shorter major", lambda s: sum(MAJORS) - LONGER_MAJOR.suit(s))

PROMISED_LENGTH = IN_PROMISE >= PROMISED_CARDS
# Four or more in the shorter major are enough in any case.
FIVE_AND_THREE = (played(FIVE_THREE, A.response.five_three_majors)
                  & Fact("over two of a minor after the other minor", lambda s: s.five_three)
                  & (LONGER_MAJOR.cards >= 5) & (SHORTER_MAJOR.cards >= 3))
DOUBLE_NEEDS = Number("", lambda s: double_needs(s.agreement, s.level, s.overcall))
ENOUGH_POINTS = TOTAL >= DOUBLE_NEEDS
WITHIN_LIMITS = (HCP >= A.response.double_hcp) & (OVERCALLED.cards <= A.response.double_cards)
"""What the double requires at every level."""

DOUBLE_RULE = Rule("double", _double_sentence,
                   played("the double", A.response.double) & (PROMISED_LENGTH | FIVE_AND_THREE)
                   & (SPADES_HELD <= SPADES_ALLOWED) & ENOUGH_POINTS & WITHIN_LIMITS,
                   here=_double_here)

NOT_BID = "too few points, or no room, to bid the suit"
"""Why a hand doubles with five or more in a promised major."""

IN_PROMISED_MAJOR = Number("cards in the promised major", lambda s: s.in_longest_promised)

REASON: RuleTable[Overcalled] = RuleTable("Why the double was chosen", "reason", (
    Rule("both_suits", "both unbid suits are promised",
         Fact("two suits promised", lambda s: np.isin(s.message, (BOTH_MAJORS, BOTH_MINORS)))),
    Rule("exactly_four_spades", "exactly four spades are promised",
         Fact("exactly four spades promised", lambda s: s.message == FOUR_SPADES)),
    Rule("five_or_more", f"five or more in the promised major, but {NOT_BID}",
         IN_PROMISED_MAJOR >= 5),
    Rule("four_and_strong", "four in the promised major and {response.strong}+ total points",
         TOTAL >= A.response.strong),
    Rule("four_and_ordinary", "four in the promised major and fewer than {response.strong} total "
         "points"),
))

RAISE_LEVEL = Number("the level of the raise", lambda s: np.maximum(OPENED.level(s), np.int8(2)),
                     equal="a raise to level #")
"""k: the cheapest level of the opened suit, at least 2."""
RAISE_POINTS = by_level(RAISE_LEVEL, two=A.response.raise_two, three=A.response.raise_three,
                        four=A.response.raise_four, five=A.response.raise_five)
ENOUGH_TO_RAISE = SUPPORT >= RAISE_POINTS
MAJOR_SUPPORT = MAJOR_OPENED & (OPENED.cards >= A.response.raise_cards)


def _major_support(a: Agreement) -> str:
    return f"{('three', 'four')[a.response.raise_cards - 3]} cards or more in opener's major"


def _raise_major_bid(s: Overcalled) -> ArrayLike:
    strong = SUPPORT(s) >= s.agreement.response.raise_game
    game = strong & (np.asarray(s.level) == 3)
    level = np.maximum(RAISE_LEVEL(s), game * GAME_LEVEL[SPADES])
    return bid_code(level, np.asarray(s.opening))


def _raise_major_here(s: Overcalled) -> str:
    bid, cheapest = (np.asarray(code).item() for code in (_raise_major_bid(s), _CHEAPEST_RAISE(s)))
    needs = s.agreement.response.raise_game if bid > cheapest else RAISE_POINTS(s).item()
    over = f"over {s.overcall_made}, with {needs}+ support points: {bid_text(bid)}"
    return f"{_major_support(s.agreement)}, {over}"


_CHEAPEST_RAISE = OPENED.at(RAISE_LEVEL)

OVER_DIAMONDS = Fact("after 1♣ (1♦)", lambda s: np.asarray(s.overcall) == DIAMONDS)
OVER_HEARTS = Fact("after a minor and 1♥",
                   lambda s: (np.asarray(s.opening) < HEARTS) & (np.asarray(s.overcall) == HEARTS))
NOT_FOUR_FOUR = Fact("other than four cards in each major",
                     lambda s: (s.hands.lengths[HEARTS] != 4) | (s.hands.lengths[SPADES] != 4))


def _major_over_diamonds(a: Agreement) -> str:
    four = ", or the one four-card major" if a.response.one_level_cards == 4 else ""
    return f"the longer major of five or more (spades if equal){four}"


_FIVE_SPADES = "five spades or more"


def _one_level_major_here(s: Overcalled) -> str:
    hearts = np.asarray(s.overcall).item() == HEARTS
    major = _FIVE_SPADES if hearts else _major_over_diamonds(s.agreement)
    points = s.agreement.response.one_level_major
    return f"{points}+ total points over {s.overcall_made}: {major}, at level 1"


def _new_suit(kind: str, suits: tuple[int, int], text: str, fewest: int = 5) -> Rule:
    """Return the rule for a new suit of a ``kind``, which needs ``fewest`` cards or more."""
    either = np.int8(suit_set(suits))
    suit = SuitTerm(f"the longer unbid {kind}", lambda s: s.hands.longest_among(s.unbid_set & either))
    cards = by_level(suit.level, two=fewest, three=fewest, four=6)
    points = by_level(suit.level, two=A.response.new_suit_two, three=A.response.new_suit_three,
                      four=A.response.new_suit_four)
    unbid = Fact(f"with an unbid {kind}", lambda s: suit.suit(s) >= 0)
    both_unbid = Fact(f"with both {kind}s unbid",
                      lambda s: s.is_unbid(suits[0]) & s.is_unbid(suits[1]))
    return Rule(f"new_{kind}", text,
                (unbid if fewest == 5 else both_unbid) & (suit.cards >= cards) & (TOTAL >= points),
                bid=suit.cheapest, here="{cards} or more, over {overcall_made}, with {points}: {bid}")


_NEW_SUIT = (
    "bid the longer unbid %s (%s if equal) at its cheapest level: on five cards or more with "
    "{response.new_suit_two}+ total points at level 2 or {response.new_suit_three}+ at level 3, on "
    "six or more with {response.new_suit_four}+ at level 4"
)

NOTRUMP_POINTS = by_level(LEVEL, one=A.response.notrump_one, two=A.response.notrump_two,
                          three=A.response.notrump_three)
NOTRUMP_LEVEL = notrump_level(A.response.notrump_invite, A.response.notrump_game)


def _notrump_here(s: Overcalled) -> str:
    level, needs = NOTRUMP_LEVEL(s).item(), NOTRUMP_POINTS(s).item()
    if level > LEVEL(s):
        stronger = {2: s.agreement.response.notrump_invite, 3: s.agreement.response.notrump_game}
        needs = max(needs, stronger[level])
    stopper = OVERCALLED.stopper.have.words(s)
    return f"{stopper} and {needs}+ HCP, over {s.overcall_made}: {Bid(level, NOTRUMP).symbol}"


CUE_BID_POINTS = by_level(LEVEL, one=A.response.cue_bid, two=A.response.cue_bid,
                          three=A.response.cue_bid_three)
_BID_THEIRS = "cue-bid the overcaller's suit, to show a strong hand with no other call"

RESPONSE: RuleTable[Overcalled] = RuleTable("The responder", "call", (
    Rule("strong_raise",
         lambda a: (
             f"{_major_support(a)} and {a.response.strong_raise}+ support points, over an overcall "
             "at level 1 or 2: cue-bid the overcaller's suit"
         ),
         MAJOR_SUPPORT & (LEVEL <= 2) & (SUPPORT >= A.response.strong_raise), bid=CUE_BID),
    Rule("raise_major",
         lambda a: (
             f"{_major_support(a)}: raise it to its cheapest level, but at least to 2, with "
             f"{a.response.raise_two}+ support points at level 2, {a.response.raise_three}+ at 3, "
             f"{a.response.raise_four}+ at 4, {a.response.raise_five}+ at 5; over an overcall at level "
             f"3, raise it to game with {a.response.raise_game}+"
         ),
         MAJOR_SUPPORT & ENOUGH_TO_RAISE, bid=_raise_major_bid, here=_raise_major_here),
    Rule("one_level_major",
         lambda a: (
             f"with {a.response.one_level_major}+ total points, bid a major at level 1: after 1♣ (1♦), "
             f"{_major_over_diamonds(a)}; after a minor and 1♥, {_FIVE_SPADES}"
         ),
         (LEVEL == 1) & (TOTAL >= A.response.one_level_major)
         & (OVER_DIAMONDS & (LONGER_MAJOR.cards >= A.response.one_level_cards) & NOT_FOUR_FOUR
            | OVER_HEARTS & (SPADES_HELD >= 5)),
         bid=lambda s: np.where(np.asarray(s.overcall) == HEARTS, SPADES, LONGER_MAJOR.suit(s)),
         here=_one_level_major_here),
    Rule("penalty_pass", "{response.penalty_cards} good cards or more in the overcaller's suit "
         "and {response.penalty_pass}+ HCP: pass for penalties",
         (OVERCALLED.cards >= A.response.penalty_cards) & OVERCALLED.good
         & (HCP >= A.response.penalty_pass)),
    _new_suit("major", MAJORS, _NEW_SUIT % ("major", "spades")),
    _new_suit("minor", MINORS,
              "if both majors are bid: bid a minor of six cards or more (the longer; diamonds if "
              "equal) at its cheapest level, with {response.new_suit_two}+ total points at level 2, "
              "{response.new_suit_three}+ at 3, {response.new_suit_four}+ at 4", fewest=6),
    DOUBLE_RULE,
    _new_suit("minor", MINORS, _NEW_SUIT % ("minor", "diamonds")),
    Rule("notrump", "a stopper in the overcaller's suit and {response.notrump_one}+ HCP over an "
         "overcall at level 1, {response.notrump_two}+ at 2, {response.notrump_three}+ at 3: bid "
         "notrump at that level, but 2NT with {response.notrump_invite}+ HCP and 3NT with "
         "{response.notrump_game}+",
         OVERCALLED.stopper & (HCP >= NOTRUMP_POINTS), bid=NT.at(NOTRUMP_LEVEL),
         here=_notrump_here),
    Rule("strong_raise", "at least five clubs or four diamonds for opener's minor and "
         "{response.strong_raise_minor}+ support points, over an overcall at level 1 or 2: "
         "cue-bid the overcaller's suit",
         ~MAJOR_OPENED & (OPENED.cards >= MINOR_SUPPORT) & (LEVEL <= 2)
         & (SUPPORT >= A.response.strong_raise_minor), bid=CUE_BID),
    Rule("cue_bid",
         "{response.cue_bid}+ total points over an overcall at level 1 or 2, "
         f"{{response.cue_bid_three}}+ at 3: {_BID_THEIRS}",
         TOTAL >= CUE_BID_POINTS, bid=CUE_BID,
         here=f"{{points}} over {{overcall_made}}: {_BID_THEIRS}"),
    Rule("raise_minor", "at least five clubs or four diamonds for opener's minor: raise it on "
         "the points for a raise of a major, but never jump to game; for a raise to level 2 one "
         "card fewer is enough with {response.short_raise}+ support points",
         ~MAJOR_OPENED
         & ((OPENED.cards >= MINOR_SUPPORT) & ENOUGH_TO_RAISE
            | (RAISE_LEVEL == 2) & (OPENED.cards >= MINOR_SUPPORT - 1)
              & (SUPPORT >= A.response.short_raise)), bid=_CHEAPEST_RAISE,
         here="{cards} or more, over {overcall_made}, with {points}: {bid}"),
    Rule("pass", "anything else: pass"),
))

ABOVE_CEILING = COLUMNS["call"].code("above_ceiling")
DOUBLE_CALL = COLUMNS["call"].code("double")
PASS_CALL = COLUMNS["call"].code("pass")
PENALTY_PASS_CALL = COLUMNS["call"].code("penalty_pass")
ONE_LEVEL_MAJOR_CALL = COLUMNS["call"].code("one_level_major")


def above_ceiling_sentence(agreement: Agreement) -> str:
    ceiling = agreement.response.double_through.symbol
    return f"the agreement says nothing over an overcall higher than {ceiling}"


def decide_call(situation: Overcalled) -> NDArray[np.int8]:
    """Return the responder's calls as codes of the column ``call``; int8, shape of the hands."""
    return calls_of(RESPONSE.decide(situation))


def calls_of(decided: Decided[Overcalled]) -> NDArray[np.int8]:
    """Return the responder's calls from the decisions of :data:`RESPONSE` and the agreement's ceiling."""
    ceiling = decided.situation.agreement.response.double_through.code
    above = decided.situation.overcall_bid > ceiling
    return np.where(above, np.int8(ABOVE_CEILING), decided.name)


FEWEST_TO_DEFEND = 4
"""The fewest cards in the overcaller's suit with which any agreement passes to defend."""


def would_defend(situation: Overcalled) -> NDArray[np.intp]:
    """Return the positions of hands that would pass to defend if :data:`FEWEST_TO_DEFEND` cards did."""
    needs = situation.agreement.response
    able = (situation.in_overcalled >= FEWEST_TO_DEFEND) & OVERCALLED.good.met(situation)
    rows = np.flatnonzero(able & (situation.hands.hcp >= needs.penalty_pass))
    response = replace(needs, penalty_cards=FEWEST_TO_DEFEND)
    agreement = replace(situation.agreement, response=response)
    suit, overcall, level = (part[rows] for part in situation.auction)
    calls = decide_call(Overcalled(situation.hands.rows(rows), agreement, suit, overcall, level))
    return rows[calls == PENALTY_PASS_CALL]
