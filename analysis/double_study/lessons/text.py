"""The question at a board and the answer in a player's sentence, for every form of a lesson.

Every figure of a sentence is one that the rules require under the agreement, or that the hand holds.
A call that has no sentence of its own here is explained by the sentence of its rule.
"""

from __future__ import annotations

import shlex
from collections.abc import Callable

import numpy as np

from double_study.agreements.reader import REFERENCE
from double_study.cards.bids import DOUBLE, HEARTS, MAJORS, PASS, SPADES, SUIT_NAMES, Bid, Call
from double_study.cards.hands import Hands
from double_study.lessons.board import COMPASS, Course
from double_study.lessons.case import OPENER, REOPENING, RESPONDER
from double_study.lessons.lesson import BOTH, NATURAL, Lesson, LessonBoard
from double_study.lessons.teachable import CLAUSES
from double_study.rules.answer import GAME_RAISE, JUMP_NEEDS, raised
from double_study.rules.explain import asked_for
from double_study.rules.response import DOUBLE_NEEDS, PROMISED_LENGTH, RESPONSE
from double_study.rules.terms import A_PROMISED_SUIT, UNREACHABLE, Overcalled
from double_study.words import listed, number

TITLE = "Practice boards: the negative double"

ALERTING = (
    "Whether and how the double, or any other call here, must be announced or alerted is for the "
    "organiser's regulations."
)

NOT_PLAYED = (
    "Under this agreement the negative double is not played, so there is nothing to practise."
)

_VULNERABLE = {
    "None": "neither side vulnerable",
    "NS": "North–South vulnerable",
    "EW": "East–West vulnerable",
    "All": "both sides vulnerable",
}


def heading(item: LessonBoard) -> str:
    """Number of the board, as a title."""
    return f"Board {item.board.number}"


def conditions(item: LessonBoard) -> str:
    """Dealer and vulnerability."""
    board = item.board
    return f"Dealer {COMPASS[board.dealer]}, {_VULNERABLE[board.vulnerability]}"


def question(item: LessonBoard) -> str:
    """What is asked."""
    return f"You are {COMPASS[item.asked_at]}. What do you call?"


def answer(item: LessonBoard) -> str:
    """The answer: the call, the reason for it, and what follows a double."""
    return " ".join(filter(None, [f"{called(item)}.", reason(item), follows(item)]))


def called(item: LessonBoard) -> str:
    """The call that was asked for, as a player says it."""
    call = item.call
    if call is None:
        return "No raise"
    return call.symbol if isinstance(call, Bid) else call.symbol.capitalize()


def reason(item: LessonBoard) -> str:
    """Why that is the call, in a sentence or two."""
    course = item.board.course
    if item.asked == RESPONDER:
        said = _RESPONSES.get(course.response.rule)
    elif item.asked == REOPENING:
        said = _REOPENINGS.get(item.made.rule)
    elif course.doubled:
        said = _ANSWERS.get(item.made.rule)
    else:
        said = _raises_spades
    text = said(course) if said else item.made.sentence
    return f"{text[0].upper()}{text[1:]}."


# --- words for hands ---


def _cards(hands: Hands, suit: int) -> str:
    """A suit of a single hand, such as ``four hearts``."""
    held = int(hands.length_in(suit).item())
    return f"{number(held)} {_suit(suit, held)}"


def _suit(suit: int, cards: int = 2) -> str:
    return SUIT_NAMES[suit].removesuffix("s") if cards == 1 else SUIT_NAMES[suit]


def _points(s: Overcalled) -> str:
    """Responder's points, with what length adds to them."""
    hcp, total = int(s.hands.hcp.item()), int(s.total_points.item())
    return f"{hcp} HCP" if hcp == total else f"{total} points counting length"


def _support(hands: Hands) -> str:
    """Support points, with what shortness adds to them."""
    hcp, support = int(hands.hcp.item()), int(hands.support_points.item())
    return f"{hcp} HCP" if hcp == support else f"{support} points counting shortness"


