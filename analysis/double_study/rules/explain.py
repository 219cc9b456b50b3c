"""Put rules into words: an agreement as sentences, and the reason for a hand's call.

The sentences come from the rules, so they always state the settings in force. In one auction a rule's
suits have names, and conditions that the auction alone decides are left out.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap
from typing import Any

import numpy as np

from double_study.agreements.reader import Agreement, differences
from double_study.agreements.settings import Range
from double_study.cards.bids import DOUBLE, NO_BID, PASS, Bid, Call
from double_study.numbers_in_words import listed
from double_study.rules import terms
from double_study.rules.advancer import ADVANCER
from double_study.rules.answer import ANSWER, SPADE_RAISE
from double_study.rules.contested import CONTESTED_ANSWER, CONTESTED_END, OVERCALLER
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION
from double_study.rules.opening import OPENING
from double_study.rules.overcall import OVERCALL
from double_study.rules.reopening import REOPENING
from double_study.rules.response import REASON, RESPONSE, above_ceiling_sentence
from double_study.rules.terms import Comparison, Condition, Fact, Rule, RuleTable, Situation

# fmt: off
RULE_TABLES: tuple[RuleTable[Any], ...] = (
    OPENING, OVERCALL, RESPONSE, REASON, ANSWER, SPADE_RAISE, BIDS_AGAIN, CONTINUATION, ADVANCER,
    CONTESTED_ANSWER, OVERCALLER, CONTESTED_END, REOPENING,
)
# fmt: on
"""Every table of rules, in the order in which an auction meets them."""

_AFTER_A_BID = CONTESTED_ANSWER, OVERCALLER, CONTESTED_END
AFTER_THE_DOUBLE = REASON, ANSWER, BIDS_AGAIN, CONTINUATION, *_AFTER_A_BID
"""The tables that an auction meets only if the responder doubled."""

WIDTH = 98


def glossary(agreement: Agreement) -> list[str]:
    """Return what the words of the rules mean under an agreement, one line for each."""
    lines = (Path(__file__).parent / "glossary.txt").read_text(encoding="utf-8").splitlines()
    return [line.format(**vars(agreement)) for line in lines]


def sentences(agreement: Agreement) -> list[str]:
    """Return the agreement for readers, line by line: the rules in the order in which they apply."""
    lines = [f"The agreement “{agreement.name}”. In each part the first rule that holds decides."]
    if changes := differences(agreement):
        lines += ["", "It differs from the reference in:", *(f"  {change}" for change in changes)]
    lines += ["", "Words"]
    for text in glossary(agreement):
        lines += wrap(text, WIDTH, initial_indent="  ", subsequent_indent="    ")
    for table in RULE_TABLES:
        lines += ["", table.title]
        if table in AFTER_THE_DOUBLE and not agreement.response.double:
            lines.append("  does not apply: the responder's double is not played")
            continue
        if table is RESPONSE:
            lines.append(f"  {above_ceiling_sentence(agreement)}; otherwise:")
        lines += _rules(table, agreement)
    return lines


def _rules(table: RuleTable[Any], agreement: Agreement) -> Iterator[str]:
    rules = table.under(agreement).rules
    width = max(len(rule.name) for rule in rules)
    for number, rule in enumerate(rules, start=1):
        head = f"  {number:2}. {rule.name:{width}}  "
        yield from wrap(
            rule.sentence(agreement),
            WIDTH,
            initial_indent=head,
            subsequent_indent=" " * len(head),
            break_on_hyphens=False,
        )


Way = Sequence[Condition]


def sentence_here(rule: Rule, s: Situation) -> str:
    """Return the part of a rule's sentence that applies to a single hand for which the rule holds."""
    if rule.here is None:
        return rule.sentence(s.agreement)
    if not isinstance(rule.here, str):
        return rule.here(s)
    way = next((way for way in rule.ways if _all_met(way, s)), rule.ways[0])
    return rule.here.format_map(_Fields(rule, way, s))


class _Fields(dict[str, str]):
    """The fields of a ``here``: a way's requirements by key, the bid, and the situation's attributes."""

    def __init__(self, rule: Rule, way: Way, s: Situation) -> None:
        for c in way:
            plus = "+" if c.have.key == "points" else ""
            words = c.have.words(s)
            self[c.have.key] = (
                f"{_need(c, s)}{plus} {words}" if isinstance(c, Comparison) else words
            )
        self["bid"] = terms.bid_text(int(np.ravel(rule.bids(s))[0]))
        self._situation = s

    def __missing__(self, name: str) -> str:
        return str(getattr(self._situation, name))


