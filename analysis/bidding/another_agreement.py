"""The same deals bid again under another agreement, without doing again what stays as it was."""

from __future__ import annotations

from dataclasses import replace

from analysis.agreements.agreement import Agreement
from analysis.bidding.auction import Auctions
from analysis.bidding.response import RESPONSE


def rebid(auctions: Auctions, agreement: Agreement) -> Auctions:
    """The deals of ``auctions`` under ``agreement``, as ``Auctions(cards, agreement)`` bids them.

    A stage depends on the settings of its own section and of those before it, and on what a good
    suit is. Stages for which all these are equal are taken over, so a change of the responder's
    settings costs the responses alone. They are worked out in ``auctions`` if they were not yet.
    """
    before, other = auctions.agreement, Auctions(auctions.cards, agreement)
    if before.hand != agreement.hand:
        return other
    other.words = auctions.words
    if before.opening != agreement.opening:
        return other
    other.openings = auctions.openings
    if before.overcall != agreement.overcall:
        return other
    other.next_hands = auctions.next_hands
    responses = auctions.responses
    situation = replace(responses.situation, agreement=agreement)
    same = before.response == agreement.response
    same_calls = replace(responses.decided, situation=situation)
    other.responses = replace(responses, decided=same_calls if same else RESPONSE.decide(situation))
    return other
