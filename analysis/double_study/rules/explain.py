"""An agreement in words: its rules as sentences.

The sentences of the rules are the rules' own, so they always state the settings in force.
"""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import TextWrapper, wrap
from typing import Any

from double_study.agreements.reader import Agreement, differences
from double_study.rules.advancer import ADVANCER
from double_study.rules.answer import ANSWER, SPADE_RAISE
from double_study.rules.contested import CONTESTED_ANSWER
from double_study.rules.contested_end import CONTESTED_END, OVERCALLER
from double_study.rules.continuation import CONTINUATION
from double_study.rules.opening import OPENING
from double_study.rules.overcall import OVERCALL
from double_study.rules.reopening import REOPENING
from double_study.rules.response import REASON, RESPONSE, above_ceiling_sentence
from double_study.rules.terms import RuleTable

RULE_TABLES: tuple[RuleTable[Any], ...] = (
    OPENING,
    OVERCALL,
    RESPONSE,
    REASON,
    ANSWER,
    SPADE_RAISE,
    CONTINUATION,
    ADVANCER,
    CONTESTED_ANSWER,
    OVERCALLER,
    CONTESTED_END,
    REOPENING,
)
"""Every table of rules, in the order in which an auction meets them."""

AFTER_THE_DOUBLE = (REASON, ANSWER, CONTINUATION, CONTESTED_ANSWER, OVERCALLER, CONTESTED_END)
"""Those that an auction meets only if the responder doubled."""

WIDTH = 98
"""Characters of a line."""


def words(agreement: Agreement) -> list[str]:
    """The words that the rules use, each in a sentence."""
    return [
        "HCP: ace 4, king 3, queen 2, jack 1",
        "total points: HCP and one for each card beyond four in a suit; the responder's leave out "
        "length in the overcaller's suit",
        "support points: HCP, and 1 for a doubleton, 2 for a singleton, 3 for a void",
        "the advancer: the overcaller's partner",
        "balanced: 4-3-3-3, 4-4-3-2 or 5-3-3-2, any suits",
        f"a good suit: {agreement.hand.good_suit} or more of its ace, king, queen, jack and ten, one "
        "of them the ace, king or queen",
        "a stopper: the ace, the king with one more card, the queen with two, the jack with three",
    ]


def sentences(agreement: Agreement) -> list[str]:
    """The agreement for readers, line by line: the rules in the order in which they apply."""
    lines = [f"The agreement “{agreement.name}”. In each part the first rule that holds decides."]
    if changes := differences(agreement):
        lines += ["", "It differs from the reference in:", *(f"  {change}" for change in changes)]
    lines += ["", "Words"]
    for text in words(agreement):
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
    width = max(len(rule.name) for rule in table.rules)
    for number, rule in enumerate(table.rules, start=1):
        head = f"  {number:2}. {rule.name:{width}}  "
        yield from TextWrapper(WIDTH, initial_indent=head, subsequent_indent=" " * len(head)).wrap(
            rule.sentence(agreement)
        )
