"""The answer at a board in a player's sentences, for every form of a lesson and for the quiz.

The sentences are in ``board_answers.toml``. Every figure in them is one that the rules require under the
agreement, or that the hand holds. A call that has no sentence of its own there is explained by the
sentence of its rule.
"""

import tomllib
from functools import cache, partial
from pathlib import Path
from typing import Any

import numpy as np
from jinja2 import DictLoader, Environment, StrictUndefined, TemplatesNotFound

from double_study.cards.bids import (
    DOUBLE,
    HEARTS,
    NO_BID,
    PASS,
    SPADES,
    SUIT_NAMES,
    Bid,
    Call,
    call_symbol,
)
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS
from double_study.lessons.board import Board
from double_study.lessons.case import OPENER, REOPENING, RESPONDER
from double_study.numbers_in_words import listed, number
from double_study.rules import response
from double_study.rules.answer import ANSWER, GAME_RAISE, JUMP_NEEDS, SPADE_RAISE, raised
from double_study.rules.auction import reached
from double_study.rules.contested import CONTESTED_ANSWER, ContestedSituation
from double_study.rules.explain import asked_for, sentence_here
from double_study.rules.reopening import REOPENING as REOPENING_RULES
from double_study.rules.terms import UNREACHABLE, Decided, Overcalled

ALERTING = (
    "Whether and how the double, or any other call here, must be announced or alerted is for the "
    "organiser's regulations."
)

NOT_PLAYED = (
    "Under this agreement the negative double is not played, so there is nothing to practise."
)

_TURNS = {
    response.RESPONSE.title: "response",
    ANSWER.title: "answer",
    CONTESTED_ANSWER.title: "answer",
    REOPENING_RULES.title: "reopening",
    SPADE_RAISE.title: "spade_answer",
}
"""The section of ``board_answers.toml`` for each table of rules."""
_NEW_MAJOR = next(rule for rule in response.RESPONSE.rules if rule.name == "new_major")


@cache
def _sentences() -> Environment:
    """Return the templates of ``board_answers.toml``, named as in ``response.double``."""
    written: dict[str, Any] = tomllib.loads(
        (Path(__file__).parent / "board_answers.toml").read_text("utf-8")
    )
    flat = {
        f"{turn}.{rule}" if rule else turn: text
        for turn, texts in written.items()
        for rule, text in (texts if isinstance(texts, dict) else {"": texts}).items()
    }
    # These are no pages, so nothing is escaped here.
    env = Environment(loader=DictLoader(flat), undefined=StrictUndefined)  # noqa: S701
    env.globals.update(
        HEARTS=HEARTS, SPADES=SPADES, UNREACHABLE=UNREACHABLE, number=number, name=SUIT_NAMES
    )
    return env


def reason(decided: Decided[Any]) -> str:
    """Return why a single hand makes the call that the rules chose, in a sentence or two."""
    rule = decided.table.rules[decided.rule.item()]
    turn = _TURNS.get(decided.table.title, "")
    try:
        template = _sentences().select_template([f"{turn}.{rule.name}", turn])
    except TemplatesNotFound:
        return _sentence(sentence_here(rule, decided.situation))
    return _sentence(template.render(_values(decided)))


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."


def _values(decided: Decided[Any]) -> dict[str, Any]:
    """Return what the templates may say of a single hand and of the auction."""
    s = decided.situation
    hands = s.hands
    hcp = hands.hcp.item()

    def length(suit: int) -> int:
        return hands.length_in(suit).item()

    cards = partial(_cards, hands)
    support = _with(hcp, hands.support_points.item(), "shortness")
    values = {"hcp": hcp, "support": support, "length": length, "cards": cards}
    if not isinstance(s, Overcalled):
        return values
    promised = np.flatnonzero(s.promised[:, 0])[::-1].tolist()
    played, total, suit = s.agreement.response, s.total_points.item(), s.longest_promised.item()
    major = asked_for(_NEW_MAJOR, s)

    def one(array: Any) -> Any:
        return np.asarray(array).item()

    def cheapest(suit: int) -> Bid:
        return Bid(one(s.cheapest(suit)), suit)

    def some(least: int, most: int) -> str:
        held = [cards(suit) for suit in promised if least <= length(suit) <= most]
        return listed(held or [""])

    return values | {
        "opened": one(s.opening),
        "theirs": one(s.overcall),
        "level": one(s.level),
        "over": s.overcall_made,
        "advance": Bid.from_code(one(s.over)) if isinstance(s, ContestedSituation) else None,
        "bid": None if decided.bid[0] == NO_BID else Bid.from_code(decided.bid[0]),
        "cheapest": cheapest,
        # the double
        "played": played.double and s.overcall_bid.item() <= played.double_through.code,
        "needs": response.DOUBLE_NEEDS(s).item(),
        "double_hcp": played.double_hcp,
        "shows": f"a double would show {s.promise}",
        "reason": COLUMNS["reason"].names[response.REASON.decide(s).name[0]],
        "promised": promised,
        "few": f"fewer than four {' or '.join(SUIT_NAMES[suit] for suit in promised)}",
        "some": some,
        "long": [suit for suit in promised if length(suit) >= 4],
        "shaped": response.PROMISED_LENGTH.met(s).item(),
        "total": total,
        "points": _with(hcp, total, "length"),
        # the longest promised suit, and what it takes to bid it
        "suit": suit,
        "suit_bid": cheapest(suit),
        "one_level_cards": number(played.one_level_cards),
        "major_cards": major["cards"],
        "major_points": major["points"],
        # opener's raises
        "jump": Bid.from_code(one(raised(1)(s))),
        "jump_needs": one(JUMP_NEEDS(s)),
        "game": Bid.from_code(one(GAME_RAISE(s))),
        "raise_game": s.agreement.answer.raise_game,
    }


