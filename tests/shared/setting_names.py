"""Where the plain reading of the agreement has the number of each setting."""

from plain.bidding import REFERENCE as PLAIN

PLAIN_NAMES: dict[str, str | tuple[str, int]] = {
    "hand.good_suit": "good_suit_honours",
    "opening.strong": "strong_opening",
    "opening.two_notrump": "two_notrump",
    "opening.one_notrump": "one_notrump",
    "opening.suit": "one_of_a_suit",
    "opening.light": "light_opening",
    "opening.light_sum": "light_opening_sum",
    "opening.weak": "weak_opening",
    "opening.major_cards": "fewest_in_one_of_a_major",
    "opening.diamond_cards": "fewest_in_one_diamond",
    "overcall.notrump": "notrump_overcall",
    "overcall.strong_double": "strong_double",
    "overcall.two_suited": "two_suited",
    "overcall.weak_jump": "weak_jump",
    "overcall.one_level_good": "one_level_good",
    "overcall.one_level": "one_level_any",
    "overcall.takeout": "takeout_double",
    "overcall.two_level_six": "two_level_six",
    "overcall.two_level_five": "two_level_five",
    "response.double_through": "double_through",
    "response.double_one": ("double", 0),
    "response.double_two_minor": ("double", 1),
    "response.double_two_major": ("double", 1),
    "response.double_three": ("double", 2),
    "response.double_four": ("double", 3),
    "response.raise_two": ("raises", 0),
    "response.raise_three": ("raises", 1),
    "response.raise_four": ("raises", 2),
    "response.raise_five": ("raises", 3),
    "response.one_level_major": "one_level_major",
    "response.penalty_pass": "penalty_pass",
    "response.new_suit_two": ("new_suit", 0),
    "response.new_suit_three": ("new_suit", 1),
    "response.new_suit_four": ("new_suit", 2),
    "response.notrump_one": ("notrump", 0),
    "response.notrump_two": ("notrump", 1),
    "response.notrump_three": ("notrump", 2),
    "response.short_raise": "minor_raise_one_fewer",
    "response.cue_bid": ("cue_bid", 0),
    "response.cue_bid_three": ("cue_bid", 2),
    "response.strong": "strong_reason",
    "answer.raise_jump": "major_jump",
    "answer.raise_game": "major_game",
    "answer.minor_jump": "minor_jump",
    "answer.spade_jump": "spade_raise_jump",
    "answer.spade_game": "spade_raise_game",
    "answer.cue_bid": "answer_cue_bid",
    "answer.own_suit_jump": "own_suit_jump",
    "answer.second_suit": "second_suit_higher",
    "answer.notrump_jump": "notrump_jump",
    "rest.jump_game": "game_over_jump",
    "rest.game": "game_over_minimum",
    "rest.invite": ("invitation", 0),
    "rest.accept": "accept_invitation",
    "rest.minor_extra": "more_in_a_minor",
    "rest.notrump_game": "three_notrump",
    "rest.notrump_game_over_two": "three_notrump_over_two",
    "rest.notrump_invite": "two_notrump_invitation",
    "rest.notrump_accept": "accept_two_notrump",
    "rest.notrump_jump_game": "three_notrump_over_jump",
    "rest.go_on": "goes_on",
    "rest.go_on_strong": "goes_on_over_strength",
}
"""Where the plain reading of the agreement (tests/plain) has the number of each setting."""

IMPLIED = {("cue_bid", 1), ("invitation", 1)}
"""Its numbers that are no setting of their own: the cue-bid has one figure for levels 1 and 2, and
the strongest invitation is one point below game."""


def plain_value(where: str | tuple[str, int]) -> object:
    if isinstance(where, tuple):
        return getattr(PLAIN, where[0])[where[1]]
    return getattr(PLAIN, where)
