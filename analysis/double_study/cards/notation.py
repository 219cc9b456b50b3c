"""Read and write hands and auctions as text.

A hand is 52 bits, four 13-bit holdings side by side, clubs in the lowest (the form that
:mod:`double_study.cards.deal` deals in). Written, its suits stand from spades to clubs, each from the
ace down, as in Portable Bridge Notation: ``K752.AJ64.83.T92``.
"""

import re
from dataclasses import dataclass

from double_study.cards.bids import (
    DENOMINATIONS,
    DOUBLE,
    PASS,
    RANKS,
    SUIT_NAMES,
    SUIT_SYMBOLS,
    SUITS,
    Bid,
    Call,
)
from double_study.cards.deal import HAND_CARDS
from double_study.columns import PLAYERS
from double_study.errors import InputError
from double_study.escape import quoted

HAND_HELP = "allowed: spades, hearts, diamonds and clubs, 13 cards, such as K752.AJ64.83.T92"
AUCTION_HELP = "allowed: passes, an opening of one of a suit and an overcall, such as pass 1D 1S"
LATER_HELP = (
    "1D 1S for the responder; 1D 1S X for the fourth hand; 1D 1S X P, 1D 1S X 2S or 1D 1S P P for the "
    "opener"
)
MAX_PASSES = 3

_OUTLINED = dict(zip("♧♢♡♤", SUIT_SYMBOLS, strict=True))
_SUIT_OF = {mark: suit for suit in SUITS for mark in (DENOMINATIONS[suit], SUIT_SYMBOLS[suit])}
_NOTHING = "-–—\ufe0e\ufe0f"
"""Dashes, which stand for a void, and the two variation selectors that may follow a suit symbol."""
_BETWEEN = r"[\s,.()/–—-]+"
"""What may stand between calls."""
_PASSES, _DOUBLES = ("P", PASS.upper()), ("X", "DBL", DOUBLE.upper())
_CALL = re.compile(
    rf"{'|'.join(reversed(_PASSES + _DOUBLES))}|[1-7](?:NT?|[CDHS♣♦♥♠][\ufe0e\ufe0f]?)"
)
TEN = "10"
"""The ten as readers see it, and as many of them type it; hands written for programs, and Portable
Bridge Notation, have T."""
VOID = "–"
"""A void, written for readers."""


def read_hand(text: str) -> int:
    """Read a hand of 13 cards.

    Suits stand in the order spades, hearts, diamonds, clubs with dots or spaces between them
    (a void is a dash, or nothing between two dots), or in any order with a letter or symbol
    before each: ``K752.AJ64.83.T92``, ``k752 aj64 83 1092``, ``♥AJ64 ♠K752 ♦83 ♣T92``. The ten is
    T or 10; capitals do not matter.

    Returns the hand as an integer of 52 bits. Raises :class:`InputError`.
    """
    plain = "".join(_OUTLINED.get(mark, mark) for mark in text.upper()).replace(TEN, "T")
    suits = _marked(plain) if any(mark in _SUIT_OF for mark in plain) else _ordered(plain)
    if suits is None:
        raise InputError(f"hand {quoted(text)} does not have four suits; {HAND_HELP}")
    cards = 0
    for suit, ranks in suits:
        for rank in ranks:
            if rank not in RANKS:
                raise InputError(f"hand {quoted(text)}: {rank!r} is not a card; {HAND_HELP}")
            card = 1 << (len(RANKS) * suit + RANKS.index(rank))
            if cards & card:
                raise InputError(
                    f"hand {quoted(text)} has {SUIT_SYMBOLS[suit]}{rank} twice; {HAND_HELP}"
                )
            cards |= card
    if (held := cards.bit_count()) != HAND_CARDS:
        raise InputError(
            f"hand {quoted(text)} has {held} card{'' if held == 1 else 's'}; {HAND_HELP}"
        )
    return cards


