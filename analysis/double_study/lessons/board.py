"""The bidding of a deal, call by call, and the board on which the deal is played.

A deal has its own dealer, seat 1. At a board it is rotated so that seat 1 sits where the board's
dealer does, and nothing else is done to it, so the passes before the opening stay as they were.
"""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import REFERENCE, Agreement
from double_study.cards.bids import DOUBLE, PASS, Bid, Call
from double_study.cards.deal import BLOCK_DEALS, deal_block
from double_study.cards.notation import Auction
from double_study.errors import InputError
from double_study.lessons.case import OPENER, REOPENING, RESPONDER
from double_study.rules.auction import call_codes, calls_made
from double_study.rules.batch import Batch
from double_study.rules.terms import SEQUENCES, Decided

_TURNS = {
    RESPONDER: (("overcalled", "response"),),
    OPENER: (("quiet", "answer"), ("contested", "answer"), ("one_spade", "spade_answer")),
    REOPENING: (("passed_round", "reopening"),),
}
"""The stages at which a player is to call, each with the decision there."""


@dataclass(frozen=True)
class Bidding:
    """The bidding of one deal: ``cards`` are the four hands by seat, 52 bits each.

    Raises :class:`InputError` if nobody overcalled an opening of one of a suit in a suit.
    """

    cards: tuple[int, ...]
    agreement: Agreement

    def __post_init__(self) -> None:
        if not len(self.batch.at("overcalled")):
            raise InputError(
                "the auction does not reach the responder; allowed: a deal with an opening of one of a "
                "suit and an overcall in a suit"
            )

    @cached_property
    def batch(self) -> Batch:
        """The deal as the rules see it, a batch of one."""
        return Batch(np.array(self.cards, dtype=np.uint64)[:, np.newaxis], self.agreement)

    @cached_property
    def auction(self) -> Auction:
        """The auction as far as the overcall."""
        b = self.batch.at("overcalled")
        opening, overcall = SEQUENCES[b["auction"][0]]
        return Auction(int(b["seat"][0]) - 1, opening, overcall)

    @cached_property
    def calls(self) -> tuple[Call, ...]:
        return calls_made(call_codes(self.batch)[0])

    @property
    def complete(self) -> bool:
        """Whether every call is written out to the end of the auction."""
        return len(self.calls) > 3 and self.calls[-3:] == (PASS,) * 3

    @property
    def doubled(self) -> bool:
        return len(self.batch.at("doubled")) > 0

    def turn(self, asked: str) -> Decided[Any] | None:
        """Return what the rules say about a player's call, in an array of one; None without such a turn."""
        reached = ((self.batch.at(stage), name) for stage, name in _TURNS[asked])
        return next((b.decided(name) for b, name in reached if len(b)), None)

    def rule(self, asked: str) -> str:
        """Return the name of the rule that chooses a player's call; empty without such a turn."""
        decided = self.turn(asked)
        return decided.table.rules[decided.rule[0]].name if decided else ""

    def before(self, asked: str) -> tuple[Call, ...]:
        return self.calls[: self.auction.passes + (2 if asked == RESPONDER else 4)]

    def call(self, asked: str) -> Call | None:
        """Return a player's call; None if the rules do not decide it."""
        return next(iter(self.calls[len(self.before(asked)) :]), None)


COMPASS = ("North", "East", "South", "West")
VULNERABILITIES = {
    "None": "neither side vulnerable",
    "NS": "North–South vulnerable",
    "EW": "East–West vulnerable",
    "All": "both sides vulnerable",
}


def dealer_of(number: int) -> int:
    """Return the dealer of a board, a position in COMPASS: Law 2 of the Laws of Duplicate Bridge 2017."""
    return (number - 1) % 4