@dataclass(frozen=True)
class Part:
    """A requirement of a rule in words, with what the hand holds and whether the requirement is met."""

    asked: str
    held: str
    met: bool


@dataclass(frozen=True)
class PassedOver:
    """A rule that does not hold for a hand: its name, and its name as readers see it.

    ``bid`` is the rule's bid in this auction, or None if it has none. ``lacking`` says what the hand
    lacks for the rule, and ``asks`` what the rule requires and what the hand has. ``missed`` counts the
    cards and points that the hand is short of or has too many; it is None if no hand could meet the
    rule. ``parts`` are the requirements of the alternative that the hand comes nearest to.
    """

    rule: str
    wording: str
    bid: Bid | None
    lacking: str
    asks: str
    missed: int | None
    parts: tuple[Part, ...] = ()


@dataclass(frozen=True)
class Reply:
    """A call (``pass``, ``double``, a bid, or none above the ceiling) and the reason for it.

    ``rule`` is the name, in the tables, of the rule that chose the call; ``sentence`` is the rule in
    words; ``because`` says what the rule requires here and what the hand has, or which other call came
    nearest; ``parts`` lists the same requirement by requirement; ``above`` are the rules before it.
    """

    call: Call | None
    rule: str
    sentence: str
    because: str
    above: tuple[PassedOver, ...]
    parts: tuple[Part, ...] = ()


_DOUBLES = ("double", "strong_double")
"""The rules whose call is a double."""


def call_by(rule: str, bid: Bid | None) -> Call:
    """Return the call that a rule makes: its bid or, without one, a double or a pass."""
    return bid or (DOUBLE if rule in _DOUBLES else PASS)


def explain(table: RuleTable[Any], s: Situation, every: Situation) -> Reply:
    """Explain the call of a single hand.

    ``every`` is the same turn with every class of hands: a condition that all or none of them meet is
    settled by the auction.
    """
    decided = table.decide(s)
    table = decided.table
    chosen = table.rules[decided.rule.item()]
    above = tuple(
        _passed_over(rule, table.wordings[rule.name], s, every)
        for rule in table.rules[: decided.rule.item()]
    )
    met = next((way for way in chosen.ways if _all_met(way, s)), ())
    asks = _asks(met, s, every)
    tried = [rule for rule in above if rule.missed is not None]
    if asks:
        because = f"The rule “{table.wordings[chosen.name]}” asks for {asks}."
    elif tried:
        nearest = min(tried, key=lambda rule: rule.missed or 0)
        because = f"No other call fits. The nearest, “{nearest.wording}”, {nearest.asks}."
    else:
        because = "No other call is there to be made."
    call = call_by(chosen.name, _bid(decided.bid.item()))
    sentence, parts = sentence_here(chosen, s), _parts(met, s, every)
    return Reply(call, chosen.name, sentence, because, above, parts)


def _bid(code: int) -> Bid | None:
    return None if code == NO_BID else Bid.from_code(code)


def _passed_over(rule: Rule, wording: str, s: Situation, every: Situation) -> PassedOver:
    barred = [[c for c in way if not c.met(every).any()] for way in rule.ways]
    possible = [way for way, bars in zip(rule.ways, barred, strict=True) if not bars]
    if not possible:
        words = _barred(barred[0][0])
        return PassedOver(rule.name, wording, None, words, words, None)
    fewest = _unmet(possible, s, len)
    missed = _unmet(possible, s, lambda way: sum(_missed_by(c, s) for c in way))
    lacking = "; ".join(_lacking(c, s) for c in fewest)
    bid = _bid(int(np.ravel(rule.bids(s))[0]))
    if bid and _lacks_more(fewest[-1], s):
        lacking += f" for {bid.symbol}"
    asks = f"asks for {_asks(missed, s, every)}"
    way = min(possible, key=lambda way: sum(_missed_by(c, s) for c in way if not c.met(s).all()))
    off_by = sum(_missed_by(c, s) for c in missed)
    return PassedOver(rule.name, wording, bid, lacking, asks, off_by, _parts(way, s, every))


