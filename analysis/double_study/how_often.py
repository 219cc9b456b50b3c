"""Answer any "how often?" that the study's columns can express.

A *field* is a column that a user may ask for by name: an entry of ``columns.toml`` that says which
stages of the auction have it (``at``). To add one, add the entry and declare how the batch computes
it (:func:`double_study.rules.batch.columns`), or name it ``{player}_TERM`` after one of the terms of the
rules (:data:`double_study.rules.terms.TERMS`).
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from math import prod
from typing import Any

import numpy as np
import pandas as pd

from double_study import conditions
from double_study.cards.bids import Bid
from double_study.cards.hands import Hands
from double_study.columns import COLUMNS, PLAYERS, Column
from double_study.conditions import Values, parse
from double_study.counting.tally import Blocks, Count, Counts
from double_study.errors import InputError
from double_study.numbers_in_words import percent
from double_study.rules.auction import after_overcall
from double_study.rules.batch import DEALS, Array, Batch, columns
from double_study.rules.terms import TERMS, Overcalled, Situation, values_of
from double_study.stats import CONFIDENCE, proportion

_IN_ORDER = (
    "seat opening overcall level message call bid reason advancer answer overcaller_again reopening"
).split()


def _place(name: str) -> int:
    """Return the sort key of a field: those of the auction in order, then those of each player."""
    if name in _IN_ORDER:
        return _IN_ORDER.index(name) - len(_IN_ORDER)
    player = name.partition("_")[0]
    return 1 + PLAYERS.index(player) if player in PLAYERS else 0


_ASKED = {column.name: column for column in COLUMNS.values() if column.at}
FIELDS = {name: _ASKED[name] for name in sorted(_ASKED, key=_place)}

BASE = "overcalled"
"""The deals of a question: one side opens one of a suit, and the next hand overcalls in a suit."""

MISSING = -128
"""The value in arrays if the auction did not come that far; any negative number is missing."""

MOST_CELLS = 1_000_000


# --- columns of the auction that only questions need ---

_OVERCALLS = [Bid.parse(name).code for name in COLUMNS["overcall"].names]
_SIDE_OF = {"opener": 0, "responder": 0, "overcaller": 1, "advancer": 1}
_SIDE = np.array([_SIDE_OF.get(name, MISSING) for name in COLUMNS["declarer"].names], dtype=np.int8)

columns(
    "overcalled",
    overcall=lambda b: np.searchsorted(_OVERCALLS, b["overcall_bid"]).astype(np.int8),
    message=lambda b: b.decided("response").situation.message,
)
columns("doubled", contract=lambda b: b["last_bid"], side=lambda b: _SIDE.take(b["declarer"]))


def _term(b: Batch, player: str, term: str) -> Array:
    """Return a term of the rules for a player's hand, whether or not that player is to call."""
    hands: Hands = b.hands(player)
    if b.stage == BASE:
        return values_of(term, Overcalled(hands, *after_overcall(b))).array.astype(np.int8)
    return values_of(term, Situation(hands, b.agreement)).array.astype(np.int8)


for _field_name, _field in FIELDS.items():
    _player, _under, _term_name = _field_name.partition("_")
    if _player in PLAYERS and _term_name in TERMS:
        # At both stages, so that counts of overcalls do not compute hands without an overcall.
        for _at in {*_field.at, BASE}:
            columns(_at, **{_field_name: partial(_term, player=_player, term=_term_name)})


# --- reading columns ---


@dataclass(frozen=True)
class Field:
    """A field in the deals of a stage, all deals or :data:`BASE`; also an axis of a count of those deals.

    Its arrays have one entry per deal: codes of categories, numbers, or 0 and 1 for no and yes; int8,
    and negative if the auction did not come that far. Along an axis the last position stands for that.
    """

    column: Column
    stage: str

    @property
    def _reached(self) -> bool:
        return self.stage == BASE and not {"opened", BASE}.isdisjoint(self.column.at)

    @property
    def gaps(self) -> bool:
        """Whether some of the deals may lack the field."""
        return self.column.optional or not self._reached

    @property
    def size(self) -> int:
        return (2 if self.column.type == "boolean" else self.column.size) + self.gaps

    def codes(self, b: Batch) -> Array:
        """Return the field of the stage's deals, or of a subset of them."""
        if self._reached:
            return b[self.column.key]
        whole = np.full(len(b.root), MISSING, dtype=np.int8)
        for stage in self.column.at:
            part = b.at(stage)
            whole[part["deal"]] = part[self.column.key]
        return whole.take(b["deal"])

    def values(self, codes: Array) -> Values:
        """Return the field as an expression reads it."""
        names, missing = tuple(self.column.wordings) or None, codes < 0 if self.gaps else None
        return Values(codes, names, self.column.type == "boolean", missing)

    def series(self, codes: Array) -> pd.Series[Any]:
        """Return the field as a user sees it."""
        missing = codes < 0
        if self.column.wordings:
            known = np.where(missing, np.int8(-1), codes)
            return pd.Series(pd.Categorical.from_codes(known.tolist(), dtype=self.column.dtype))
        flag = self.column.type == "boolean"
        plain = pd.Series(np.where(missing, 0, codes).astype(np.bool_ if flag else np.int8))
        return plain.astype("boolean" if flag else "Int8").mask(missing) if self.gaps else plain

    def positions(self, codes: Array) -> Array:
        return np.where(codes < 0, -1, self.column.positions(codes)) % self.size

    def at(self, positions: Array) -> pd.Series[Any]:
        """Return the values at some positions along the axis."""
        first = self.column.names[0] if self.column.whole else 0
        return self.series(np.append(first + np.arange(self.size - self.gaps), MISSING)[positions])