def _ordered(text: str) -> list[tuple[int, str]] | None:
    """Return the suits in the order written, spades first; None unless there are four."""
    parts = ["".join(part.split()) for part in text.split(".")] if "." in text else text.split()
    if len(parts) != len(SUITS):
        return None
    return [(suit, part.strip(_NOTHING)) for suit, part in zip(reversed(SUITS), parts, strict=True)]


def _marked(text: str) -> list[tuple[int, str]] | None:
    """Return suits that each follow a letter or symbol; None if cards stand before the first."""
    text = "".join(mark for mark in text if mark not in _NOTHING + ".,:" and not mark.isspace())
    first, *rest = re.split(f"([{''.join(_SUIT_OF)}])", text)
    if first:
        return None
    return [(_SUIT_OF[mark], ranks) for mark, ranks in zip(rest[::2], rest[1::2], strict=True)]


def holding_text(cards: int, suit: int) -> str:
    """Return the ranks that a hand holds in one suit, highest first; empty for a void."""
    holding = cards >> (len(RANKS) * suit)
    return "".join(RANKS[bit] for bit in reversed(range(len(RANKS))) if holding >> bit & 1)


def write_hand(cards: int) -> str:
    """Write a hand, spades first, with dots between suits, as :func:`read_hand` reads it."""
    return ".".join(holding_text(cards, suit) for suit in reversed(SUITS))


def holding_shown(cards: int, suit: int, between: str = "") -> str:
    """Write one suit for readers, such as ``1092``, or with spaces ``10 9 2``; a dash for a void."""
    ranks = holding_text(cards, suit)
    return between.join(TEN if rank == "T" else rank for rank in ranks) or VOID


def hand_symbols(cards: int) -> str:
    """Write a hand for readers: ``♠K752 ♥AJ64 ♦83 ♣1092``."""
    return " ".join(SUIT_SYMBOLS[suit] + holding_shown(cards, suit) for suit in reversed(SUITS))


_AS_TEXT = "\ufe0e"
"""Variation selector 15: asks for the plain symbol where a screen would draw a coloured one."""


def with_suits(html: str) -> str:
    """Return ``html`` with every suit symbol of its text black or red, as on the cards."""

    def coloured(found: re.Match[str]) -> str:
        if not (symbol := found[1]):  # a tag
            return found[0]
        colour = "red" if symbol in "♦♥" else "black"
        return f'<span class="{colour}-suit">{symbol}{_AS_TEXT}</span>'

    return re.sub(f"<[^>]*>|([{''.join(SUIT_SYMBOLS)}])[\ufe0e\ufe0f]?", coloured, html)


