"""The numbers in bold of the reference agreement, by section, as the plain reading takes them.

Each bears the name that a user gives it, ``section.name``. A range is (lowest, highest). A setting
marked "no reference" is in no bold type: its default is what the text does.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any

Range = tuple[int, int]


@dataclass
class HandSettings:
    good_suit: int = 2


@dataclass
class OpeningSettings:
    strong: int = 22
    two_notrump: Range = (20, 21)
    one_notrump: Range = (15, 17)
    suit: int = 12
    light: int = 10
    light_sum: int = 20
    weak: Range = (5, 10)
    major_cards: int = 5  # no reference
    diamond_cards: int = 3  # no reference


@dataclass
class OvercallSettings:
    notrump: Range = (15, 18)
    strong_double: int = 18
    two_suited_calls: bool = True  # no reference
    two_suited: int = 6
    weak_jump: Range = (5, 10)
    one_level_good: Range = (8, 17)
    one_level: Range = (12, 17)
    takeout: int = 12
    two_level_six: Range = (10, 17)
    two_level_five: Range = (12, 17)


@dataclass
class ResponseSettings:
    double: bool = True  # no reference
    double_through: str = "3S"
    double_one: int = 6
    double_two_minor: int = 8  # the text has one figure for level 2
    double_two_major: int = 8
    double_three: int = 10
    double_four: int = 12
    double_hcp: int = 5
    double_cards: int = 4
    both_majors: bool = True  # no reference
    five_three_majors: bool = False  # no reference
    raise_cards: int = 3  # no reference
    raise_two: int = 6
    raise_three: int = 9
    raise_four: int = 12
    raise_five: int = 15
    new_suit_two: int = 10
    new_suit_three: int = 12
    new_suit_four: int = 12
    strong_raise: int = 11
    raise_game: int = 12
    one_level_major: int = 6
    one_level_cards: int = 4  # no reference
    penalty_cards: int = 5
    penalty_pass: int = 8
    notrump_one: int = 8
    notrump_two: int = 11
    notrump_three: int = 12
    notrump_invite: int = 11
    notrump_game: int = 13
    strong_raise_minor: int = 11
    cue_bid: int = 12
    cue_bid_three: int = 14
    short_raise: int = 8
    strong: int = 10


@dataclass
class AnswerSettings:
    raise_jump: int = 16
    raise_game: int = 19
    minor_jump: int = 16
    cue_bid: int = 18
    own_suit_jump: int = 16
    own_suit_long_jump: int = 13
    notrump_jump: int = 18
    second_suit: int = 16
    spade_jump: int = 16
    spade_game: int = 19


@dataclass
class ContinuationSettings:
    overcaller: int = 12
    jump_game: int = 9
    game: int = 13
    invite: int = 11
    accept: int = 14
    minor_extra: int = 3
    notrump_game: int = 12
    notrump_game_over_two: int = 11
    notrump_invite: int = 10
    notrump_accept: int = 14
    notrump_jump_game: int = 7
    three_card_accept: int = 14
    settle: int = 13
    settle_strong: int = 9
    settle_light: int = 10
    opener_light: int = 15
    opener: int = 14


@dataclass
class AdvancerSettings:
    strong_raise: int = 11
    strong_raise_four: int = 9
    preemptive_raise: int = 6
    raise_one: int = 6
    raise_two: int = 8
    new_suit: int = 8
    new_suit_three: int = 11
    notrump_one: int = 8
    notrump_two: int = 11
    notrump_jump: int = 12
    notrump_game_one: int = 15
    notrump_game_two: int = 14


@dataclass
class ContestedAnswerSettings:
    game_three: int = 17
    raise_three: int = 13
    raise_three_short: int = 12
    game_four: int = 16
    game_four_short: int = 14
    minor_four: int = 17
    minor_four_short: int = 15
    own_suit_three: int = 14
    second_suit_three: int = 15
    notrump: int = 18
    strong_double: int = 17
    two_card_double: int = 15
    short_double: int = 14


@dataclass
class ContestedEndSettings:
    overcaller_game: int = 14
    strong_enough: int = 25
    strong_enough_fit: int = 23
    jump_game: int = 9
    game: int = 12
    notrump_game: int = 7
    settle: int = 12
    settle_three: int = 10
    compete: int = 11
    compete_short: int = 9
    short_raise: int = 8
    second_double_two: int = 9
    second_double: int = 11
    second_double_short: int = 10
    high_double: int = 12
    high_double_short: int = 10


@dataclass
class ReopeningSettings:
    suits_first: bool = False  # no reference
    notrump: int = 18
    long_double: int = 17
    double: int = 16
    high_double: int = 15
    high_double_cards: int = 1  # no reference
    second_suit_three: int = 16
    own_suit: int = 15
    late_double: int = 16


@dataclass
class Settings:
    hand: HandSettings = field(default_factory=HandSettings)
    opening: OpeningSettings = field(default_factory=OpeningSettings)
    overcall: OvercallSettings = field(default_factory=OvercallSettings)
    response: ResponseSettings = field(default_factory=ResponseSettings)
    answer: AnswerSettings = field(default_factory=AnswerSettings)
    continuation: ContinuationSettings = field(default_factory=ContinuationSettings)
    advancer: AdvancerSettings = field(default_factory=AdvancerSettings)
    contested_answer: ContestedAnswerSettings = field(default_factory=ContestedAnswerSettings)
    contested_end: ContestedEndSettings = field(default_factory=ContestedEndSettings)
    reopening: ReopeningSettings = field(default_factory=ReopeningSettings)


SETTINGS = Settings()
"""What the plain reading plays by: the reference agreement, except within ``played``."""


def settings() -> dict[str, Any]:
    """Return the values in force, by ``section.name``."""
    return {
        f"{section}.{name}": value
        for section, values in vars(SETTINGS).items()
        for name, value in vars(values).items()
    }


@contextmanager
def played(changes: Mapping[str, Any]) -> Iterator[None]:
    """Play by other values of these settings, named ``section.name``, inside the block.

    Raises KeyError for a name that is no setting.
    """
    standing = {key: settings()[key] for key in changes}
    try:
        for key, value in changes.items():
            _put(key, value)
        yield
    finally:
        for key, value in standing.items():
            _put(key, value)


def _put(key: str, value: Any) -> None:
    section, name = key.split(".")
    setattr(getattr(SETTINGS, section), name, value)