def _parts(way: Way, s: Situation, every: Situation) -> tuple[Part, ...]:
    """Return the parts of a way that the auction does not settle."""
    return tuple(
        Part(
            _asked(c, s),
            str(c.have(s).item()) if isinstance(c, Comparison) else "",
            bool(c.met(s).all()),
        )
        for c in way
        if not c.met(every).all()
    )


def lacking(rule: Rule, s: Situation) -> list[str]:
    """Say what a single hand lacks for the nearest way to meet a rule."""
    return [_lacking(c, s) for c in _unmet(rule.ways, s, len)]


def _all_met(way: Way, s: Situation) -> bool:
    return all(c.met(s).all() for c in way)


def _unmet(ways: Sequence[Way], s: Situation, distance: Callable[[Way], int]) -> Way:
    """Return the unmet conditions of the nearest way to meet a rule; empty if the hand meets one."""
    return min(([c for c in way if not c.met(s).all()] for way in ways), key=distance, default=[])


def _need(c: Comparison, s: Situation) -> Any:
    need = terms.amount(c.need, s)
    return need if isinstance(need, Range) else int(np.asarray(need).item())


def asked_for(rule: Rule, s: Situation) -> dict[str, int]:
    """Return the requirements of a rule's first way for a single hand, by the keys of its numbers."""
    return {
        c.have.key: _need(c, s) for c in rule.ways[0] if isinstance(c, Comparison) and c.have.key
    }


_UNCOUNTED = 2
"""What a missing stopper or good suit counts for, in cards and points."""


def _missed_by(c: Condition, s: Situation) -> int:
    if not isinstance(c, Comparison):
        return _UNCOUNTED
    have, need = c.have(s).item(), _need(c, s)
    if isinstance(need, Range):
        return max(need.low - have, have - need.high)
    return abs(need - have)


def _barred(c: Condition) -> str:
    if isinstance(c, Fact):
        return "not played" if c.of_agreement else f"only {c.have.words()}"
    return "no such call at this level"


def _lacks_more(c: Condition, s: Situation) -> bool:
    """Return whether a hand lacks a number of something, rather than a fact or a lower level."""
    if not isinstance(c, Comparison):
        return False
    return c.kind == "within" or (c.kind == "least" and _need(c, s) < terms.UNREACHABLE)


def _lacking(c: Condition, s: Situation) -> str:
    """Return what a single hand lacks for a condition, such as 'one more total point'."""
    if not isinstance(c, Comparison) or c.kind != "least":
        return _asked(c, s)
    need = _need(c, s)
    if need >= terms.UNREACHABLE:
        return "a lower level"
    return (
        c.have.lacking(s)
        if c.have.lacking
        else terms.more(need - c.have(s).item(), c.have.words(s))
    )


def _asked(c: Condition, s: Situation) -> str:
    words = c.have.words(s)
    if not isinstance(c, Comparison):
        return words
    need = _need(c, s)
    if c.kind != "within" and need >= terms.UNREACHABLE:
        return f"more {words} than there are"
    return f"{'at most ' if c.kind == 'most' else ''}{need} {words}"


def _asks(conditions: Way, s: Situation, every: Situation) -> str:
    """Say what conditions require of a hand and what the hand has; empty if the auction decides all."""
    open_to_hands = [c for c in conditions if not c.met(every).all()]
    counted = [c for c in open_to_hands if isinstance(c, Comparison)]
    # A minimum that is also the maximum is an exact number of cards.
    most = {(_need(c, s), c.have.words(s)): c for c in counted if c.kind == "most"}
    exact = {
        c: most[_need(c, s), c.have.words(s)]
        for c in counted
        if c.kind == "least" and (_need(c, s), c.have.words(s)) in most
    }
    counted = [c for c in counted if c not in exact.values()]
    asked = [("exactly " if c in exact else "") + _asked(c, s) for c in counted]
    asked += [_asked(c, s) for c in open_to_hands if isinstance(c, Fact)]
    held = [
        f"{number} {terms.singular(what) if number == 1 else what}"
        for number, what in ((c.have(s).item(), c.have.words(s)) for c in counted)
    ]
    return listed(asked or [""]) + (f"; you hold {listed(held)}" if held else "")
