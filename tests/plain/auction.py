"""A whole deal bid by the plain reading, from the dealer's first call to the last.

Written out is what the text follows: an auction that it leaves (another opening, no overcall of a
suit, another call of the responder's, a reopening) ends with the last call that the text gives. A
raise of 1S over 1H is such a call; section 4, where it stands, has the advancer pass. Where a pair
settles, the calls end before those that are "not written out".
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from plain.advancer import *
from plain.answers import *
from plain.contested import *
from plain.continuation import *
from plain.ending import *
from plain.opening import *
from plain.reopening import *
from plain.response import *


@dataclass
class Auction:
    """What the reading makes of a deal; names as the text has them, None where never reached.

    seat is the opener's, 0 when all pass. calls are (seat, call), the dealer's first. over says that
    the text follows the auction to its end. From overcaller_again to settled the fields are of
    auctions with the responder's double: settled is what a pair settles in ('4H', or '2SX' where it
    doubles), its last calls not among calls, and '' if it does not; declarer is a seat, 0 if nobody
    has yet bid what the pair settles in. reopening, 'not_reached' where the advancer bid, is of
    auctions with the responder's pass; spade_raise, 'no_raise' with fewer than three spades, of 1S
    over 1H.
    """

    calls: list[tuple[int, str]] = field(default_factory=list)
    over: bool = True
    seat: int = 0
    opening: str = "pass"
    action: str | None = None
    overcall: str | None = None
    call: str | None = None
    reason: str | None = None
    advancer: str | None = None
    answer: str | None = None
    overcaller_again: str | None = None
    contract: str | None = None
    last_bid: str | None = None
    trumps: int | None = None
    declarer: int | None = None
    settled: str | None = None
    reopening: str | None = None
    spade_raise: str | None = None

    def say(self, *calls: str) -> None:
        """Add the next players' calls, each in turn."""
        for call in calls:
            self.calls.append((self.calls[-1][0] % 4 + 1 if self.calls else 1, call))

    def end(self) -> None:
        """Add the passes that end the auction."""
        self.over = True
        while [call for _, call in self.calls[-3:]] != ["pass"] * 3:
            self.say("pass")


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
    auction.over = False
    # "The study goes on only where the opening is one of a suit, Y."
    level, Y = read_bid(auction.opening)
    if level != 1 or Y not in SUITS:
        return
    # "The study goes on only where rules 4, 5, 7 or 8 gave an overcall of suit Z at level L."
    auction.action, auction.overcall = overcall(overcaller, Y)
    if auction.overcall is None:
        return
    auction.say(auction.overcall)
    L, Z = read_bid(auction.overcall)
    auction.call, call = response(responder, Y, Z, L)
    if call is None:
        return
    auction.say(call)
    if auction.call == "double":
        auction.reason = reason(responder, Y, Z, L)
        name, call = advancer(fourth, Y, Z, L, after_double=True)
        auction.advancer = name
        auction.say(call)
        if name == "pass":
            after_double(auction, continuation(opener, overcaller, responder, Y, Z, L))
        else:
            over = contested(opener, overcaller, responder, Y, Z, L, name, call)
            after_double(auction, over)
    elif call == "pass":
        # "After the responder's pass or penalty_pass the advancer calls by section 6. If it bids,
        # the study follows no further. If it passes, the opener may reopen"
        auction.advancer, advance = advancer(fourth, Y, Z, L, after_double=False)
        auction.say(advance)
        auction.reopening = "not_reached"
        if auction.advancer == "pass":
            after_pass(auction, reopening(opener, Y, Z, L), length(fourth, Z) == 0)
    elif (auction.overcall, call) == ("1H", "1S"):
        # "The advancer is taken to pass over 1S." "With fewer than three: no raise"
        bid = spade_raise(opener)
        auction.spade_raise = bid or "no_raise"
        if bid:
            auction.say("pass", bid)


def after_double(auction: Auction, after: After) -> None:
    """All that follows the advancer's call over the responder's double."""
    auction.answer, call = after.answer
    auction.overcaller_again = "passes" if after.again == "pass" else "bids"
    auction.contract, auction.last_bid, auction.trumps, _ = after.end
    auction.settled = after.later.settled
    auction.say(call, after.again)
    # The other side passes from here on.
    for number, later in enumerate(after.later.calls):
        auction.say(*(("pass",) if number else ()), later)
    if not auction.settled:
        auction.end()
    elif after.later.calls:
        # The advancer passes the responder's second double, and the opener would speak.
        auction.say("pass")
    auction.over = True
    # By Law 22 and the Laws' definition the declarer is the hand of the side that bid the
    # denomination first.
    ours = auction.contract not in ("defended", "their_contract")
    auction.declarer = 0
    for seat, call in reversed(auction.calls):
        named = call not in ("pass", "X") and read_bid(call)[1] == read_bid(auction.last_bid)[1]
        if named and (seat % 2 == auction.seat % 2) == ours:
            auction.declarer = seat


def after_pass(auction: Auction, reopened: Call, advancer_void: bool) -> None:
    """All that follows two passes over the overcall."""
    auction.reopening = reopening_name(*reopened, str(auction.call), advancer_void)
    auction.say(reopened[1])
    if auction.reopening == "double_taken_out":
        # The overcaller passes, and the responder: the advancer's call is not given.
        auction.say("pass", "pass")
    # "A responder who made a penalty_pass passes any of these doubles"
    penalty = auction.reopening == "double" and auction.call == "penalty_pass"
    if penalty or auction.reopening == "pass":
        auction.end()
