"""The kinds of boards: doubles of each sort, near misses that need another call, opener's calls."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from double_study.cards.bids import CLUBS, MAJORS, Bid
from double_study.cards.hands import ACE, JACK, KING, QUEEN, SUIT_CARDS, TEN, BoolArray
from double_study.columns import COLUMNS
from double_study.lessons.case import OPENER, REOPENING, RESPONDER
from double_study.lessons.teachable import suits_of
from double_study.rules.auction import responder
from double_study.rules.batch import DEALS, Batch, column
from double_study.rules.reopening import DOUBLE_AGAIN, IN_EACH_UNBID
from double_study.rules.response import DOUBLE_RULE, ENOUGH_POINTS, PROMISED_LENGTH, double_needs
from double_study.rules.terms import A_PROMISED_SUIT, MINOR_SUPPORT, OPENED, Overcalled

STRONG = 12
"""HCP from which a class thinks a hand too strong for a double."""
_NEW_SUIT, _RAISE, _WAIT, _TWO_OF_THEIRS = 10, 10, 10, 14
"""HCP: the fewest of a new suit, the most of a raise and of a trap pass (its side has no game), and the
fewest with which opener reopens with a double on two cards in their suit."""
_FAR_BELOW = 3
"""Points that a hand of the right shape may lack if passing is to be a question at all."""
_MANY = 1
"""Points above what the double needs up to which a pass on the wrong shape is still normal."""


@dataclass(frozen=True)
class Kind:
    """A kind of board: which deals, from which stage, belong to it, and which player is asked.

    ``near``: whether the hand nearly doubles, or as opener nearly raises, but needs another call.
    """

    stage: str
    asked: str
    of: Callable[[Batch], BoolArray]
    near: bool = False


def _made(column: str, *names: str) -> Callable[[Batch], BoolArray]:
    """Return a function for the deals with any of some categories of a column."""
    codes = [COLUMNS[column].code(name) for name in names]
    return lambda b: np.isin(b[column], codes)


def _doubled_for(*reasons: str, strong: bool = False) -> Callable[[Batch], BoolArray]:
    def of(b: Batch) -> BoolArray:
        hands = b.hands("responder")
        longest = np.sort(hands.lengths, axis=0)
        # A void, or six cards and five, may call for something else at every later turn.
        plain = (longest[0] >= 1) & ~((longest[-1] >= 6) & (longest[-2] >= 5))
        return _made("reason", *reasons)(b) & ((hands.hcp >= STRONG) == strong) & plain

    return of


_IN_ONE_SUIT = "exactly_four_spades", "four_and_ordinary", "four_and_strong"


def _major_at_one(b: Batch) -> BoolArray:
    return _made("call", "one_level_major")(b) & ~_both(b)


def _new_suit(b: Batch) -> BoolArray:
    """Find new suits at level 2 or higher with two of its top five cards, and not on length alone."""
    hands = b.hands("responder")
    good = hands.good_in(b["bid"] % np.int8(5) % np.int8(4))
    short = hands.length_in(b["overcalled_suit"]) <= 3
    notrump = (
        _made("call", "new_minor")(b) & hands.balanced & hands.stopper_in(b["overcalled_suit"])
    )
    clear = good & short & ~notrump & ~_both(b) & (hands.hcp >= _NEW_SUIT)
    return _made("call", "new_major", "new_minor")(b) & clear


def _both(b: Batch) -> BoolArray:
    """Hands with every suit that a double would show, two of them: many would double."""
    s = b.decided("response").situation
    return PROMISED_LENGTH.met(s) & ~s.one_suit_promised


def _raise(b: Batch) -> BoolArray:
    """Find raises that limit the hand: of a major without much shape, of a minor on real support."""
    situation = b.decided("response").situation
    hands = situation.hands
    trumps, shortness = hands.length_in(situation.opening), hands.support_points - hands.hcp
    major = _made("call", "raise_major")(b) & (trumps <= 4) & (shortness <= 1)
    real = (trumps >= MINOR_SUPPORT(situation)) & (trumps <= 5) & (shortness <= 2)
    minor = _made("call", "raise_minor")(b) & real
    return (major | minor) & (hands.hcp <= _RAISE)


def _too_weak(b: Batch) -> BoolArray:
    situation = b.decided("response").situation
    nearly = DOUBLE_RULE.almost(situation, ENOUGH_POINTS, _FAR_BELOW)
    return _made("call", "pass")(b) & nearly & ~_support(situation)


def _support(s: Overcalled) -> BoolArray:
    """Three cards or more in partner's major: a class thinks of a raise."""
    return np.asarray((s.opening >= MAJORS[0]) & (OPENED.cards(s) >= 3))


