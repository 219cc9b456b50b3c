"""The deals around a known hand that fit a question's auction: what the others may hold, and a sample."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.asking.conditional_deals import Cards, FittingDeals, deals_that_fit
from analysis.asking.question import EVERY_HAND, Question
from analysis.bidding.after_overcall import Overcalled
from analysis.bidding.auction import Auctions
from analysis.bidding.call_by_call import call_code, call_codes
from analysis.bidding.opening import OPENING, OpeningSituation
from analysis.bidding.overcall import OVERCALL, OvercallSituation, suit_overcall
from analysis.bidding.response import (
    DOUBLE_CALL,
    PASS_CALL,
    PENALTY_PASS_CALL,
    RESPONSE,
    calls_of,
)
from analysis.cards.bids import DOUBLE, NO_BID
from analysis.cards.hand_classes import N_HCP, SHAPES
from analysis.cards.hands import BoolArray, Hands
from analysis.cards.notation import MAX_PASSES
from analysis.exact.beside_known_hand import BothBid, partner_after, shapes_together
from analysis.exact.one_hand import class_hands
from analysis.exact.opening import FIRST_SEAT, one_of_a_suit


def impossible(question: Question, both: BothBid) -> str:
    """Which hand cannot have bid as it did, where no deal fits the question."""
    auction = question.auction
    good_suit = question.agreement.hand.good_suit
    anyone = (
        replace(both, opens=np.ones_like(both.opens)),
        replace(both, overcalls=np.ones_like(both.overcalls)),
    )
    overcalls, opens = (
        bool(partner_after(question.cards, bids, good_suit).any()) for bids in anyone
    )
    passed = " after its pass" if auction.passes == MAX_PASSES else ""
    over = f"overcalls {auction.overcall}{passed}"
    partner = f"opens {auction.opening_bid}"
    if auction.opener_asked:
        partner = "doubles it" if auction.later[0] == DOUBLE else "passes it"
    if not overcalls:
        return f"no hand from the other 39 cards {over}"
    if not opens:
        return f"no hand from the other 39 cards {partner}"
    return f"a hand that {partner} leaves none that {over}"


def both_bid(question: Question) -> BothBid:
    """What partner and overcaller may hold, as classes. Passes before the opening are left out, save
    the overcaller's own (a long suit that opener bid counts as not good, which may only add hands).
    """
    auction, agreement = question.auction, question.agreement
    opened, overcalled = auction.opening, auction.overcall.denomination
    # Of the flags (overcalled good, stopped; opened good, stopped) the first and last are asked for.
    hands = Hands(class_hands((overcalled, opened)).words[:, :, :, 0, 0, :])
    situation = OvercallSituation(hands, agreement, opened)
    bids = suit_overcall(OVERCALL.decide(situation))
    overcalls = bids == auction.overcall.code
    if auction.passes == MAX_PASSES:
        dealer = OpeningSituation(hands, agreement, FIRST_SEAT)
        overcalls &= OPENING.decide(dealer).bid == NO_BID
    partner = _responds(question) if auction.later else one_of_a_suit(agreement)[opened]
    return BothBid(opened, overcalled, partner, overcalls)


def _responds(question: Question) -> BoolArray:
    """Classes of which some hand, whatever is good or stopped, doubles or passes as responder did."""
    auction, overcall = question.auction, question.auction.overcall
    responder = Overcalled(
        Hands(EVERY_HAND),
        question.agreement,
        auction.opening,
        overcall.denomination,
        overcall.level,
    )
    call = calls_of(RESPONSE.decide(responder))
    asked = (DOUBLE_CALL,) if auction.later[0] == DOUBLE else (PASS_CALL, PENALTY_PASS_CALL)
    either = np.isin(call, asked).reshape(2, len(SHAPES), N_HCP)
    return either[0] | either[1]


def round_the_table(question: Question, others: FittingDeals) -> Cards:
    """The four hands of deals around the question's, by seat; uint64, (4, deals)."""
    return seated(question, others.partner, others.opponent, others.fourth)


def seated(question: Question, partner: Cards, opponent: Cards, fourth: Cards) -> Cards:
    """Hands round the table by seat; uint64, (4, deals)."""
    auction = question.auction
    table = np.full((4, len(partner)), question.cards, dtype=np.uint64)
    for seat, cards in (
        (auction.seat_of_partner, partner),
        (auction.seat_of_overcaller, opponent),
        (auction.seat_of_fourth_hand, fourth),
    ):
        table[seat - 1] = cards
    return table


def sample(question: Question, both: BothBid, seed: int) -> FittingDeals:
    """Deals around the hand in which every hand bids or passes as it did."""
    auction, agreement = question.auction, question.agreement
    asked = np.array([call_code(call) for call in auction.calls], dtype=np.int8)

    def fits(partner: Cards, opponent: Cards, fourth: Cards) -> BoolArray:
        cards = seated(question, partner, opponent, fourth)
        made = call_codes(Auctions(cards, agreement))[:, : len(asked)]
        return np.asarray((made == asked).all(axis=1))

    partners, opponents = shapes_together(question.cards, both)
    return deals_that_fit(question.cards, (SHAPES[partners], SHAPES[opponents]), fits, seed)
