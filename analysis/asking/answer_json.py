"""An answer about a hand and an auction as JSON for programs; probabilities are from 0 to 1."""

from __future__ import annotations

import json

import pandas as pd

from analysis.asking import odds as on
from analysis.asking.answer import Answer
from analysis.cards.bids import SUIT
from analysis.cards.notation import write_hand
from analysis.statistics.intervals import CONFIDENCE, ESTIMATE, HIGH, LOW

_LIMITS = ("", "_low", "_high")


def as_json(answer: Answer) -> dict[str, object]:
    """The answer for programs."""
    question, reply, chances = answer.question, answer.reply, answer.chances
    lengths, partner = on.lengths(chances), answer.partner

    def by_suit(column: str) -> dict[str, list[float | None]]:
        return {
            str(suit): [None if value != value else float(value) for value in part[column]]
            for suit, part in lengths.groupby(SUIT, sort=False)
        }

    parts: dict[str, object] = {
        "hand": write_hand(chances.cards),
        "auction": str(question.auction) if question else None,
        "agreement": question.agreement.name if question else None,
        "call": str(reply.call) if reply and reply.call else None,
        "rule": reply.rule if reply else None,
        "sentence": reply.sentence if reply else None,
        "rules_above": [
            vars(above) | {"bid": str(above.bid or "")} for above in (reply.above if reply else ())
        ],
        f"{partner}_length": by_suit(ESTIMATE),
        f"{partner}_length_low": by_suit(LOW),
        f"{partner}_length_high": by_suit(HIGH),
        f"{partner}_length_ignoring_bidding": by_suit(on.PLAIN),
        f"{partner}_hcp": _records(on.points(chances)),
        "fits": _records(on.fits(chances)),
        "games": _records(on.games(chances)),
        "seed": None if chances.kept is None else on.SEED,
        "confidence": None if chances.kept is None else CONFIDENCE,
        "kept": chances.kept,
        "dealt": chances.dealt,
    }
    often, follows = answer.often, answer.follows
    return (
        parts
        | _limits("auction_chance", chances.chance if question else None)
        | _limits("penalty_pass_chance", answer.waits)
        | _limits("share_of_deals", (often.share, often.low, often.high) if often else None)
        | {
            "next": {
                "deals": follows.deals,
                "advancer": _records(follows.advancer),
                "opener": _records(follows.opener),
                "contracts": _records(follows.contracts),
            }
            if follows
            else None
        }
    )


def _limits(name: str, values: tuple[float, float, float] | None) -> dict[str, object]:
    return {f"{name}{end}": values and values[at] for at, end in enumerate(_LIMITS)}


def _records(table: pd.DataFrame) -> list[dict[str, object]]:
    # Through pandas' own JSON, which turns NumPy numbers into plain ones and NaN into null.
    return json.loads(table.to_json(orient="records", double_precision=15))
