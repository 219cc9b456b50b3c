"""The settings of an agreement: every number that a partnership may change.

The defaults are the reference agreement. A TOML file states only what differs; every key, type and
value in it is checked, and what cannot be used is named in one line. The rules that use the
settings, and the sentences that explain them, are in :mod:`analysis.bidding`.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from collections.abc import Iterator
from dataclasses import Field, dataclass, field, fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from analysis.cards import Bid
from analysis.errors import InputError

SHIPPED = Path(__file__).parent / "agreements"
"""Where the agreements that come with the study are; any of them may be named without a path."""

MAX_HCP = 37


@dataclass(frozen=True)
class Range:
    """Points from ``low`` to ``high``, both included."""

    low: int
    high: int

    def __str__(self) -> str:
        return f"{self.low}–{self.high}"


def number(default: int, meaning: str, low: int = 0, high: int = MAX_HCP) -> Any:
    """A whole-number setting from ``low`` to ``high``."""
    return field(default=default, metadata={"meaning": meaning, "low": low, "high": high})


def span(low: int, high: int, meaning: str) -> Any:
    """A setting that is a range of points."""
    return field(default=Range(low, high), metadata={"meaning": meaning, "low": 0, "high": MAX_HCP})


def choice(default: bool, meaning: str) -> Any:
    """A yes-or-no setting."""
    return field(default=default, metadata={"meaning": meaning})


@dataclass(frozen=True)
class HandSettings:
    """What a good suit is."""

    good_suit: int = number(2, "cards of the top five that make a suit good", 1, 5)


@dataclass(frozen=True)
class OpeningSettings:
    """Section 1 of the rules."""

    strong: int = number(22, "HCP for the strong artificial opening")
    two_notrump: Range = span(20, 21, "HCP of a balanced 2NT opening")
    one_notrump: Range = span(15, 17, "HCP of a balanced 1NT opening")
    suit: int = number(12, "HCP that open one of a suit on any shape")
    light: int = number(10, "HCP that open one of a suit with a shape that makes up for them")
    light_sum: int = number(20, "HCP plus the two longest suits that a light opening needs", 0, 50)
    weak: Range = span(5, 10, "HCP of a weak opening on a good long suit")


@dataclass(frozen=True)
class OvercallSettings:
    """Section 2 of the rules."""

    notrump: Range = span(15, 18, "HCP of a balanced 1NT overcall")
    strong_double: int = number(18, "HCP that double whatever the shape")
    two_suited_calls: bool = choice(True, "whether two-suited calls are played")
    two_suited: int = number(6, "HCP of a two-suited call")
    weak_jump: Range = span(5, 10, "HCP of a weak jump overcall")
    one_level_good: Range = span(8, 17, "HCP of a one-level overcall in a good suit")
    one_level: Range = span(12, 17, "HCP of a one-level overcall in any suit")
    takeout: int = number(12, "HCP of a takeout double")
    two_level_six: Range = span(10, 17, "HCP of a two-level overcall on six cards")
    two_level_five: Range = span(12, 17, "HCP of a two-level overcall on five cards")


@dataclass(frozen=True)
class ResponseSettings:
    """Section 3 of the rules."""

    double: bool = choice(True, "whether the responder's double is played at all")
    double_through: Bid = field(
        default=Bid.parse("3S"),
        metadata={"meaning": "the highest overcall that the double is played over"},
    )
    double_one: int = number(6, "total points of the double at level 1")
    double_two_minor: int = number(8, "total points of the double over two of a minor")
    double_two_major: int = number(8, "total points of the double over two of a major")
    double_three: int = number(10, "total points of the double at level 3")
    double_four: int = number(12, "total points of the double at level 4")
    both_majors: bool = choice(True, "whether the double of both minors promises both majors")
    raise_two: int = number(6, "support points of a raise to level 2")
    raise_three: int = number(9, "support points of a raise to level 3")
    raise_four: int = number(12, "support points of a raise to level 4")
    raise_five: int = number(15, "support points of a raise to level 5")
    one_level_major: int = number(6, "total points of a major at level 1")
    penalty_pass: int = number(8, "HCP of a pass that hopes to defend")
    new_suit_two: int = number(10, "total points of a new suit at level 2")
    new_suit_three: int = number(12, "total points of a new suit at level 3")
    new_suit_four: int = number(12, "total points of a new suit at level 4")
    notrump_one: int = number(8, "HCP of notrump at level 1")
    notrump_two: int = number(11, "HCP of notrump at level 2")
    notrump_three: int = number(12, "HCP of notrump at level 3")
    short_raise: int = number(8, "support points of a minor raise that is one card short")
    cue_bid: int = number(12, "total points of a cue-bid over an overcall at level 1 or 2")
    cue_bid_three: int = number(14, "total points of a cue-bid over an overcall at level 3")
    strong: int = number(10, "total points that make a four-card double strong")


@dataclass(frozen=True)
class AnswerSettings:
    """Section 4 of the rules."""

    raise_jump: int = number(16, "support points of opener's jump raise")
    raise_game: int = number(19, "support points of opener's raise to game")
    spade_jump: int = number(16, "support points of opener's jump to 3♠ over 1♠")
    spade_game: int = number(19, "support points of opener's raise to 4♠ over 1♠")
    cue_bid: int = number(18, "HCP of opener's cue-bid")
    own_suit_jump: int = number(16, "HCP of opener's jump in the suit opened")
    second_suit: int = number(16, "HCP of a four-card second suit above the rebid")
    notrump_jump: int = number(18, "HCP of opener's jump in notrump")


@dataclass(frozen=True)
class RestSettings:
    """Section 5 of the rules."""

    jump_game: int = number(9, "support points that go to game over a jump raise")
    game: int = number(13, "support points that go to game over a minimum raise")
    invite: int = number(11, "support points that invite over a minimum raise")
    accept: int = number(14, "support points with which opener accepts an invitation")
    minor_extra: int = number(3, "points more that responder needs when the suit is a minor")
    notrump_game: int = number(12, "HCP that go to 3NT over notrump at its cheapest level")
    notrump_invite: int = number(11, "HCP that raise 1NT to 2NT, and 2NT to 3NT")
    notrump_accept: int = number(14, "HCP with which opener goes from 2NT to 3NT")
    notrump_jump_game: int = number(7, "HCP that go to 3NT over a jump in notrump")
    go_on: int = number(12, "total points that go on over a rebid or second suit")
    go_on_strong: int = number(8, "total points that go on when opener's rebid showed strength")


@dataclass(frozen=True)
class Agreement:
    """All settings of a partnership, by section; immutable and hashable."""

    name: str = "reference"
    hand: HandSettings = HandSettings()
    opening: OpeningSettings = OpeningSettings()
    overcall: OvercallSettings = OvercallSettings()
    response: ResponseSettings = ResponseSettings()
    answer: AnswerSettings = AnswerSettings()
    rest: RestSettings = RestSettings()

    @property
    def digest(self) -> str:
        """SHA-256 of the settings, whatever the agreement is called; 64 hexadecimal digits."""
        settings = {key: str(value) for key, _, value in self.settings()}
        return hashlib.sha256(json.dumps(settings, sort_keys=True).encode()).hexdigest()

    def settings(self) -> Iterator[tuple[str, Field[Any], Any]]:
        """Every setting: its key such as ``response.double_one``, its field and its value."""
        for section in fields(self):
            part = getattr(self, section.name)
            if is_dataclass(part):
                for entry in fields(part):
                    yield f"{section.name}.{entry.name}", entry, getattr(part, entry.name)

    @property
    def document(self) -> dict[str, dict[str, Any]]:
        """The settings by section, as a TOML file would state them; for :func:`of_document`."""
        sections: dict[str, dict[str, Any]] = {}
        for key, _, value in self.settings():
            section, _, name = key.partition(".")
            if isinstance(value, Range):
                value = [value.low, value.high]
            elif isinstance(value, Bid):
                value = str(value)
            sections.setdefault(section, {})[name] = value
        return sections

    def changed(self, key: str, value: Any) -> Agreement:
        """The same agreement with the setting ``key`` (``section.name``) at ``value``, checked."""
        section, _, name = key.partition(".")
        return _checked(self, {section: {name: value}}, source="setting")


REFERENCE = Agreement()


def load(name: str) -> Agreement:
    """The agreement in the TOML file ``name``, a path or the name of a shipped one.

    Raises :class:`InputError` for a file that cannot be read and for any key, type or value that
    cannot be used.
    """
    path = Path(name)
    if not path.suffix and (SHIPPED / f"{name}.toml").is_file():
        path = SHIPPED / f"{name}.toml"
    if name == REFERENCE.name:
        return REFERENCE
    try:
        document = tomllib.loads(path.read_text(encoding="utf-8"))
    except OSError as error:
        shipped = ", ".join(sorted([p.stem for p in SHIPPED.glob("*.toml")] + [REFERENCE.name]))
        raise InputError(
            f"agreement {name}: {error.strerror or error}; allowed: a readable TOML file, or one of {shipped}"
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise InputError(f"agreement {path}: not TOML ({error})".replace("\n", " ")) from None
    return of_document(document, name=path.stem, source=str(path))


def of_document(document: dict[str, Any], name: str, source: str) -> Agreement:
    """The agreement called ``name`` that ``document`` states, checked as :func:`load` checks."""
    return replace(_checked(REFERENCE, document, source), name=name)


def _checked(base: Agreement, document: dict[str, Any], source: str) -> Agreement:
    """``base`` with the settings of ``document`` in place of its own, all of them checked."""
    known = {key: entry for key, entry, _ in base.settings()}
    sections = sorted({key.partition(".")[0] for key in known})
    for section, values in document.items():
        if section not in sections:
            raise InputError(
                f"{source}: unknown section [{section}]; allowed: {', '.join(sections)}"
            )
        if not isinstance(values, dict):
            raise InputError(f"{source}: {section} must be a section, [{section}]")
        changes = {}
        for name, value in values.items():
            if f"{section}.{name}" not in known:
                allowed = ", ".join(
                    k.partition(".")[2] for k in known if k.startswith(section + ".")
                )
                raise InputError(f"{source}: unknown key {section}.{name}; allowed: {allowed}")
            changes[name] = _value(f"{source}: {section}.{name}", known[f"{section}.{name}"], value)
        base = replace(base, **{section: replace(getattr(base, section), **changes)})
    _consistent(base, source)
    return base


def _value(where: str, entry: Field[Any], value: Any) -> Any:
    """``value`` as the setting ``entry`` holds it."""
    default = entry.default
    low, high = entry.metadata.get("low", 0), entry.metadata.get("high", MAX_HCP)
    shown = json.dumps(value, default=str, ensure_ascii=True)

    def whole(item: Any) -> bool:
        return isinstance(item, int) and not isinstance(item, bool) and low <= item <= high

    if isinstance(default, bool):
        if isinstance(value, bool):
            return value
        raise InputError(f"{where} = {shown}: allowed: true or false")
    if isinstance(default, Bid):
        lowest, highest = Bid.parse("1D"), Bid.parse("4S")
        if isinstance(value, Bid):
            return value
        try:
            bid = Bid.parse(value) if isinstance(value, str) else None
        except InputError:
            bid = None
        if bid is None or bid.is_notrump or not lowest <= bid <= highest:
            raise InputError(f"{where} = {shown}: allowed: a suit bid from {lowest} to {highest}")
        return bid
    if isinstance(default, Range):
        if isinstance(value, Range):
            value = [value.low, value.high]
        if isinstance(value, list) and len(value) == 2 and all(map(whole, value)):
            if value[0] <= value[1]:
                return Range(*value)
        raise InputError(
            f"{where} = {shown}: allowed: [lowest, highest], whole numbers from {low} to {high}, "
            "the lowest first"
        )
    if whole(value):
        return value
    raise InputError(f"{where} = {shown}: allowed: a whole number from {low} to {high}")


def _consistent(agreement: Agreement, source: str) -> None:
    """Raise :class:`InputError` where two settings contradict each other."""
    values = {key: value for key, _, value in agreement.settings()}
    ordered = [
        ("opening.light", "opening.suit"),
        ("answer.raise_jump", "answer.raise_game"),
        ("answer.spade_jump", "answer.spade_game"),
        ("rest.invite", "rest.game"),
        ("rest.notrump_invite", "rest.notrump_game"),
    ]
    for lower, upper in ordered:
        if values[lower] > values[upper]:
            raise InputError(
                f"{source}: {lower} = {values[lower]} contradicts {upper} = {values[upper]}; "
                f"allowed: {lower} no higher than {upper}"
            )
    one, two = agreement.opening.one_notrump, agreement.opening.two_notrump
    if one.high >= two.low:
        raise InputError(
            f"{source}: opening.one_notrump = {one} contradicts opening.two_notrump = {two}; "
            "allowed: 1NT wholly below 2NT"
        )
