"""An answer about a hand and an auction: computed part by part, as text and as JSON.

Probabilities in JSON are from 0 to 1.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from textwrap import wrap

import pandas as pd

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.asking import odds as on
from double_study.asking.question import Question
from double_study.asking.question import reply as replied
from double_study.cards.bids import NOTRUMP, SUIT_NAMES, SUIT_SYMBOLS, SUITS, Bid, call_symbol
from double_study.cards.notation import hand_symbols, read_hand, write_hand
from double_study.columns import COLUMNS
from double_study.numbers_in_words import aligned
from double_study.rules.explain import WIDTH, Reply
from double_study.stats import CONFIDENCE


@dataclass(frozen=True)
class Answer:
    """The answer to a question; without an auction it has only the odds."""

    cards: int
    question: Question | None

    @classmethod
    def to(cls, hand: str, auction: str | None, agreement: Agreement = REFERENCE) -> Answer:
        """Answer a question as typed: a hand and an auction.

        Raises :class:`~double_study.errors.InputError`.
        """
        if auction is None:
            return cls(read_hand(hand), None)
        question = Question.read(hand, auction, agreement)
        return cls(question.cards, question)

    @cached_property
    def reply(self) -> Reply | None:
        return replied(self.question) if self.question else None

    @cached_property
    def chances(self) -> on.Odds:
        """The odds on partner's hand; raises :class:`~double_study.errors.InputError` if no deal fits."""
        return on.odds(self.question) if self.question else on.odds_before_bidding(self.cards)

    @property
    def partner(self) -> str:
        """Partner's part in the auction: opener, if the responder asks."""
        turns = {"opener": "responder", "fourth hand": "overcaller"}
        return turns.get(self.question.auction.asked, "opener") if self.question else "opener"

    @cached_property
    def follows(self) -> dict[str, pd.DataFrame] | None:
        """The calls that follow the responder's double, with their chances."""
        if self.question and self.reply:
            return on.what_next(self.question, self.reply, self.chances)
        return None

    @cached_property
    def waits(self) -> tuple[float, float, float] | None:
        """The chance that partner waits with a penalty pass; None except in the pass-out seat."""
        return on.waiting(self.question, self.chances) if self.question else None

    @cached_property
    def often(self) -> on.HowOften | None:
        """How often the auction and the call come up."""
        if self.question and self.reply:
            return on.how_often(self.question, self.reply)
        return None


RARE = 0.0005
"""Lengths rarer than this, by both figures, are not printed: they would read 0.0%."""

GIVEN_HEAD, PLAIN_HEAD = "given", "plain"
_BESIDE = 2
"""Suits side by side: four with their intervals would be wider than a page."""


def odds_tables(chances: on.Odds) -> Iterator[list[str]]:
    suits = list(reversed(SUITS))
    step = len(suits) if chances.kept is None else _BESIDE
    for at in range(0, len(suits), step):
        yield aligned(_lengths(chances, suits[at : at + step]))
    ranges, fits, games = (table(chances) for table in (on.point_ranges, on.fits, on.games))
    rows = [table.to_dict("records") for table in (ranges, fits, games)]
    points = [f"{row['lowest_hcp']}–{row['highest_hcp']} HCP" for row in rows[0]]
    suit = [row["suit"] + " (promised by a double)" * row["promised"] for row in rows[1]]
    game = [
        f"{COLUMNS['game'].wording(row['game'])}: {row['combined_hcp']}+ HCP together"
        + " and a fit" * (COLUMNS["game"].code(row["game"]) != NOTRUMP)
        for row in rows[2]
    ]
    for head, labels, table in (
        ("points", points, ranges),
        ("a fit of eight or more", suit, fits),
        ("values for game", game, games),
    ):
        yield aligned(zip([head, *labels], *_chances(chances, table), strict=True))


def _lengths(chances: on.Odds, suits: Sequence[int]) -> Iterator[tuple[str, ...]]:
    """Yield a row per length and two columns per suit, without lengths that are rare in every suit."""
    table = on.lengths(chances)
    columns, shown = [["cards", *map(str, range(14))]], {0}
    for suit in suits:
        part = table[table["suit"] == SUIT_NAMES[suit]]
        common = (part["estimate"] >= RARE) | (part["ignoring_bidding"] >= RARE)
        shown |= {*(part.loc[common, "cards"] + 1)}
        columns += _chances(chances, part, f"{SUIT_SYMBOLS[suit]} ")
    return (row for at, row in enumerate(zip(*columns, strict=True)) if at in shown)


