"""Why a call and no other, in words that fit the auction: what a rule asks here, and what is held.

A rule is written for every auction; here its suits have names and what the auction alone settles is
left out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from analysis.agreements.setting_kinds import Range
from analysis.asking.question import Question
from analysis.bidding.rules import UNREACHABLE, Condition, Rule

_UNCOUNTED = 2
"""What a missing stopper or good suit counts for, in cards and points."""


def because(question: Question) -> str:
    """What the rule of the call asks here and what the hand holds; or what came nearest to a call."""
    situation = question.situation
    rules = question.rules.rules
    chosen = int(question.rules.decide(situation).rule[0])
    met = [way for way in rules[chosen].ways if all(c.met(situation).all() for c in way)]
    if met and (asked := _asks(question, met[0])):
        return f"The rule “{rules[chosen].wording}” asks for {asked}."
    tried = [rule for rule in rules[:chosen] if _open_ways(question, rule)]
    if not tried:
        return "No other call is there to be made."
    nearest = min(tried, key=lambda rule: _missed(question, rule)[0])
    return f"No other call fits. The nearest, “{nearest.wording}”, {_lacks(question, nearest)}."


def rules_above(question: Question) -> list[tuple[str, str]]:
    """The rules before the one that decides: how each is worded, and what it asks for besides."""
    chosen = int(question.rules.decide(question.situation).rule[0])
    return [(rule.wording, _lacks(question, rule)) for rule in question.rules.rules[:chosen]]


def _open_ways(question: Question, rule: Rule[Any]) -> list[list[Condition[Any]]]:
    """The ways of a rule that some hand could meet in this auction."""
    every = question.every_situation
    return [list(way) for way in rule.ways if all(c.met(every).any() for c in way)]


def _missed(question: Question, rule: Rule[Any]) -> tuple[int, list[Condition[Any]]]:
    """What the hand misses of a rule's nearest way: cards and points in all, and the conditions."""
    situation = question.situation
    ways = [[c for c in way if not c.met(situation).all()] for way in _open_ways(question, rule)]
    return min(
        ((sum(_short_of(question, c) for c in way), way) for way in ways), key=lambda way: way[0]
    )


def _short_of(question: Question, condition: Condition[Any]) -> int:
    """By how many cards or points a hand misses a condition; one that is not counted is two."""
    if condition.kind == "true":
        return _UNCOUNTED
    have = int(np.asarray(condition.have(question.situation)).item())
    need = condition.need(question.situation)
    if isinstance(need, Range):
        return max(need.low - have, have - need.high)
    return abs(int(np.asarray(need).item()) - have)


def _lacks(question: Question, rule: Rule[Any]) -> str:
    """What a rule that does not hold asks for, in positive words."""
    if not _open_ways(question, rule):
        every = question.every_situation
        barred = next(c for c in rule.ways[0] if not c.met(every).any())
        return barred.barred()
    return f"asks for {_asks(question, _missed(question, rule)[1])}"


def _asks(question: Question, conditions: Sequence[Condition[Any]]) -> str:
    """What the conditions ask of the hand and what it holds; empty if the auction settles them all."""
    situation, every = question.situation, question.every_situation
    relevant = [c for c in conditions if not c.met(every).all()]
    counted = [c for c in relevant if c.kind != "true"]
    exact = _exactly(question, counted)
    counted = [c for c in counted if c not in exact.values()]
    asked = [("exactly " if c in exact else "") + _need(question, c) for c in counted]
    asked += [c.what_here(question.situation) for c in relevant if c.kind == "true"]
    if not asked:
        return ""
    held = [str(np.asarray(c.have(situation)).item()) for c in counted]
    return _and(asked) + (f"; you hold {_and(held)}" if held else "")


def _exactly(
    question: Question, conditions: Sequence[Condition[Any]]
) -> dict[Condition[Any], Condition[Any]]:
    """Conditions that ask for a number of cards, each with the one that allows no more of them."""
    at_most = {_amount(question, c): c for c in conditions if c.kind == "most"}
    least = {c: _amount(question, c) for c in conditions if c.kind == "least"}
    return {c: at_most[amount] for c, amount in least.items() if amount in at_most}


def _need(question: Question, condition: Condition[Any]) -> str:
    if condition.kind == "within":
        return f"{condition.need(question.situation)} {condition.what_here(question.situation)}"
    number, what = _amount(question, condition)
    if number >= UNREACHABLE:
        return f"more {what} than there are"
    return f"{'at most ' if condition.kind == 'most' else ''}{number} {what}"


def _amount(question: Question, condition: Condition[Any]) -> tuple[int, str]:
    """The number that a condition compares with, and of what."""
    need = int(np.asarray(condition.need(question.situation)).item())
    return need, condition.what_here(question.situation)


def _and(parts: list[str]) -> str:
    *before, last = parts
    return f"{', '.join(before)} and {last}" if before else last