def _cards(hands: Hands, suit: int) -> str:
    """A suit of a single hand, such as ``four hearts``."""
    held, name = hands.length_in(suit).item(), SUIT_NAMES[suit]
    return f"{number(held)} {name.removesuffix('s') if held == 1 else name}"


def _with(hcp: int, points: int, what: str) -> str:
    return f"{hcp} HCP" if hcp == points else f"{points} points counting {what}"


def answer(board: Board) -> str:
    """The answer: the call, the reason for it, and what follows a double."""
    return f"{called(board)}. {why(board)}"


def called(board: Board) -> str:
    """The call that was asked for, as a player says it."""
    if board.call is None:
        return "No raise" if board.asked == OPENER else call_symbol(None).capitalize()
    return spoken(board.call)


def spoken(call: Call) -> str:
    return call.symbol if isinstance(call, Bid) else call.symbol.capitalize()


def why(board: Board) -> str:
    """Why that is the call, and what follows it."""
    decided = board.bidding.turn(board.asked)
    assert decided is not None  # noqa: S101 - or the board would not be
    if board.call is None and board.asked == RESPONDER:
        return _sentence(response.above_ceiling_sentence(board.agreement))
    return " ".join(filter(None, [reason(decided), follows(board)]))


def follows(board: Board) -> str:
    """What happens after the call, if the responder doubled or made a trap pass; else empty."""
    bidding, asked = board.bidding, board.asked
    if (
        bidding.complete
        and bidding.rule(RESPONDER) == "penalty_pass"
        and bidding.call(REOPENING) == DOUBLE
    ):
        theirs = bidding.auction.overcall.denomination
        if asked == RESPONDER:
            return f"Partner is short in {SUIT_NAMES[theirs]} and reopens with a double, and you pass again."
        held = _cards(bidding.batch.at("overcalled").hands("responder"), theirs)
        return f"Partner has a trap pass, with {held}, and passes again."
    if asked == REOPENING or not bidding.doubled:
        return ""
    who = ["the fourth hand", "partner", "the overcaller", "you"]
    if asked == OPENER:
        who[0], who[2] = who[2], who[0]
    calls = list(bidding.calls[len(board.before) + 1 :])
    while calls and calls[-1] == PASS:
        calls.pop()
    # By turns the calls are theirs, whose passes go without saying, and ours.
    suits = bidding.auction.opening, bidding.auction.overcall.denomination
    said = [
        f"{who[at % 4]} {_does(who[at % 4], call, suits[at % 2])}"
        for at, call in enumerate(calls)
        if call != PASS or at % 2
    ]
    ends = "partner passes", "everyone passes", "you pass" * (asked == RESPONDER), "everyone passes"
    settled = reached(bidding.batch).removeprefix("… and ")
    said += filter(None, [settled or ends[len(calls) % 4]])
    return _sentence(f"here {listed(said)}")


def _does(who: str, call: Call, theirs: int) -> str:
    """A call as a verb; a bid of ``theirs``, the other side's first suit, is a cue-bid."""
    if not isinstance(call, Bid):
        return f"{call}{'' if who == 'you' else 'es' if call == PASS else 's'}"
    verb = "cue-bid" if call.denomination == theirs else "bid"
    return f"{verb}{'s' * (who != 'you')} {call.symbol}"
