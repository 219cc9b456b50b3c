"""What a partnership may set: every setting with its meaning, its default and what it may be.

The defaults are the reference agreement. A setting that the reference's text does not have is
declared with ``added``: its default is what the reference does.
"""

from __future__ import annotations

from dataclasses import dataclass

from analysis.agreements.setting_kinds import Range, ceiling, choice, number, span
from analysis.cards.bids import Bid


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
    major_cards: int = number(5, "cards that an opening of 1♥ or 1♠ promises", 4, 5, added=True)
    diamond_cards: int = number(3, "cards that an opening of 1♦ promises", 3, 4, added=True)


@dataclass(frozen=True)
class OvercallSettings:
    """Section 2 of the rules."""

    notrump: Range = span(15, 18, "HCP of a balanced 1NT overcall")
    strong_double: int = number(18, "HCP of a takeout double on any shape")
    two_suited_calls: bool = choice(True, "whether two-suited calls are played")
    two_suited: int = number(6, "HCP of a two-suited call")
    weak_jump: Range = span(5, 10, "HCP of a weak jump overcall")
    one_level_good: Range = span(8, 17, "HCP of a one-level overcall in a good suit")
    one_level: Range = span(12, 17, "HCP of a one-level overcall in any suit")
    takeout: int = number(12, "HCP of a takeout double on support for the unbid suits")
    two_level_six: Range = span(10, 17, "HCP of a two-level overcall on six cards")
    two_level_five: Range = span(12, 17, "HCP of a two-level overcall on five cards")


@dataclass(frozen=True)
class ResponseSettings:
    """Section 3 of the rules."""

    double: bool = choice(True, "whether the responder's double is played at all")
    double_through: Bid = ceiling("3S", "the highest overcall that the double is played over")
    double_one: int = number(6, "total points of the double at level 1")
    # The reference has one figure for level 2.
    double_two_minor: int = number(8, "total points of the double over two of a minor", added=True)
    double_two_major: int = number(8, "total points of the double over two of a major", added=True)
    double_three: int = number(10, "total points of the double at level 3")
    double_four: int = number(12, "total points of the double at level 4")
    both_majors: bool = choice(True, "whether the double of both minors promises both majors")
    strong_raise: int = number(11, "support points of a strong raise of a major")
    raise_cards: int = number(3, "cards of a raise of the major opened", 3, 4, added=True)
    raise_two: int = number(6, "support points of a raise to level 2")
    raise_three: int = number(9, "support points of a raise to level 3")
    raise_four: int = number(12, "support points of a raise to level 4")
    raise_five: int = number(15, "support points of a raise to level 5")
    raise_game: int = number(12, "support points of a raise to game over an overcall at level 3")
    one_level_major: int = number(6, "total points of a major at level 1")
    one_level_cards: int = number(4, "cards of a major bid over 1♣ (1♦)", 4, 5, added=True)
    penalty_cards: int = number(5, "cards in their suit of a penalty pass", 4, 5)
    penalty_pass: int = number(8, "HCP of a penalty pass")
    new_suit_two: int = number(10, "total points of a new suit at level 2")
    new_suit_three: int = number(12, "total points of a new suit at level 3")
    new_suit_four: int = number(12, "total points of a new suit at level 4")
    notrump_one: int = number(8, "HCP of notrump at level 1")
    notrump_two: int = number(11, "HCP of notrump at level 2")
    notrump_three: int = number(12, "HCP of notrump at level 3")
    strong_raise_minor: int = number(11, "support points of a strong raise of a minor")
    cue_bid: int = number(12, "total points of a cue-bid over an overcall at level 1 or 2")
    cue_bid_three: int = number(14, "total points of a cue-bid over an overcall at level 3")
    short_raise: int = number(8, "support points of a minor raise that is one card short")
    strong: int = number(10, "total points that make a four-card double strong")


@dataclass(frozen=True)
class AnswerSettings:
    """Section 4 of the rules."""

    raise_jump: int = number(16, "support points of opener's jump raise of a major")
    raise_game: int = number(19, "support points of opener's raise of a major to game")
    minor_jump: int = number(16, "support points of opener's jump raise of a minor")
    spade_jump: int = number(16, "support points of opener's jump to 3♠ over 1♠")
    spade_game: int = number(19, "support points of opener's raise to 4♠ over 1♠")
    cue_bid: int = number(18, "HCP of opener's cue-bid")
    own_suit_jump: int = number(16, "HCP of opener's jump in the suit opened")
    own_suit_long_jump: int = number(13, "HCP of opener's jump on seven cards in the suit opened")
    second_suit: int = number(16, "HCP of a four-card second suit above the rebid")
    notrump_jump: int = number(18, "HCP of opener's jump in notrump")