_NEW_MAJOR = next(rule for rule in RESPONSE.rules if rule.name == "new_major")


def _bid(course: Course, asked: str) -> Bid:
    return Bid.from_code(course.turn(asked).bid.item())


def _theirs(s: Overcalled) -> int:
    return int(np.asarray(s.overcall).item())


def _promised(s: Overcalled) -> list[int]:
    """The promised suits, the higher-ranking first."""
    return np.flatnonzero(s.promised[:, 0])[::-1].tolist()


# --- the responder ---


def _says_double(course: Course) -> str:
    s, because = course.responder, course.reason
    held = listed(_cards(s.hands, suit) for suit in _promised(s) if s.hands.length_in(suit) >= 3)
    has = f"{held} and {_points(s)}" if " and " not in held else f"{held}, and {_points(s)}"
    more = {
        "exactly_four_spades": lambda: f"; with five spades you would bid {Bid(1, SPADES).symbol}",
        "both_suits": lambda: _instead_of_both(s),
    }.get(because, lambda: _instead_of_one(s))()
    strong = int(s.hands.hcp.item()) >= 12
    more += (
        ". With this strength you double first, and bid again later unless partner bids game"
        * strong
    )
    return f"{has}{more}"


def _instead_of_both(s: Overcalled) -> str:
    suits = _promised(s)
    if HEARTS not in suits:
        return "; no major is left to show, so the double shows the minors"
    if np.asarray(s.level).item() == 1:
        fewest = number(s.agreement.response.one_level_cards)
        return (
            f": the double shows both majors at once; with {fewest} cards in only one of them you would "
            "bid that one"
        )
    return ": the double shows both majors at once"


def _instead_of_one(s: Overcalled) -> str:
    """What a longer or stronger hand would bid in the one promised suit, or in the longer of two."""
    suit = int(s.longest_promised.item())
    level = int(np.asarray(s.cheapest(suit)).item())
    bid = Bid(level, suit).symbol
    if level == 1:
        fewest = number(s.agreement.response.one_level_cards)
        return f"; with {fewest} {_suit(suit)} you would bid {bid}"
    needs = asked_for(_NEW_MAJOR, s)
    if UNREACHABLE in needs.values():
        return ""
    cards, points = needs["cards"], needs["points"]
    short, weak = s.hands.length_in(suit).item() < cards, s.total_points.item() < points
    if short and weak:
        return f". With {number(cards)} {_suit(suit)} and {points} points you would bid {bid}"
    if short:
        return f", but {bid} would promise {number(cards)}"
    return f", but {bid} would promise {points}"


def _shows(s: Overcalled) -> str:
    return f"a double would show {s.promise}"


def _says_major_at_one(course: Course) -> str:
    s, call = course.responder, _bid(course, RESPONDER)
    held = f"{_cards(s.hands, call.denomination)} and {_points(s)}"
    if _theirs(s) == HEARTS:
        return f"{held}: {call.symbol} shows five or more, a double exactly four"
    return f"{held}; {_shows(s)}" if course.plays_double else held


def _says_new_suit(course: Course) -> str:
    s, call = course.responder, _bid(course, RESPONDER)
    suit = call.denomination
    held = f"{_cards(s.hands, suit)} and {_points(s)}"
    if not course.plays_double:
        return f"{held}, enough for {call.symbol}"
    if suit in MAJORS and s.one_suit_promised.item():
        points = asked_for(_NEW_MAJOR, s)["points"]
        asked = int(DOUBLE_NEEDS(s).item())
        weaker = f"; with fewer than {points} points you would double" * (asked < points)
        return f"{held}, enough for {call.symbol}{weaker}"
    return f"{held}, enough for {call.symbol}; {_shows(s)}"


def _says_notrump(course: Course) -> str:
    s = course.responder
    held = f"a stopper in {_suit(_theirs(s))} and {int(s.hands.hcp.item())} HCP"
    return f"{held}; {_shows(s)}" if course.plays_double else held