@dataclass(frozen=True)
class Auction:
    """An auction that the study follows: ``passes`` (0 to 3), one of ``opening``, ``overcall``.

    ``later`` is empty if the responder is to call. If the fourth hand, the advancer, is to call,
    ``later`` holds the responder's double. If the opener is to call again, it holds the responder's
    call and the advancer's: a double and a pass or a bid, or two passes. Raises
    :class:`InputError` if the overcall is not a higher bid in another suit, or for other calls.
    """

    passes: int
    opening: int
    overcall: Bid
    later: tuple[Call, ...] = ()

    def __post_init__(self) -> None:
        if not 0 <= self.passes <= MAX_PASSES:
            raise InputError(
                f"there are {self.passes} passes before the opening; allowed: 0 to {MAX_PASSES}"
            )
        if self.overcall.is_notrump:
            raise InputError(
                f"overcall {self.overcall} is not followed by the study; allowed: an overcall in a suit"
            )
        if self.overcall.denomination == self.opening:
            raise InputError(
                f"overcall {self.overcall} is in the suit opened; allowed: a suit other than "
                f"{SUIT_NAMES[self.opening]}"
            )
        if not self.overcall > self.opening_bid:
            raise InputError(
                f"overcall {self.overcall} is not higher than {self.opening_bid}; allowed: a higher bid"
            )
        match self.later:
            case () | ("double",) | ("pass", "pass") | ("double", "pass"):
                pass
            case ("double", Bid() as bid) if bid > self.overcall:
                pass
            case _:
                raise InputError(
                    f"auction {self}: the study does not cover this auction; allowed: {LATER_HELP}"
                )

    @property
    def calls(self) -> tuple[Call, ...]:
        return (PASS,) * self.passes + (self.opening_bid, self.overcall, *self.later)

    @property
    def opener_asked(self) -> bool:
        """Whether the opener is to call again."""
        return len(self.later) == 2

    @property
    def asked(self) -> str:
        """The player who is to call."""
        return ("responder", "fourth hand", "opener")[len(self.later)]

    @property
    def fourth_asked(self) -> bool:
        """Whether the fourth hand, the overcaller's partner, is to call."""
        return len(self.later) == 1

    @property
    def seat_asked(self) -> int:
        return self.seat_of(("responder", "advancer", "opener")[len(self.later)])

    @property
    def seat_of_partner(self) -> int:
        """The seat opposite the player who is to call."""
        return (self.seat_asked + 1) % 4 + 1

    @property
    def opening_bid(self) -> Bid:
        return Bid(1, self.opening)

    def seat_of(self, player: str) -> int:
        """Return the seat, 1 (the dealer's) to 4, of one of :data:`~double_study.columns.PLAYERS`."""
        return (self.passes + PLAYERS.index(player)) % 4 + 1

    @property
    def symbols(self) -> str:
        """The auction for readers: ``pass 1♦ 1♠``."""
        return " ".join(call.symbol if isinstance(call, Bid) else call for call in self.calls)

    def __str__(self) -> str:
        return " ".join(map(str, self.calls))


def read_call(text: str) -> Call:
    """Read one call: ``pass`` or ``p``, ``double``, ``dbl`` or ``x``, or a bid.

    Returns :data:`~double_study.cards.bids.PASS`, :data:`~double_study.cards.bids.DOUBLE` or the bid. Raises
    :class:`InputError`.
    """
    word = text.strip().upper()
    return PASS if word in _PASSES else DOUBLE if word in _DOUBLES else Bid.parse(text)


def _calls(word: str) -> list[str]:
    """Split a word into the calls written together in it; return any other word unchanged."""
    found = _CALL.findall(word.upper())
    return found if "".join(found) == word.upper() else [word]


def read_calls(text: str) -> list[Call]:
    """Read a row of calls as :func:`read_auction` does, but without checking the auction."""
    words = re.split(_BETWEEN, text.rstrip("? "))
    return [read_call(call) for word in words if word for call in _calls(word)]


def read_auction(text: str) -> Auction:
    """Read an auction: any passes, an opening of one of a suit, an overcall in a suit, later calls.

    ``1D 1S``, ``pass pass 1♦ 1♠``, ``p-1d-(1s)``, ``pp1D1S``, ``1D 1S?`` and ``1D 1S X P`` are all
    read; a pass is ``pass`` or ``p``, a double ``double`` or ``x``. Raises :class:`InputError`.
    """
    calls = read_calls(text)
    passes = next((at for at, call in enumerate(calls) if call != PASS), len(calls))
    if passes > MAX_PASSES:
        raise InputError(
            f"auction {quoted(text)} begins with {passes} passes; allowed: at most {MAX_PASSES}"
        )
    match calls[passes:]:
        case [Bid() as opening, Bid() as overcall, *later]:
            if opening.level != 1 or opening.is_notrump:
                raise InputError(
                    f"auction {quoted(text)} opens {opening}; allowed: 1C, 1D, 1H or 1S"
                )
            return Auction(passes, opening.denomination, overcall, tuple(later))
    lacks = "overcall" if calls[passes:] else "opening and overcall"
    raise InputError(f"auction {quoted(text)} has no {lacks}; {AUCTION_HELP}")