def vulnerability_of(number: int) -> str:
    """Return the vulnerability of a board by Law 2, whose cycle shifts by one every four boards."""
    return [*VULNERABILITIES][(number - 1 + (number - 1) // 4) % 4]


def south_number(opener: int, earlier: int = 0) -> int:
    """Return the number of a board with the responder South, for an opener in seat 1 to 4.

    The lowest such number after ``earlier`` others; every fourth board has the same dealer.
    """
    return (1 - opener) % 4 + 1 + 4 * earlier


@lru_cache(maxsize=8)
def _block(seed: int, block: int) -> NDArray[np.uint64]:
    """Return the deals of a block, cached for the boards of a lesson that come from the same one."""
    return deal_block(seed, block)


@dataclass(frozen=True)
class Origin:
    """The origin of a deal: the seed, the block and the deal's place in it, both counted from 0."""

    seed: int
    block: int
    deal: int

    @classmethod
    def of(cls, seed: int, deal: int) -> Origin:
        """Return the origin of a deal that is counted from the first of block 0."""
        return cls(seed, *divmod(deal, BLOCK_DEALS))

    @property
    def cards(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, by seat; dealt again."""
        return tuple(_block(self.seed, self.block)[:, self.deal].tolist())

    @property
    def place(self) -> str:
        """Block and deal as ``--only`` reads them."""
        return f"{self.block}:{self.deal}"

    def __str__(self) -> str:
        return f"seed {self.seed}, block {self.block}, deal {self.deal}"


@dataclass(frozen=True)
class Board:
    """A deal at board ``number``, bid by an agreement, and the player who is ``asked`` for a call.

    Raises :class:`InputError` if the auction does not reach the responder, or if the opener is
    asked but the rules give opener no answer.
    """

    number: int
    origin: Origin
    agreement: Agreement
    asked: str = RESPONDER

    def __post_init__(self) -> None:
        if self.bidding.turn(self.asked) is not None:
            return
        why = {
            OPENER: f"responder neither doubles nor bids 1♠ over 1♥; allowed: --ask {RESPONDER}",
            REOPENING: "opener is not in the pass-out seat; allowed: a deal on which responder and the "
            "fourth hand pass the overcall",
        }[self.asked]
        raise InputError(f"--ask {self.asked}: in deal {self.origin.place} the {why}")

    @cached_property
    def bidding(self) -> Bidding:
        return Bidding(self.origin.cards, self.agreement)

    @property
    def dealer(self) -> int:
        """The dealer, a position in COMPASS."""
        return dealer_of(self.number)

    def compass(self, seat: int) -> int:
        """Return the position in COMPASS of a seat (1 to 4 from the dealer)."""
        return (self.dealer + seat - 1) % 4

    @property
    def hands(self) -> tuple[int, ...]:
        """The four hands, 52 bits each, in the order of COMPASS."""
        return tuple(self.bidding.cards[(place - self.dealer) % 4] for place in range(4))

    @property
    def asked_at(self) -> int:
        """Where the hand asked sits, a position in COMPASS."""
        auction = self.bidding.auction
        return self.compass(
            auction.seat_of("responder") if self.asked == RESPONDER else auction.seat_of("opener")
        )

    @property
    def before(self) -> tuple[Call, ...]:
        return self.bidding.before(self.asked)

    @property
    def call(self) -> Call | None:
        return self.bidding.call(self.asked)

    @property
    def calls(self) -> tuple[Call, ...]:
        """The auction that the answer shows, to its end or up to the call that is asked for."""
        whole = self.bidding.complete or self.bidding.doubled
        return self.bidding.calls[: None if whole else len(self.before) + 1]

    @property
    def contract(self) -> tuple[Bid, bool, int] | None:
        """The last bid, whether it is doubled, and its declarer (a position in COMPASS).

        The declarer is the first player of the side to have named the denomination. None if the
        auction is not written out to its end.
        """
        calls = self.bidding.calls
        if not self.bidding.complete:
            return None
        bids = {at: call for at, call in enumerate(calls) if isinstance(call, Bid)}
        last = max(bids)
        ours = (at for at in bids if (at - last) % 2 == 0)
        first = min(at for at in ours if bids[at].denomination == bids[last].denomination)
        return bids[last], DOUBLE in calls[last:], (self.dealer + first) % 4

    # --- in words ---

    @property
    def heading(self) -> str:
        return f"Board {self.number}"

    @property
    def conditions(self) -> str:
        return f"Dealer {COMPASS[self.dealer]}, {VULNERABILITIES[vulnerability_of(self.number)]}"

    @property
    def question(self) -> str:
        return f"You are {COMPASS[self.asked_at]}. What do you call?"

    @property
    def source(self) -> str:
        """Where the deal comes from, and the command that prints the board again."""
        words = ["double-study", "boards", "--only", self.origin.place, "--board", str(self.number)]
        words += ["--ask", self.asked, "--seed", str(self.origin.seed)]
        if self.agreement.digest != REFERENCE.digest:
            words += ["--agreement", self.agreement.name]
        return f"{self.heading}: {self.origin}; again: {shlex.join(words)}"