def _says_raise(course: Course) -> str:
    s = course.responder
    opened = int(np.asarray(s.opening).item())
    held = f"{_cards(s.hands, opened)} in support and {_support(s.hands)}"
    if opened in MAJORS:
        return f"{held}: support for partner's major comes first"
    return f"{held}; {_shows(s)}" if course.plays_double else held


def _says_pass(course: Course) -> str:
    s = course.responder
    needs, points = int(DOUBLE_NEEDS(s).item()), _points(s)
    if not course.plays_double or needs == UNREACHABLE:
        return f"{points}, and nothing to bid"
    long_enough = PROMISED_LENGTH.met(s).item()
    enough = s.total_points.item() >= needs
    if long_enough and not enough:
        return (
            f"the right shape for a double, but only {points}, and over {s.overcall_made} a double needs "
            f"{needs}. If partner has a good hand, partner will speak again"
        )
    if enough and not long_enough:
        short = [suit for suit in _promised(s) if s.hands.length_in(suit).item() < 4]
        held = listed(_cards(s.hands, suit) for suit in short)
        return f"enough points ({points}), but only {held}: not the shape for a double, and no bid fits"
    return f"only {points}, and not the shape for a double"


def _says_waits(course: Course) -> str:
    s = course.responder
    theirs = _theirs(s)
    held = f"{_cards(s.hands, theirs)} and {_points(s)}"
    if not course.plays_double:
        return f"{held}: you are happy to defend {s.overcall_made}"
    shows = f"a double would show {s.promise}, so you pass with {held} and wait"
    if course.reopening and course.reopening.call == DOUBLE and course.complete:
        return f"{shows}. Partner is short in {_suit(theirs)} and reopens with a double, and you pass again"
    return shows


_RESPONSES: dict[str, Callable[[Course], str]] = {
    "double": _says_double,
    "one_level_major": _says_major_at_one,
    "new_major": _says_new_suit,
    "new_minor": _says_new_suit,
    "notrump": _says_notrump,
    "raise_major": _says_raise,
    "raise_minor": _says_raise,
    "penalty_pass": _says_waits,
    "pass": _says_pass,
}


# --- the opener ---


def _in_promised(course: Course) -> str:
    suit = A_PROMISED_SUIT.suit(course.turn(OPENER).situation)
    return _cards(course.opener, int(suit.item()))


def _few(course: Course) -> str:
    """Words for a hand of opener's without a fit for the double: ``fewer than four hearts``."""
    suits = [_suit(suit) for suit in _promised(course.responder)]
    return f"fewer than four {' or '.join(suits)}"


def _says_raise_minimum(course: Course) -> str:
    s = course.turn(OPENER).situation
    held, bid = (
        f"{_in_promised(course)} and {_support(course.opener)}",
        int(course.turn(OPENER).bid.item()),
    )
    over = course.before(2)[-1]
    if isinstance(over, Bid):
        cheap = bid // 5 + 1 == 2
        why = "with four of them bid on any hand" if cheap else "enough to bid"
        return f"{held}: {why} over {over.symbol}"
    if bid % 5 in MAJORS and bid // 5 + 1 == 4:
        return f"{held}: over {s.overcall_made} any raise is to game"
    jump = int(np.asarray(raised(1)(s)).item())
    higher = f"; with {int(JUMP_NEEDS(s).item())} you would bid {Bid.from_code(jump).symbol}"
    return f"{held}, a minimum{higher if jump > bid else ''}"


def _says_raise_jump(course: Course) -> str:
    s = course.turn(OPENER).situation
    game, bid = int(np.asarray(GAME_RAISE(s)).item()), int(course.turn(OPENER).bid.item())
    more = s.agreement.answer.raise_game
    higher = f"; with {more} you would bid {Bid.from_code(game).symbol}" * (
        game > bid and bid % 5 in MAJORS
    )
    good = "enough for game" if game == bid else "too good for a minimum raise"
    return f"{_in_promised(course)} and {_support(course.opener)}, {good}{higher}"