def _chances(chances: on.Odds, table: pd.DataFrame, what: str = "") -> Iterator[list[str]]:
    """Yield the chances given the bidding, with intervals unless they are exact, and those without it."""
    if chances.bid_against is not None:
        given = _percent(table["estimate"]) if chances.kept is None else _shares(table)
        yield [f"{what}{GIVEN_HEAD}", *given]
    yield [f"{what}{PLAIN_HEAD}", *_percent(table["ignoring_bidding"])]


def _percent(chances: pd.Series[float]) -> list[str]:
    return [f"{chance:.1%}" for chance in chances]


def _shares(table: pd.DataFrame) -> list[str]:
    return [_sampled(*row) for row in table[["estimate", "low", "high"]].to_numpy()]


def _sampled(chance: float, low: float, high: float) -> str:
    return f"{chance:.1%} ({100 * low:.1f}–{100 * high:.1f})"


def short(answer: Answer) -> list[str]:
    """Return three lines: the call, what the hand has for it, and the chance that matters most."""
    question, reply = answer.question, answer.reply
    title = hand_symbols(answer.cards)
    if question is None or reply is None:
        return [title, *_wrapped(matters(answer))]
    lines = [f"{title} after {question.auction.symbols}: {call_symbol(reply.call)}."]
    return [*lines, *_wrapped(reply.because), *_wrapped(matters(answer))]


def full(answer: Answer) -> list[str]:
    """Return the lines of :func:`short`, then the rules, the odds, what comes next and how often."""
    lines = short(answer)
    if answer.question and answer.reply:
        if answer.reply.call is not None:
            lines += ["", *why(answer.reply)]
        if answer.often:
            lines += ["", *_wrapped(often_text(answer.often))]
    lines += ["", *_wrapped(basis(answer.chances))]
    for table in odds_tables(answer.chances):
        lines += ["", *table]
    if answer.follows:
        deals = answer.follows["advancer"]["deals"].sum()
        lines += ["", *_wrapped(f"What comes next, in {deals:,} deals around this hand:")]
        heads = "the next hand's call", "partner's answer", "the final contract"
        for head, next_ in zip(heads, answer.follows.values(), strict=True):
            rows = zip(next_[on.WHAT], _shares(next_), strict=True)
            lines += ["", *aligned([[head, ""], *rows])]
    return lines


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH)


def matters(answer: Answer, chances: on.Odds | None = None) -> str:
    """Say in a sentence the chance that matters most after the call.

    In the pass-out seat that is the chance that partner waits to defend; otherwise that of the fits
    the call looks for, or of the likeliest fit. ``chances`` replace the answer's own odds, if given.
    """
    if chances is None and answer.waits is not None:
        return f"The chance that partner has a penalty pass: {_chance(*answer.waits)}."
    chances = chances or answer.chances
    table, call = on.fits(chances), answer.reply.call if answer.reply else None
    shown = chances.promised
    if isinstance(call, Bid) and not call.is_notrump:
        shown = (call.denomination,)
    chosen = table[table["suit"].isin([SUIT_NAMES[suit] for suit in shown])]
    if chosen.empty:
        chosen = table.nlargest(1, "estimate")
    fits = " and ".join(
        f"{row['suit']} {_chance(row['estimate'], row['low'], row['high'])}"
        for row in chosen.to_dict("records")
    )
    return f"The chance of eight cards or more together: {fits}."


def _chance(estimate: float, low: float, high: float) -> str:
    if estimate == 1:
        return "for certain" if low == 1 else "on every deal drawn"
    return f"{estimate:.1%}" if low == high else _sampled(estimate, low, high)


