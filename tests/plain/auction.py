"""A whole deal bid by the plain reading, from the dealer's first call to the last.

Written out is what the text follows: an auction that it leaves (another opening, no overcall of a
suit, another call of the responder's, a reopening) ends with the last call that the text gives. A
raise of 1S over 1H is such a call; section 4, where it stands, has the advancer pass. Where a pair
settles, the calls end before those that are "not written out".
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from plain.advancer import advancer
from plain.answers import answer, spade_raise
from plain.contested import contested_answer, contested_end, later_contested_calls
from plain.continuation import continuation_end, later_calls
from plain.ending import Later, trumps_of
from plain.opening import opening, overcall
from plain.reopening import reopening, reopening_name
from plain.response import reason, response
from plain.words import SUITS, Hand, length, read_bid


@dataclass
class Auction:
    """What the reading makes of a deal; names as the text has them, None where never reached.

    seat is the opener's, 0 when all pass. calls are (seat, call), the dealer's first. over says that
    the text follows the auction to its end; last_bid, declarer (a seat) and trumps are then those of
    the contract. declarer is None if nobody has yet bid what the pair settles in. settled is what
    a pair settles in ('4H', or '2SX' where it doubles), its last calls not among calls.
    overcaller_again, contract and settled are of auctions with the responder's double; reopening,
    'not_reached' where the advancer bid, of those with its pass; spade_raise, 'no_raise' with fewer
    than three spades, of 1S over 1H.
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
    settled: str | None = None
    reopening: str | None = None
    spade_raise: str | None = None
    last_bid: str | None = None
    declarer: int | None = None
    trumps: int | None = None

    def say(self, *calls: str) -> None:
        """Return the next players' calls, each in turn."""
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
    auction.over = False
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
            after_double(auction, opener, overcaller, responder, situation)
        else:
            advance = auction.advancer, call
            after_advance(auction, opener, overcaller, responder, situation, advance)
    elif call == "pass":
        after_pass(auction, opener, fourth, situation)
    elif (auction.overcall, call) == ("1H", "1S"):
        # "The advancer is taken to pass over 1S." "With fewer than three: no raise"
        bid = spade_raise(opener)
        auction.spade_raise = bid or "no_raise"
        if bid:
            auction.say("pass", bid)
    if auction.over:
        tell_the_contract(auction, opener, responder)


def tell_the_contract(auction: Auction, opener: Hand, responder: Hand) -> None:
    """Return the last bid of an auction that is over, who declares it, and the trumps.

    The text does not speak of a declarer: by Law 22 and the Laws' definition it is the hand of the
    side that bid the denomination first.
    """
    if auction.settled:
        bid, doubled = auction.settled.removesuffix("X"), auction.settled.endswith("X")
        ours = not doubled
    else:
        seat, bid = next(said for said in reversed(auction.calls) if said[1] not in ("pass", "X"))
        ours = seat % 2 == auction.seat % 2
    auction.last_bid, auction.trumps = bid, trumps_of(bid, opener, responder)
    for seat, call in auction.calls:
        named = call not in ("pass", "X") and read_bid(call)[1] == read_bid(bid)[1]
        if named and (seat % 2 == auction.seat % 2) == ours:
            auction.declarer = seat
            break


def finish(auction: Auction, later: Later) -> None:
    """Our side's later calls, the other side passing, and the passes that end the auction."""
    for number, call in enumerate(later.calls):
        auction.say(*(("pass",) if number else ()), call)
    auction.over = True
    if later.settled:
        auction.settled = later.settled.bid + ("X" if later.settled.doubled else "")
        # The advancer passes the responder's second double, and the opener would speak.
        if later.calls:
            auction.say("pass")
        return
    while [call for _, call in auction.calls[-3:]] != ["pass"] * 3:
        auction.say("pass")


def after_double(
    auction: Auction,
    opener: Hand,
    overcaller: Hand,
    responder: Hand,
    situation: tuple[int, int, int],
) -> None:
    """After the advancer's pass over the double."""
    auction.answer, call = answer(opener, *situation)
    all_known = (opener, overcaller, responder, *situation)
    again, later = later_calls(*all_known)
    auction.contract = continuation_end(*all_known).contract
    auction.overcaller_again = "passes" if again == "pass" else "bids"
    auction.say(call, again)
    finish(auction, later)


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
    auction.contract = contested_end(*all_known).contract
    auction.overcaller_again = "passes" if again == "pass" else "bids"
    auction.say(call, again)
    finish(auction, later)


def after_pass(
    auction: Auction, opener: Hand, fourth: Hand, situation: tuple[int, int, int]
) -> None:
    """After the responder's pass, of either name."""
    # "After the responder's pass or penalty_pass the advancer calls by section 6. If it bids, the
    # study follows no further. If it passes, the opener may reopen"
    auction.advancer, call = advancer(fourth, *situation, after_double=False)
    auction.say(call)
    if auction.advancer != "pass":
        auction.reopening = "not_reached"
        return
    name, call = reopening(opener, *situation)
    advancer_void = length(fourth, situation[1]) == 0
    auction.reopening = reopening_name(name, call, str(auction.call), advancer_void)
    auction.say(call)
    # "A responder who made a penalty_pass passes any of these doubles"
    penalty = auction.reopening == "double" and auction.call == "penalty_pass"
    if auction.reopening == "double_taken_out":
        # The overcaller passes, and the responder: the advancer's call is not given.
        auction.say("pass", "pass")
    if penalty or auction.reopening == "pass":
        finish(auction, Later())