@dataclass(frozen=True)
class ContinuationSettings:
    """Section 5 of the rules."""

    jump_game: int = number(9, "support points that go to game over a jump raise")
    game: int = number(13, "support points that go to game over a minimum raise")
    invite: int = number(11, "support points that invite over a minimum raise")
    accept: int = number(14, "support points with which opener accepts an invitation")
    minor_extra: int = number(3, "points more that responder needs when the suit is a minor")
    notrump_game: int = number(12, "HCP that go to 3NT over notrump at its cheapest level")
    notrump_game_over_two: int = number(11, "HCP that go to 3NT over 2NT at its cheapest level")
    notrump_invite: int = number(11, "HCP that raise 1NT to 2NT")
    notrump_accept: int = number(14, "HCP with which opener goes from 2NT to 3NT")
    notrump_jump_game: int = number(7, "HCP that go to 3NT over a jump in notrump")
    go_on: int = number(11, "total points that go on over a rebid or second suit")
    go_on_strong: int = number(8, "total points that go on when opener's rebid showed strength")


@dataclass(frozen=True)
class AdvancerSettings:
    """Section 6 of the rules."""

    strong_raise: int = number(11, "support points of the advancer's strong raise")
    preemptive_raise: int = number(6, "support points of the advancer's raise on nine trumps")
    raise_one: int = number(6, "support points of a raise of an overcall at level 1")
    raise_two: int = number(8, "support points of a raise of an overcall at level 2")
    new_suit: int = number(8, "total points of the advancer's new suit at level 1 or 2")
    new_suit_three: int = number(11, "total points of the advancer's new suit at level 3")
    notrump_one: int = number(8, "HCP of the advancer's notrump at level 1")
    notrump_two: int = number(11, "HCP of the advancer's notrump at level 2")


@dataclass(frozen=True)
class ContestedAnswerSettings:
    """Section 7 of the rules."""

    game_three: int = number(17, "support points for game in a major that is bid at level 3")
    raise_three: int = number(13, "support points of opener's raise at level 3 over the advancer")
    game_four: int = number(16, "support points for game in a major that is bid at level 4")
    minor_four: int = number(17, "support points of opener's raise of a minor at level 4")
    own_suit_three: int = number(15, "HCP of opener's six cards at level 3 over the advancer")
    second_suit_three: int = number(15, "HCP of opener's second suit at level 3 over the advancer")
    notrump: int = number(18, "HCP of opener's notrump over the advancer")
    strong_double: int = number(17, "HCP of opener's double over the advancer")
    short_double: int = number(15, "HCP of that double with at most one card in their suit")


@dataclass(frozen=True)
class ContestedEndSettings:
    """Section 8 of the rules."""

    overcaller_game: int = number(14, "HCP with which the overcaller bids game over a strong raise")
    jump_game: int = number(9, "support points that go to game over a contested jump raise")
    game: int = number(12, "support points that go to game over a raise at level 3 or 4")
    notrump_game: int = number(7, "HCP that go to 3NT over opener's contested notrump")
    go_on: int = number(11, "total points that go on over opener's contested suit")
    go_on_three: int = number(10, "total points that go on over opener's suit at level 3")
    second_double: int = number(11, "total points of a second double below 4♥")
    high_double: int = number(13, "HCP of a second double of any bid")


@dataclass(frozen=True)
class ReopeningSettings:
    """Section 9 of the rules."""

    notrump: int = number(18, "HCP that reopen in notrump")
    long_double: int = number(17, "HCP that reopen with a double on three cards in their suit")
    second_suit_three: int = number(16, "HCP that reopen in a second suit at level 3")
    own_suit: int = number(15, "the most HCP that reopen in the suit opened")
    double: int = number(16, "HCP that reopen with a double on any shape")
    high_double_cards: int = number(
        1, "the most cards in their suit that double an overcall at level 3 or 4", 0, 2
    )
    high_double: int = number(15, "HCP that double such an overcall with more")
