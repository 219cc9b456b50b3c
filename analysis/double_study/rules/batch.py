"""A batch of deals with named columns, computed when they are first read.

``batch["call"]`` is an array with one entry per deal of the batch. A *stage* is the subset of deals
whose auctions get that far, such as ``batch.at("doubled")``: it has the columns of earlier stages
for its own deals, and those that its own steps add. Columns are read by name, so no
caller handles positions within a subset.

The steps of the auction are declared by :func:`columns` and :func:`decision`, as functions of the
batch at a stage; stages by :func:`stage`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.hands import Hands, hand_words
from double_study.columns import PLAYERS
from double_study.rules.terms import Decided, RuleTable

DEALS = "deals"
"""The stage of all deals."""

Array = NDArray[Any]
_COLUMNS: dict[tuple[str, str], Callable[[Batch], Array]] = {}
_DECISIONS: dict[tuple[str, str], Callable[[Batch], Decided[Any]]] = {}
_STAGES: dict[str, tuple[str, Callable[[Batch], Array]]] = {}
TABLE_AT: dict[tuple[str, str], RuleTable[Any]] = {}
"""The table of rules that decides, by stage and step of the auction."""


@dataclass(eq=False)
class Batch:
    """Deals under one agreement, or the subset of them that reaches a stage.

    ``cards`` are as :func:`double_study.cards.deal.deal_block` returns them, shape (4 seats, n). A
    subset has a ``parent``, the batch that it is a part of, and its ``rows``, positions there.
    """

    cards: NDArray[np.uint64]
    agreement: Agreement
    stage: str = DEALS
    parent: Batch | None = None
    rows: NDArray[np.intp] = field(default_factory=lambda: np.empty(0, dtype=np.intp))
    _read: dict[str, Array] = field(default_factory=dict)
    _decided: dict[str, Decided[Any]] = field(default_factory=dict)
    _hands: dict[str, Hands] = field(default_factory=dict)
    _stages: dict[str, Batch] = field(default_factory=dict)

    def __len__(self) -> int:
        return self.cards.shape[1] if self.parent is None else len(self.rows)

    def __getitem__(self, name: str) -> Array:
        """Return a column; codes of categories, and whole numbers as they are.

        Raises :class:`KeyError` for a column that no stage up to this one has.
        """
        if name not in self._read:
            if make := _COLUMNS.get((self.stage, name)):
                self._read[name] = make(self)
            elif self.parent is None:
                raise KeyError(f"no column {name!r} at this stage of the auction")
            else:
                self._read[name] = self.parent[name].take(self.rows, axis=-1)
        return self._read[name]

    @property
    def root(self) -> Batch:
        return self if self.parent is None else self.parent.root

    def at(self, stage: str) -> Batch:
        """Return the deals that reach ``stage``, of all deals of the batch's root."""
        root = self.root
        if stage == DEALS:
            return root
        if stage not in root._stages:
            before, reach = _STAGES[stage]
            root._stages[stage] = root.at(before)._subset(reach(root.at(before)), stage)
        return root._stages[stage]

    def release(self) -> None:
        """Drop the stages, once all that is wanted of the batch has been read.

        A stage and its batch refer to each other, so their arrays would otherwise stay in memory
        until Python happens to collect such cycles.
        """
        self._stages.clear()

    def take_over(self, other: Batch, *names: str) -> None:
        """Copy columns from ``other``, a batch of the same deals, instead of computing them again."""
        self._read |= {name: other[name] for name in names}

    def where(self, chosen: Array) -> Batch:
        return self._subset(chosen, "")

    def _subset(self, chosen: Array, stage: str) -> Batch:
        rows = np.flatnonzero(chosen) if chosen.dtype == np.bool_ else chosen
        return Batch(self.cards, self.agreement, stage, self, rows)

    def decided(self, name: str) -> Decided[Any]:
        """Return the decision of a table of rules for each deal at this stage."""
        if name not in self._decided:
            self._decided[name] = _DECISIONS[self.stage, name](self)
        return self._decided[name]

    def hands(self, player: str) -> Hands:
        """Return the hands of one player, at a stage that has an opening of one of a suit."""
        if player not in self._hands:
            if self.parent and player in self.parent._hands:
                self._hands[player] = self.parent._hands[player].rows(self.rows)
            else:
                seat = (self["seat"] + np.int8(PLAYERS.index(player) - 1)) % np.int8(4)
                at, words = seat.astype(np.intp), self.root["words"]
                at *= words.shape[1]
                at += self["deal"]
                self._hands[player] = Hands(words.reshape(-1).take(at))
        return self._hands[player]


def column(stage: str, name: str) -> Callable[[Callable[[Batch], Array]], Callable[[Batch], Array]]:
    """Register the decorated function to compute the column ``name`` at ``stage``."""

    def declare(make: Callable[[Batch], Array]) -> Callable[[Batch], Array]:
        _COLUMNS[stage, name] = make
        return make

    return declare


def columns(stage: str, **make: Callable[[Batch], Array]) -> None:
    """Declare how columns of the deals at ``stage`` are computed, by name."""
    _COLUMNS.update({(stage, name): of for name, of in make.items()})


def decision(
    stage: str, name: str, table: RuleTable[Any], situation: Callable[[Batch], Any]
) -> None:
    """Declare a call by a table of rules, and the columns ``NAME`` and ``NAME_bid`` of it."""
    TABLE_AT[stage, name] = table
    _DECISIONS[stage, name] = lambda batch: table.decide(situation(batch))
    _COLUMNS[stage, name] = lambda batch: batch.decided(name).name
    _COLUMNS[stage, f"{name}_bid"] = lambda batch: batch.decided(name).bid


def stage(before: str, name: str, reach: Callable[[Batch], Array]) -> None:
    """Declare which deals of the stage ``before`` reach the stage ``name``: a mask, or positions."""
    _STAGES[name] = before, reach


columns(
    DEALS,
    words=lambda b: hand_words(b.cards, b.agreement.hand.good_suit),  # shape (4, deals)
    deal=lambda b: np.arange(len(b)),
)