def _wrong_shape(b: Batch) -> BoolArray:
    s = b.decided("response").situation
    above = s.total_points - double_needs(s.agreement, s.level, s.overcall)
    short = ~PROMISED_LENGTH.met(s) & DOUBLE_RULE.almost(s, PROMISED_LENGTH, 1)
    return _made("call", "pass")(b) & short & (above <= _MANY) & ~_support(s)


def _doubles_again(b: Batch) -> BoolArray:
    """Find doubles by an opener with one or two cards in their suit and no six-card suit to rebid."""
    hands = b.hands("opener")
    short = hands.length_in(b["overcalled_suit"])
    own = hands.length_in(b["opening"])
    return (b["reopening"] == DOUBLE_AGAIN) & (short >= 1) & (short <= 2) & (own <= 5)


def _reopens(b: Batch) -> BoolArray:
    """Find such doubles with three cards in each unbid suit and, on two in theirs, extra strength."""
    s = b.decided("reopening").situation
    strong = (s.hands.hcp >= _TWO_OF_THEIRS) | (s.in_overcalled <= 1)
    return _doubles_again(b) & (IN_EACH_UNBID(s) >= 3) & strong


def _waits(b: Batch) -> BoolArray:
    """Find trap passes on good trumps and without another sound call, where opener's double stands."""
    suits = suits_of(b, 2)[b["overcalled_suit"], np.arange(len(b))]
    honours = np.bitwise_count(suits.astype(np.uint16) & np.uint16(ACE | KING | QUEEN | JACK | TEN))
    s = responder(b)
    other = s.hands.length_in(s.hands.longest_but(s.overcall))
    other = np.where(OPENED.cards(s) >= 4, np.int8(SUIT_CARDS), other)
    clear = (honours >= 3) & (s.hands.hcp <= _WAIT) & ~PROMISED_LENGTH.met(s) & (other <= 4)
    # The advancer does not take the double out.
    stays = b.at("passed")["reopening"][b.rows] == DOUBLE_AGAIN
    return _made("call", "penalty_pass")(b) & _doubles_again(b) & stays & clear


def _raised(b: Batch) -> BoolArray:
    """Find the opener's raises, of a minor only up to level 3 and without a six-card major."""
    own_major = (b["opening"] >= MAJORS[0]) & (b.hands("opener").length_in(b["opening"]) >= 6)
    high_minor = (b["answer_bid"] % np.int8(5) < MAJORS[0]) & (
        b["answer_bid"] > Bid(4, CLUBS).code - 1
    )
    s = b.decided("answer").situation
    two_fits = (s.promised & (s.hands.lengths >= 4)).sum(axis=0) > 1
    clear = ~own_major & ~high_minor & ~two_fits & _short(b)
    return _made("answer", "raise_minimum", "raise_jump", "raise_game")(b) & clear


def _short(b: Batch) -> BoolArray:
    """Return whether opener has fewer than four cards in their suit, with which it might defend instead."""
    return np.asarray(b.hands("opener").length_in(b["overcalled_suit"]) <= 3)


def _other_answer(b: Batch) -> BoolArray:
    return _made("answer", "notrump", "own_suit", "second_suit")(b) & _short(b)