def _says_raise_game(course: Course) -> str:
    return f"{_in_promised(course)} and {_support(course.opener)}, enough for game"


def _says_own_suit(course: Course) -> str:
    opened = course.auction.opening
    return f"{_few(course)}, but {_cards(course.opener, opened)} and {int(course.opener.hcp.item())} HCP"


def _says_second_suit(course: Course) -> str:
    suit = _bid(course, OPENER).denomination
    held = f"{_cards(course.opener, suit)} and {int(course.opener.hcp.item())} HCP"
    return f"{_few(course)}, but you have a second suit to show: {held}"


def _says_opener_notrump(course: Course) -> str:
    hcp = int(course.opener.hcp.item())
    return f"{_few(course)}, but a stopper in {_suit(_theirs(course.responder))}, and {hcp} HCP"


def _nothing_else(course: Course) -> str:
    return f"no stopper in {_suit(_theirs(course.responder))} and no second suit to bid"


def _says_three_card_raise(course: Course) -> str:
    suit = _bid(course, OPENER).denomination
    return f"only {_cards(course.opener, suit)}, but {_nothing_else(course)}"


def _says_rebid(course: Course) -> str:
    return f"{_few(course)}, and {_nothing_else(course)}"


def _says_leave_in(course: Course) -> str:
    s = course.responder
    good = f"{_cards(course.opener, _theirs(s))}, and good ones"
    return f"{good}: you defend {s.overcall_made} doubled"


def _says_opener_pass(course: Course) -> str:
    held = int(course.opener.hcp.item())
    suits = [
        suit for suit in _promised(course.responder) if course.opener.length_in(suit).item() >= 4
    ]
    if suits:
        level = int(course.turn(OPENER).situation.cheapest(suits[0]).item())
        weak = f"only {_support(course.opener)}, too little for {Bid(level, suits[0]).symbol}"
        return f"{_cards(course.opener, suits[0])}, but {weak}"
    return f"{_few(course)}, and {held} HCP: you need not bid, since partner still has a turn"


def _says_strong_double(course: Course) -> str:
    return f"{int(course.opener.hcp.item())} HCP and nothing clear to bid: partner chooses"


_ANSWERS: dict[str, Callable[[Course], str]] = {
    "raise_minimum": _says_raise_minimum,
    "raise_jump": _says_raise_jump,
    "raise_game": _says_raise_game,
    "own_suit": _says_own_suit,
    "second_suit": _says_second_suit,
    "notrump": _says_opener_notrump,
    "three_card_raise": _says_three_card_raise,
    "rebid": _says_rebid,
    "penalty_pass": _says_leave_in,
    "pass": _says_opener_pass,
    "strong_double": _says_strong_double,
}


def _raises_spades(course: Course) -> str:
    spades, points = _cards(course.opener, SPADES), _support(course.opener)
    if course.opener.length_in(SPADES).item() < 3:
        return f"only {spades}"
    return f"{spades} and {points}: partner has shown five, so you have a fit"


STRONG_OPENER = 17
"""HCP with which opener's strength is the reason to reopen."""


def _reopens_double(course: Course) -> str:
    theirs = _theirs(course.responder)
    held = _cards(course.opener, theirs)
    if course.opener.length_in(theirs).item() > 2:
        return f"with {int(course.opener.hcp.item())} HCP you are too strong to sell out"
    if (hcp := int(course.opener.hcp.item())) >= STRONG_OPENER:
        return f"with {held} and {hcp} HCP you are too strong to sell out, and partner may want to defend"
    if course.opener.length_in(theirs).item() > 1:
        return f"with {held} do not sell out cheaply: partner may be long there and waiting for this double"
    return f"with {held} you expect partner to be long there and perhaps waiting for this double"


