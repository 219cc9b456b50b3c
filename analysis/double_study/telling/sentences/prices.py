"""Sentences on what the double costs under each agreement, beside how often it comes up."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd

from double_study.agreements.reader import Agreement, condition
from double_study.columns import COLUMNS, Row
from double_study.comparing import Comparison, Paired
from double_study.escape import markdown
from double_study.stats import parts_differ
from double_study.tables_compared import penalties_lost
from double_study.telling.sentences import in_words
from double_study.telling.sentences.agreements import NOT_PLAYED
from double_study.telling.sentences.phrases import tied
from double_study.words import listed


def schools_text(comparisons: Sequence[Comparison]) -> str:
    """A line for each other agreement: how the double's frequency and its price differ."""
    lines = [f"- {markdown(condition(c.second.name))}: {_line(c)}." for c in comparisons]
    first = comparisons[0].first
    name = markdown(first.name)
    head = (
        f"On the same deals, for every 100 of each {markdown(condition(first.name))} (“as many” "
        "where the deals do not tell the two apart, “the same” where no deal is changed):"
        if first.response.double
        else f"{NOT_PLAYED.format(name)}. By the others:"
    )
    return "\n".join([head, "", *lines])


def _line(comparison: Comparison) -> str:
    if not comparison.second.response.double:
        return "no doubles, so no penalty is given up for them"
    doubles = _as_many(comparison.doubles, "doubles")
    waited = _as_many(comparison.penalties_wanted, "penalties waited for")
    return f"{doubles}; {waited}, {_as_many(comparison.penalties_lost, 'lost')}"


def _as_many(paired: Paired, what: str) -> str:
    """How often something happens under the second agreement of a pair, for 100 times under the first."""
    if not paired.first_only and not paired.second_only:
        return f"the same {what}"
    if not parts_differ(paired.first_only, paired.second_only):
        return f"as many {what}"
    if not paired.first:
        return f"{what} on {in_words.share(paired.second / paired.deals, 'deal')}"
    times = 100 * paired.second / paired.first
    # A difference that is told apart is shown: within one of 100 by a decimal.
    return f"{times:.{1 if abs(times - 100) < 1 else 0}f} {what}"


def penalties_text(comparisons: Sequence[Comparison]) -> str:
    """What part of the penalties that the responder's hands would double for is lost."""
    rows = [row for row in penalties_lost(comparisons).to_dict("records") if row["of"]]
    if not rows:
        return "No responder held a hand that would double for penalties."
    least, most = (
        f"{_where(row)}, {COLUMNS['estimate'].rounded(row)}{tied(row, rows, _where)}"
        for row in (pick(rows, key=lambda row: row["estimate"]) for pick in (min, max))
    )
    return (
        f"Of the hands that would double for penalties, {COLUMNS['estimate'].rounded(rows[0])} lose the penalty "
        f"{_where(rows[0])}. The share is least {least}. It is greatest {most}."
    )


def _where(row: Row) -> str:
    return markdown(condition(row["agreement"]))


def grid_text(table: pd.DataFrame, agreement: Agreement) -> str:
    """What the length of a penalty pass and the opener's shortness decide."""
    if table.empty:
        return (
            f"*This does not apply: by the agreement “{markdown(agreement.name)}” the responder's double is "
            "not played, and no penalty is given up for it.*"
        )
    own = agreement.response.penalty_cards, agreement.reopening.high_double_cards
    by_length = [
        _length_text(row) for row in table[table["reopens_on"] == own[1]].to_dict("records")
    ]
    of_own = table[table["pass_cards"] == own[0]].to_dict("records")
    shares = [f"{COLUMNS['estimate'].rounded(row)} on {row['reopens_on']}" for row in of_own]
    return (
        f"{' '.join(by_length)} Over an overcall at level 3 or 4 a minimum opener must be short in that "
        "suit to double again. Counted over all levels, the share lost is, by the most cards that it may "
        f"have: {listed(shares)}."
    )


def _length_text(row: Row) -> str:
    return (
        f"Where {in_words.number(row['pass_cards'])} cards in the overcaller's suit are enough for a penalty "
        f"pass, the penalty is lost on {row['estimate'] * 100:.0f} such hands in 100; one partnership "
        f"loses it {in_words.in_evenings(row['per_session'])}."
    )