def reader(b: Batch, stage: str) -> conditions.Read:
    """Return a function that reads the fields of a batch at ``stage`` for an expression."""

    def read(name: str) -> Values:
        field = Field(FIELDS[name], stage)
        return field.values(field.codes(b))

    return read


def checked(text: str | None, argument: str) -> str | None:
    """Check a condition over the fields and return it, or None; raise :class:`InputError` if it is bad."""
    if text is None:
        return None
    expression = parse(text, argument)
    conditions.check_names(expression, FIELDS)
    nothing = np.empty(0, dtype=np.int8)
    expression.mask(lambda name: Field(FIELDS[name], BASE).values(nothing))
    return text


def checked_by(by: str | Sequence[str] | None, argument: str = "by") -> tuple[str, ...]:
    """Check the columns to count by and return their names; raise :class:`InputError` for unknown ones."""
    names = (by,) if isinstance(by, str) else tuple(by or ())
    for name in names:
        conditions.check_known(argument, name, FIELDS, "column")
        if names.count(name) > 1:
            raise InputError(f"{argument}: {name} is given twice; allowed: each column once")
    return names


# --- counting ---


@dataclass(frozen=True)
class FieldCount(Count):
    """A count by some fields of the deals that meet a condition.

    The first axis has the deals that do not meet ``hits``, and those that do; without ``hits`` it has
    one position.
    """

    where: str | None = None
    hits: str | None = None

    @property
    def fields(self) -> list[Field]:
        return [Field(FIELDS[str(name)], self.on) for name in self.by]

    @property
    def shape(self) -> tuple[int, ...]:
        return (2 if self.hits else 1, *(field.size for field in self.fields))

    def count(self, deals: Batch, blocks: Blocks) -> Counts:
        part = chosen(deals.at(self.on), self.where, self.on)
        cell = self.cells(part)
        if self.hits:
            met = parse(self.hits).mask(reader(part, self.on))
            cell = cell + met * np.int32(prod(self.shape[1:]))
        return np.bincount(cell, minlength=prod(self.shape)).reshape(self.shape)

    def cells(self, part: Batch) -> Array:
        """Return the position of each deal among the cells, all axes but the first; int32."""
        cell = np.zeros(len(part), dtype=np.int32)
        for field in self.fields:
            cell = cell * np.int32(field.size) + field.positions(field.codes(part))
        return cell

    def frame(self, seen: Array) -> pd.DataFrame:
        """Return the names of some cells, one row per position ``seen`` among them."""
        along = np.unravel_index(seen, self.shape[1:]) if self.by else ()
        found = {f.column.name: f.at(at) for f, at in zip(self.fields, along, strict=True)}
        return pd.DataFrame(found, index=range(len(seen)))


def chosen(part: Batch, condition: str | None, stage: str) -> Batch:
    """Return the subset of a batch that meets a condition; all of it without one."""
    return part.where(parse(condition).mask(reader(part, stage))) if condition else part


def field_count(
    by: Iterable[str], condition: str | None, hits: str | None = None, every: bool = False
) -> FieldCount:
    """Return the count of some fields; raise :class:`InputError` if it has too many cells."""
    on = DEALS if every else BASE
    name = f"{hits or 'deals'}, given {condition or on}, by {', '.join(by) or 'nothing'}"
    asked = FieldCount(name, on, tuple(by), condition, hits)
    if prod(asked.shape) > MOST_CELLS:
        raise InputError(
            f"by: these columns make {prod(asked.shape):,} cells; allowed: at most {MOST_CELLS:,}"
        )
    return asked


# --- in words ---


def counted_share(met: int, of: int) -> str:
    return percent(*proportion(met, of))


def answer(asked: FieldCount, counts: Counts, deals: int) -> str:
    """Return the answer over all rows as a sentence."""
    met, of = int(counts[1].sum()), int(counts.sum())
    of_what = f"the {of:,} deals with an overcall"
    if asked.where:
        of_what += f" on which {asked.where}"
    if not of:
        return f"None of the {deals:,} deals was one of {of_what[4:]}."
    return (
        f"Of {of_what}, {counted_share(met, of)} meet {asked.hits}. These {met:,} are "
        f"{counted_share(met, deals)} of all {deals:,} deals. In brackets: {CONFIDENCE:.0%} intervals."
    )


def command(
    what: str, given: str | None, by: str | None, deals: int, seed: int, agreement: str
) -> str:
    """Return the command that counts a question, as a shell takes it."""
    words = ["double-study", "how-often", what]
    for name, value in (("given", given), ("by", by)):
        words += [f"--{name}", value] if value else []
    words += ["--deals", str(deals), "--seed", str(seed), "--agreement", agreement]
    return " ".join(map(_quoted, words))


def _quoted(word: str) -> str:
    """Return a word as a shell takes it, in double quotes if that is enough."""
    safe = shlex.quote(word)
    return f'"{word}"' if safe != word and not {*word} & {*'"$`\\!'} else safe