def _over_a_raise(b: Batch) -> BoolArray:
    """Find the opener's bids on shortness, or passes on a hopeless hand, over the fourth hand's raise."""
    opener = b.hands("opener")
    theirs, own = opener.length_in(b["overcalled_suit"]), opener.length_in(b["opening"])
    fit = A_PROMISED_SUIT.cards(b.decided("answer").situation) >= 4
    second = np.sort(opener.lengths, axis=0)[-2]
    plain = (own <= 5) & (second <= 4) & (opener.hcp <= _TWO_OF_THEIRS)
    passes = _made("answer", "pass")(b) & ~fit & plain & (theirs >= 1) & (theirs <= 3)
    return _made("advancer", "raise", "preemptive_raise")(b) & (_raised(b) & (theirs <= 2) | passes)


CONDITIONS = (
    "for a double, responder has no void, and no six-card suit beside one of five",
    "for a bid of a suit, responder does not hold both suits that a double would show",
    "for a pass that is nearly a double, responder has at most two cards in a major opened",
    f"for a new suit at level 2 or higher, responder has two of its top five cards, {_NEW_SUIT} HCP and at "
    "most three cards in the overcaller's suit, and bids no minor on a balanced hand with a stopper",
    f"for a raise, responder has at most {_RAISE} HCP; for a raise of a major at most four trumps and no "
    "singleton, of a minor at most five trumps and no void",
    f"for a trap pass, responder has three of the top five cards of the suit, at most {_WAIT} HCP, no "
    "other suit of five, at most three cards in the suit opened and not the shape for a double",
    "to reopen with a double, opener has one or two cards in their suit and no six-card suit; if that call "
    f"is the question, opener also has three cards in each unbid suit and, with two cards in theirs, "
    f"{_TWO_OF_THEIRS} HCP",
    "for a raise, opener has no six-card major, four cards in only one of the suits that the double shows, "
    "and at most three cards in their suit; a minor is raised to level 3 at most",
    "over the fourth hand's raise, opener bids with at most two cards in their suit, or passes with "
    f"at most {_TWO_OF_THEIRS} HCP, no second suit of five and no four cards in a suit that the double shows",
)
"""What a deal must meet, besides the clauses of the filter, to be of its kind."""

KINDS = {
    "one_suit": Kind("doubled", RESPONDER, _doubled_for(*_IN_ONE_SUIT)),
    "both_suits": Kind("doubled", RESPONDER, _doubled_for("both_suits")),
    "five_cards": Kind("doubled", RESPONDER, _doubled_for("five_or_more")),
    "strong": Kind("doubled", RESPONDER, _doubled_for(*COLUMNS["reason"].names, strong=True)),
    "major_at_one": Kind("overcalled", RESPONDER, _major_at_one, near=True),
    "new_suit": Kind("overcalled", RESPONDER, _new_suit, near=True),
    "notrump": Kind("overcalled", RESPONDER, _made("call", "notrump"), near=True),
    "raise": Kind("overcalled", RESPONDER, _raise, near=True),
    "too_weak": Kind("overcalled", RESPONDER, _too_weak, near=True),
    "wrong_shape": Kind("overcalled", RESPONDER, _wrong_shape, near=True),
    "waits": Kind("passed_round", RESPONDER, _waits, near=True),
    "raises": Kind("quiet", OPENER, _raised),
    "other_answer": Kind("quiet", OPENER, _other_answer, near=True),
    "leaves_in": Kind("quiet", OPENER, _made("answer", "penalty_pass"), near=True),
    "over_a_raise": Kind("contested", OPENER, _over_a_raise),
    "reopens": Kind("passed_round", REOPENING, _reopens),
    "lets_play": Kind("passed_round", REOPENING, _made("reopening", "pass")),
}


@column(DEALS, "kinds")
def _(b: Batch) -> NDArray[np.int32]:
    """Return the kinds of each deal as bits."""
    marks = np.zeros(len(b), dtype=np.int32)
    for bit, kind in enumerate(KINDS.values()):
        part = b.at(kind.stage)
        marks[part["deal"]] |= kind.of(part).astype(np.int32) << bit
    return marks