def _reopens_pass(course: Course) -> str:
    theirs, held = _theirs(course.responder), int(course.opener.hcp.item())
    cards = _cards(course.opener, theirs)
    return f"{cards} and {held} HCP: partner can hardly have a trap pass, and you have nothing more to say"


_REOPENINGS: dict[str, Callable[[Course], str]] = {"double": _reopens_double, "pass": _reopens_pass}


# --- what follows ---


def follows(item: LessonBoard) -> str:
    """What happens after the asked call, if the responder doubled and the rules follow it; else empty."""
    course = item.board.course
    if item.asked == REOPENING:
        waits = item.call == DOUBLE and course.response.rule == "penalty_pass" and course.complete
        held = _cards(course.responder.hands, _theirs(course.responder))
        return f"Partner has a trap pass, with {held}, and passes again." if waits else ""
    if not course.doubled:
        return ""
    if item.asked == RESPONDER:
        who, ours = ("the fourth hand", "partner", "the overcaller", "you"), 1
    else:
        who, ours = ("the overcaller", "partner", "the fourth hand", "you"), 1
    calls = list(course.calls[len(item.before) + 1 :])
    while calls and calls[-1] == PASS:
        calls.pop()
    auction = course.auction
    said = []
    for at, call in enumerate(calls):
        if call != PASS or at % 2 == ours:
            theirs = auction.overcall.denomination if at % 2 == ours else auction.opening
            said.append(f"{who[at % 4]} {_does(who[at % 4], call, theirs)}")
    if course.end and course.end.reached:
        said.append(course.end.reached.removeprefix("… and "))
    elif not calls:
        said.append("partner passes")
    elif len(calls) % 4 == 2 and item.asked == RESPONDER:
        said.append("you pass")
    elif len(calls) % 2:
        said.append("everyone passes")
    elif len(calls) % 4 == 0:
        said.append("partner passes")
    text = listed(said)
    return f"{text[0].upper()}{text[1:]}."


def _does(who: str, call: Call, theirs: int) -> str:
    """A call as a verb; a bid of ``theirs``, the other side's first suit, is a cue-bid."""
    if not isinstance(call, Bid):
        return f"{call}{'' if who == 'you' else 'es' if call == PASS else 's'}"
    verb = "cue-bid" if call.denomination == theirs else "bid"
    return f"{verb}{'s' * (who != 'you')} {call.symbol}"


def introduction(lesson: Lesson, shown: Callable[[str], str] = str) -> list[str]:
    """What the boards are and how they were drawn, in paragraphs.

    ``shown`` escapes what is not the study's own.
    """
    asked = {BOTH: "the responder or the opener", REOPENING: "the opener after two passes"}.get(
        lesson.ask, f"the {lesson.ask}"
    )
    cases = "; ".join(case.wording for case in lesson.cases) or "any"
    mix = "as often as they come up" if lesson.mix == NATURAL else "each in turn"
    more = f" On {lesson.near_misses} more another call is right." if lesson.near_misses else ""
    return [
        f"These {lesson.number} negative-double boards show the cases you asked for.{more} The question is "
        f"for {asked}. Cases: {cases}; {mix}. Agreement: {shown(lesson.agreement.name)}.",
        f"They were drawn at random from the first {lesson.deals:,} deals of seed {lesson.seed} that meet "
        f"all these conditions: {'; '.join(CLAUSES)}. The boards only illustrate: no frequency rests "
        "on them.",
        ALERTING,
    ]


def source(item: LessonBoard) -> str:
    """Where the deal comes from, and how to print the board again."""
    return f"{heading(item)}: {item.board.origin}; again: {only_command(item)}"


def only_command(item: LessonBoard) -> str:
    """The command that prints the board again."""
    origin, agreement = item.board.origin, item.board.course.agreement
    words = ["double-study", "boards", "--only", origin.place, "--board", str(item.board.number)]
    words += ["--ask", item.asked, "--seed", str(origin.seed)]
    if agreement.digest != REFERENCE.digest:
        words += ["--agreement", agreement.name]
    return shlex.join(words)
