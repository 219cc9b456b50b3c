"""A whole deal bid by the plain reading, from the dealer's first call to the last.

Written out is what the text follows: an auction that it leaves (another opening, no overcall of a
suit, another call of the responder's, `goes_on`) ends with the last call that the text gives. A
raise of 1S over 1H is such a call; section 4, where it stands, has the advancer pass.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from plain.advancer import advancer
from plain.answers import answer, spade_raise
from plain.contested import contested_answer, contested_end, later_contested_calls
from plain.continuation import later_calls, resting_place, trumps_of
from plain.opening import opening, overcall
from plain.reopening import reopening
from plain.response import reason, response
from plain.words import SUITS, Hand, read_bid


@dataclass
class Auction:
    """What the reading makes of a deal; names as the text has them, None where never reached.

    seat is the opener's, 0 when all pass. calls are (seat, call), the dealer's first. last_bid and
    trumps are those of an auction that is over; goes_on says that it is not over, and not followed
    further. rest is of auctions with the responder's double. reopening is None where the advancer
    bid over the responder's pass.
    """

    calls: list[tuple[int, str]] = field(default_factory=list)
    goes_on: bool = False
    seat: int = 0
    opening: str = "pass"
    action: str | None = None
    overcall: str | None = None
    call: str | None = None
    reason: str | None = None
    advancer: str | None = None
    answer: str | None = None
    rest: str | None = None
    reopening: str | None = None
    last_bid: str | None = None
    trumps: int | None = None

    def say(self, *calls: str) -> None:
        """The next players' calls, each in turn."""
        for call in calls:
            self.calls.append((self.calls[-1][0] % 4 + 1 if self.calls else 1, call))


def whole_auction(hands: Sequence[Hand]) -> Auction:
    """Bid a deal, its four hands given from the dealer on."""
    auction = Auction()
    # "The four hands speak in turn from the dealer (seats 1 to 4). The first hand that does not pass
    # is the opener, and its seat is the deal's seat. If all four pass, the deal is passed out."
    for seat in (1, 2, 3, 4):
        bid = opening(hands[seat - 1], seat)
        auction.say(bid)
        if bid != "pass":
            auction.seat, auction.opening = seat, bid
            after_opening(auction, [hands[(seat - 1 + turn) % 4] for turn in range(4)])
            break
    return auction


def after_opening(auction: Auction, hands: list[Hand]) -> None:
    """All that follows the opening; the hands are opener, overcaller, responder, advancer."""
    opener, overcaller, responder, fourth = hands
    auction.goes_on = True
    # "The study goes on only where the opening is one of a suit, Y."
    level, suit = read_bid(auction.opening)
    if level != 1 or suit not in SUITS:
        return
    # "The study goes on only where rules 4, 5, 7 or 8 gave an overcall of suit Z at level L."
    auction.action, auction.overcall = overcall(overcaller, suit)
    if auction.overcall is None:
        return
    auction.say(auction.overcall)
    over_level, over_suit = read_bid(auction.overcall)
    situation = suit, over_suit, over_level
    auction.call, call = response(responder, *situation)
    if call is None:
        return
    auction.say(call)
    if auction.call == "double":
        auction.reason = reason(responder, *situation)
        auction.advancer, call = advancer(fourth, *situation, after_double=True)
        auction.say(call)
        if auction.advancer == "pass":
            after_double(auction, opener, responder, situation)
        else:
            advance = auction.advancer, call
            after_advance(auction, opener, overcaller, responder, situation, advance)
    elif call == "pass":
        after_pass(auction, opener, fourth, situation)
    elif (auction.overcall, call) == ("1H", "1S") and (bid := spade_raise(opener)):
        auction.say("pass", bid)
    if not auction.goes_on:
        bid = next(call for _, call in reversed(auction.calls) if call not in ("pass", "X"))
        auction.last_bid, auction.trumps = bid, trumps_of(bid, opener, responder)


def finish(auction: Auction, later: tuple[str, ...], goes_on: bool) -> None:
    """Our side's later calls, the other side passing, and the passes that end the auction."""
    for number, call in enumerate(later):
        auction.say(*(("pass",) if number else ()), call)
    auction.goes_on = goes_on
    while not goes_on and [call for _, call in auction.calls[-3:]] != ["pass"] * 3:
        auction.say("pass")


def after_double(
    auction: Auction, opener: Hand, responder: Hand, situation: tuple[int, int, int]
) -> None:
    """After the advancer's pass over the double."""
    auction.answer, call = answer(opener, *situation)
    auction.rest = resting_place(opener, responder, *situation)[0]
    # "The other side passes from here on."
    auction.say(call, "pass")
    finish(auction, *later_calls(opener, responder, *situation))


def after_advance(
    auction: Auction,
    opener: Hand,
    overcaller: Hand,
    responder: Hand,
    situation: tuple[int, int, int],
    advance: tuple[str, str],
) -> None:
    """After the advancer's bid over the double, given with its name."""
    auction.answer, call = contested_answer(opener, *situation, advance[1])
    all_known = (opener, overcaller, responder, *situation, *advance)
    again, later = later_contested_calls(*all_known)
    auction.rest = contested_end(*all_known)[0]
    auction.say(call, again)
    finish(auction, *later)


def after_pass(
    auction: Auction, opener: Hand, fourth: Hand, situation: tuple[int, int, int]
) -> None:
    """After the responder's pass, of either name."""
    # "After the responder's pass or penalty_pass the advancer calls by section 6. If it bids, the
    # study follows no further. If it passes, the opener may reopen"
    auction.advancer, call = advancer(fourth, *situation, after_double=False)
    auction.say(call)
    if auction.advancer != "pass":
        return
    auction.reopening, call = reopening(opener, *situation)
    auction.say(call)
    # "A responder who made a penalty_pass passes that double"
    penalty = auction.reopening == "double" and auction.call == "penalty_pass"
    if penalty or auction.reopening == "pass":
        finish(auction, (), goes_on=False)
