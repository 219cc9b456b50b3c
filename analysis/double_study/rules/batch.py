"""A batch of deals with named columns, computed when they are first read.

``batch["call"]`` is an array with one entry per deal of the batch. A *stage* is the subset of deals
that an auction reaches, such as ``batch.at("doubled")``: it has the columns of the stages before it
at its own deals, and those that its steps add. Whatever reads a column reads it by name, so no
caller holds positions among positions.

Steps of the auction are functions of the batch at a stage, declared by :func:`column` and
:func:`decision`; stages are declared by :func:`stage`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.hands import Hands, hand_words
from double_study.columns import PLAYERS
from double_study.rules.terms import Decided

DEALS = "deals"
"""The stage of all deals."""

Array = NDArray[Any]
_COLUMNS: dict[tuple[str, str], Callable[[Batch], Array]] = {}
_DECISIONS: dict[tuple[str, str], Callable[[Batch], Decided[Any]]] = {}
_STAGES: dict[str, tuple[str, Callable[[Batch], Array]]] = {}


@dataclass(eq=False)
class Batch:
    """Deals under one agreement, or the subset of them that reaches a stage.

    Parameters
    ----------
    cards
        Deals, shape (4 seats, n), uint64, as :func:`double_study.cards.deal.deal_block` returns.
    agreement
        The agreement that they are bid by.
    parent, rows
        For a subset: the batch that it is a part of, and positions there.
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
        """The batch of all deals."""
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

    def take_over(self, other: Batch, *names: str) -> None:
        """Take columns from ``other``, a batch of the same deals, rather than compute them again."""
        self._read |= {name: other[name] for name in names}

    def where(self, chosen: Array) -> Batch:
        """Return a subset: ``chosen`` is a mask, or positions in this batch."""
        return self._subset(chosen, "")

    def _subset(self, chosen: Array, stage: str) -> Batch:
        rows = np.flatnonzero(chosen) if chosen.dtype == np.bool_ else chosen
        return Batch(self.cards, self.agreement, stage, self, rows)

    def decided(self, name: str) -> Decided[Any]:
        """Return what a table of rules says of each deal at this stage."""
        if name not in self._decided:
            self._decided[name] = _DECISIONS[self.stage, name](self)
        return self._decided[name]

    def hands(self, player: str) -> Hands:
        """Return the hands of one of the players; at a stage with an opening of one of a suit."""
        if player not in self._hands:
            if self.parent and player in self.parent._hands:
                self._hands[player] = self.parent._hands[player].rows(self.rows)
            else:
                at = ((self["seat"] + np.int8(PLAYERS.index(player) - 1)) % np.int8(4)).astype(
                    np.intp
                )
                words = self.root["words"]
                at *= words.shape[1]
                at += self["deal"]
                self._hands[player] = Hands(words.reshape(-1).take(at))
        return self._hands[player]


Made = TypeVar("Made")


def _declaring(
    registry: dict[tuple[str, str], Callable[[Batch], Made]], stage: str, name: str
) -> Callable[[Callable[[Batch], Made]], Callable[[Batch], Made]]:
    def declare(make: Callable[[Batch], Made]) -> Callable[[Batch], Made]:
        registry[stage, name] = make
        return make

    return declare


def column(stage: str, name: str) -> Callable[[Callable[[Batch], Array]], Callable[[Batch], Array]]:
    """Declare how the column ``name`` of the deals at ``stage`` is computed."""
    return _declaring(_COLUMNS, stage, name)


def decision(
    stage: str, name: str
) -> Callable[[Callable[[Batch], Decided[Any]]], Callable[[Batch], Decided[Any]]]:
    """Declare a call by a table of rules at ``stage``, and with it the column of its names."""
    _COLUMNS[stage, name] = lambda batch: batch.decided(name).name
    return _declaring(_DECISIONS, stage, name)


def stage(before: str, name: str) -> Callable[[Callable[[Batch], Array]], Callable[[Batch], Array]]:
    """Declare a stage by which deals of the stage ``before`` reach it: a mask, or positions."""

    def declare(reach: Callable[[Batch], Array]) -> Callable[[Batch], Array]:
        _STAGES[name] = before, reach
        return reach

    return declare


@column(DEALS, "words")
def _words(b: Batch) -> NDArray[np.uint32]:
    """The words of all hands, shape (4, n)."""
    return hand_words(b.cards, b.agreement.hand.good_suit)


@column(DEALS, "deal")
def _deal(b: Batch) -> NDArray[np.intp]:
    return np.arange(len(b))