def why(reply: Reply) -> list[str]:
    """Return the rule in words, and one line for each rule above it."""
    lines = _wrapped(f"The rule: {reply.sentence}")
    if reply.above:
        lines.append("The rules tried before it, and what they ask for:")
    width = max((len(above.wording) for above in reply.above), default=0)
    for above in reply.above:
        head = f"  {above.wording:{width}}  "
        lines += wrap(above.asks, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    return lines


def often_text(often: on.HowOften) -> str:
    if not often.share:
        return f"This auction with this call came up on none of {often.deals:,} deals."
    once = f"on {100 * often.share:.2g}% of all deals, about one in {1 / often.share:,.0f}"
    if often.counted is None:
        return f"This auction with this call comes up {once}: an exact figure."
    limits = f"{100 * often.low:.2g}–{100 * often.high:.2g}%"
    return (
        f"This auction with this call comes up {once}: {often.counted:,} of {often.deals:,} deals, "
        f"{CONFIDENCE:.0%} interval {limits}."
    )


def basis(chances: on.Odds) -> str:
    """Return sentences that say how the odds were computed."""
    if chances.bid_against is None:
        return "The odds on partner's hand before any bidding (plain) are exact."
    _, low, high = chances.chance
    came = f"This auction comes up on {_share(chances)} of the deals around this hand"
    if chances.kept is None:
        return (
            f"{came}. The odds on partner's hand are exact, both given the bidding and by this hand "
            "alone (plain)."
        )
    reached = (
        "" if chances.kept >= on.ENOUGH else f" (a rare auction: {on.ENOUGH} deals were wanted)"
    )
    return (
        f"{came} ({100 * low:.2f}–{100 * high:.2f}%). The odds on partner's hand given the bidding come "
        f"from {chances.kept} such deals{reached}, with the {CONFIDENCE:.0%} interval in brackets; the "
        "odds by this hand alone (plain) are exact."
    )


def _share(chances: on.Odds) -> str:
    return f"{chances.chance[0]:.2%}" if chances.chance[0] >= RARE else "less than 0.05%"


def as_json(answer: Answer) -> dict[str, object]:
    question, reply, chances = answer.question, answer.reply, answer.chances
    lengths, partner = on.lengths(chances), answer.partner

    def by_suit(column: str) -> dict[str, list[float | None]]:
        return {
            str(suit): [None if value != value else float(value) for value in part[column]]
            for suit, part in lengths.groupby("suit", sort=False)
        }

    parts: dict[str, object] = {
        "hand": write_hand(chances.cards),
        "auction": str(question.auction) if question else None,
        "agreement": question.agreement.name if question else None,
        "call": str(reply.call) if reply and reply.call else None,
        "rule": reply.rule if reply else None,
        "sentence": reply.sentence if reply else None,
        "rules_above": [
            {"rule": a.rule, "wording": a.wording, "bid": str(a.bid or ""), "lacking": a.lacking}
            for a in (reply.above if reply else ())
        ],
        f"{partner}_length": by_suit("estimate"),
        f"{partner}_length_low": by_suit("low"),
        f"{partner}_length_high": by_suit("high"),
        f"{partner}_length_ignoring_bidding": by_suit("ignoring_bidding"),
        f"{partner}_hcp": _records(on.points(chances)),
        "fits": _records(on.fits(chances)),
        "games": _records(on.games(chances)),
        "seed": None if chances.kept is None else on.SEED,
        "confidence": None if chances.kept is None else CONFIDENCE,
        "kept": chances.kept,
        "dealt": chances.dealt,
    }
    often, after = answer.often, dict[str, object]()
    if follows := answer.follows:
        after = {"deals": int(follows["advancer"]["deals"].sum())}
        after |= {name: _records(table) for name, table in follows.items()}
    return (
        parts
        | _limits("auction_chance", chances.chance if question else None)
        | _limits("penalty_pass_chance", answer.waits)
        | _limits("share_of_deals", (often.share, often.low, often.high) if often else None)
        | {"next": after or None}
    )


def _limits(name: str, values: tuple[float, float, float] | None) -> dict[str, object]:
    return {f"{name}{end}": values and values[at] for at, end in enumerate(("", "_low", "_high"))}


def _records(table: pd.DataFrame) -> list[dict[str, object]]:
    # Use pandas' own JSON, which turns NumPy numbers into plain ones and NaN into null.
    return json.loads(table.to_json(orient="records", double_precision=15))
