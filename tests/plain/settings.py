"""The numbers in bold of the reference agreement, by section, as the plain reading takes them.

Each bears the name that a user gives it, ``section.name``. A range is its lowest and highest. What
is marked * is in no bold type: its default is what the text does.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from types import SimpleNamespace
from typing import Any

NUMBERS = """
hand: good_suit 2

opening: strong 22, two_notrump 20-21, one_notrump 15-17, suit 12, light 10, light_sum 20, weak 5-10,
    major_cards 5*, diamond_cards 3*

overcall: notrump 15-18, strong_double 18, two_suited_calls yes*, two_suited 6, weak_jump 5-10,
    one_level_good 8-17, one_level 12-17, takeout 12, two_level_six 10-17, two_level_five 12-17

response: double yes*, double_through 3S, double_one 6, double_two_minor 8*, double_two_major 8*,
    double_three 10, double_four 12, double_hcp 5, double_cards 4, both_majors yes*,
    five_three_majors no*,
    raise_cards 3*, raise_two 6, raise_three 9, raise_four 12, raise_five 15, raise_game 12,
    new_suit_two 10, new_suit_three 12, new_suit_four 12, strong_raise 11, strong_raise_minor 11,
    one_level_major 6, one_level_cards 4*, penalty_cards 5, penalty_pass 8,
    notrump_one 8, notrump_two 11, notrump_three 12, notrump_invite 11, notrump_game 13,
    cue_bid 12, cue_bid_three 14, short_raise 8, strong 10

answer: raise_jump 16, raise_game 19, minor_jump 16, cue_bid 18, own_suit_jump 16,
    own_suit_long_jump 13, notrump_jump 18, second_suit 16, spade_jump 16, spade_game 19

continuation: overcaller 12, jump_game 9, game 13, invite 11, accept 14, minor_extra 3,
    notrump_game 12, notrump_game_over_two 11, notrump_invite 10, notrump_accept 14,
    notrump_jump_game 7, three_card_accept 14, settle 13, settle_strong 9, settle_light 10,
    opener_light 15, opener 14

advancer: strong_raise 11, strong_raise_four 9, preemptive_raise 6, raise_one 6, raise_two 8,
    new_suit 8, new_suit_three 11, notrump_one 8, notrump_two 11, notrump_jump 12,
    notrump_game_one 15, notrump_game_two 14

contested_answer: game_three 17, raise_three 13, raise_three_short 12, game_four 16,
    game_four_short 14, minor_four 17, minor_four_short 15, own_suit_three 14, second_suit_three 15,
    notrump 18, strong_double 17, two_card_double 15, short_double 14

contested_end: overcaller_game 14, strong_enough 25, strong_enough_fit 23, jump_game 9, game 12,
    notrump_game 7, settle 12, settle_three 10, compete 11, compete_short 9, short_raise 8,
    second_double_two 9, second_double 11, second_double_short 10, high_double 12,
    high_double_short 10

reopening: suits_first no*, notrump 18, long_double 17, double 16, high_double 15,
    high_double_cards 1*, second_suit_three 16, own_suit 15, late_double 16
"""

SETTINGS = SimpleNamespace()
"""What the plain reading plays by: the reference agreement, except within ``played``."""

ADDED: set[str] = set()
"""The settings marked *."""


def _value(written: str) -> Any:
    if "-" in written:
        low, high = written.split("-")
        return int(low), int(high)
    return {"yes": True, "no": False}.get(written, int(written) if written.isdigit() else written)


def _read(text: str) -> None:
    for paragraph in text.strip().split("\n\n"):
        section, numbers = paragraph.split(":")
        setattr(SETTINGS, section, SimpleNamespace())
        for number in numbers.split(","):
            name, written = number.split()
            setattr(getattr(SETTINGS, section), name, _value(written.removesuffix("*")))
            if written.endswith("*"):
                ADDED.add(f"{section}.{name}")


_read(NUMBERS)


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
        _put(changes)
        yield
    finally:
        _put(standing)


def _put(values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        section, name = key.split(".")
        setattr(getattr(SETTINGS, section), name, value)
