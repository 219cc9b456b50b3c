"""The whole auction of many deals at once, step by step, and call by call.

An auction that the study does not follow to its end stops at the last call that the rules decide:
after any opening other than one of a suit, after an opening that is not overcalled in a suit, after
an overcall above the agreement's ceiling, after any call by the responder except a double and a
pass, and after a reopening. After 1♠ over 1♥ the advancer is assumed to pass, and opener's raise is
the last call. When a pair settles, its last calls are not written out either; instead, columns give
the contract, and :func:`reached` puts it in words. Inside arrays a bid is its code, or
:data:`~double_study.cards.bids.NO_BID`.
"""

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from double_study.agreements.reader import Agreement
from double_study.cards.bids import DOUBLE, HEARTS, NO_BID, NOTRUMP, PASS, Bid, Call
from double_study.cards.hands import BoolArray, Hands, Suit
from double_study.columns import COLUMNS
from double_study.rules import contested, response
from double_study.rules.advancer import ADVANCER, AdvancerSituation
from double_study.rules.answer import ANSWER, SPADE_RAISE, AnswerSituation, SpadeRaiseSituation
from double_study.rules.batch import DEALS, Array, Batch, columns, decision, stage
from double_study.rules.continuation import BIDS_AGAIN, CONTINUATION, AfterAnswer, Answered
from double_study.rules.opening import opening_lookup
from double_study.rules.overcall import overcall_lookup
from double_study.rules.reopening import DOUBLE_AGAIN, NOT_REACHED, REOPENING, ReopeningSituation
from double_study.rules.settle import DEFENDED, SETTLES, FinalContracts, final_contracts
from double_study.rules.terms import SEQUENCE_CODE, Overcalled

DOUBLE_TAKEN_OUT = COLUMNS["reopening"].code("double_taken_out")

Codes = NDArray[np.int8]


def _openings(b: Batch) -> Codes:
    """Return what each hand opens in its seat if nobody has opened before it; shape (4, n)."""
    lookup = opening_lookup(b.agreement.opening)
    return np.stack([lookup.bids(words, seat) for seat, words in enumerate(b["words"], 1)])


def _opener(b: Batch) -> Codes:
    """Return the opener's seat, 0 if all pass, and the code of its bid; shape (2, n)."""
    bids = b["opening_in_seat"][3]
    seats = (bids != NO_BID) * np.int8(4)
    # Go from the last seat to the first, because an earlier opening replaces a later one. In NumPy,
    # multiplying by masks is the fastest way to choose.
    for seat in (3, 2, 1):
        bid = b["opening_in_seat"][seat - 1]
        passes = bid == NO_BID
        opens = ~passes
        bids = bids * passes + bid * opens
        seats = seats * passes + np.int8(seat) * opens
    return np.stack([seats, bids])


columns(
    DEALS,
    opening_in_seat=_openings,
    opener=_opener,
    any_seat=lambda b: b["opener"][0],
    opening_bid=lambda b: b["opener"][1],
    any_opening=lambda b: b["opening_bid"].astype(np.intp) + 1,
)

# One of a suit is opened.
stage(DEALS, "opened", lambda b: (b["opening_bid"] >= 0) & (b["opening_bid"] < NOTRUMP))
columns(
    "opened",
    seat=lambda b: b["any_seat"],
    opening=lambda b: b["opening_bid"],
    # The next hand's call by name, and the code of an overcall in a suit; shape (2, n).
    next_hand=lambda b: np.stack(
        overcall_lookup(b.agreement.overcall).calls(b.hands("overcaller").words, b["opening"])
    ),
    action=lambda b: b["next_hand"][0],
    overcall_bid=lambda b: b["next_hand"][1],
)

# The next hand overcalls in a suit.
stage("opened", "overcalled", lambda b: b["overcall_bid"] != NO_BID)


def after_overcall(b: Batch) -> tuple[Agreement, Codes, Codes, Codes]:
    """Return the arguments of a situation except its hands: the agreement and the auction so far."""
    return b.agreement, b["opening"], b["overcalled_suit"], b["level"]


def responder(b: Batch) -> Overcalled:
    """Return the responder's hands of a stage, in the auction to the overcall."""
    return Overcalled(b.hands("responder"), *after_overcall(b))


decision("overcalled", "response", response.RESPONSE, responder)
columns(
    "overcalled",
    auction=lambda b: SEQUENCE_CODE[b["opening"], b["overcall_bid"]],
    overcalled_suit=lambda b: b["overcall_bid"] % np.int8(5),
    level=lambda b: b["overcall_bid"] // np.int8(5) + np.int8(1),
    call=lambda b: response.calls_of(b.decided("response")),
    # The responder's bid, NO_BID for any other call and above the ceiling.
    bid=lambda b: np.where(b["call"] == response.ABOVE_CEILING, np.int8(NO_BID), b["response_bid"]),
)

stage("overcalled", "doubled", lambda b: b["call"] == response.DOUBLE_CALL)
# The responder passes, for penalties or because no call fits.
stage(
    "overcalled",
    "passed",
    lambda b: (b["call"] == response.PASS_CALL) | (b["call"] == response.PENALTY_PASS_CALL),
)
# The responder would pass to defend if the agreement required only four cards.
stage(
    "overcalled", "would_defend", lambda b: response.would_defend(b.decided("response").situation)
)
# fmt: off
for _stage in ("doubled", "passed", "would_defend"):
    decision(_stage, "advancer", ADVANCER,
             lambda b: AdvancerSituation(b.hands("advancer"), *after_overcall(b),
                                         b.stage == "doubled"))
# fmt: on

# --- after the double, over which the advancer passes (quiet) or bids (contested) ---

decision("doubled", "reason", response.REASON, responder)
stage("doubled", "quiet", lambda b: b["advancer_bid"] == NO_BID)
stage("doubled", "contested", lambda b: b["advancer_bid"] != NO_BID)


def _answered(b: Batch) -> tuple[Agreement, Codes, Codes, Codes, Codes, Codes]:
    """Return the arguments of a situation after opener's answer, except its hands."""
    return *after_overcall(b), b["answer"], b["answer_bid"]


def _at_the_end(b: Batch, theirs: str) -> tuple[Any, ...]:
    """Return the arguments of the responder's last turn.

    ``theirs`` is the column of the other side's last bid before the overcaller's second turn.
    """
    last = np.maximum(b[theirs], b["overcaller_bid"])
    return b.hands("responder"), *_answered(b), b.hands("opener"), last


def _advanced(b: Batch) -> tuple[Any, ...]:
    return b["advancer"], b["advancer_bid"]


# fmt: off
decision("quiet", "answer", ANSWER,
         lambda b: AnswerSituation(b.hands("opener"), *after_overcall(b)))
decision("quiet", "overcaller", BIDS_AGAIN,
         lambda b: Answered(b.hands("overcaller"), *_answered(b)))
decision("quiet", "end", CONTINUATION, lambda b: AfterAnswer(*_at_the_end(b, "overcall_bid")))
decision("contested", "answer", contested.CONTESTED_ANSWER,
         lambda b: contested.ContestedSituation(b.hands("opener"), *after_overcall(b), b["advancer_bid"]))
decision("contested", "overcaller", contested.OVERCALLER,
         lambda b: contested.OvercallerSituation(b.hands("overcaller"), *_answered(b), *_advanced(b)))
decision("contested", "end", contested.CONTESTED_END,
         lambda b: contested.ContestedEndSituation(*_at_the_end(b, "advancer_bid"), *_advanced(b)))
# fmt: on
for _stage in ("quiet", "contested"):
    columns(_stage, final=lambda b: np.stack(final_contracts(b.decided("end"))))


def _joined(name: str) -> Callable[[Batch], Array]:
    """Return the column ``name`` of all doubles, joined from the quiet and the contested ones."""

    def join(b: Batch) -> Array:
        parts = b.at("quiet"), b.at("contested")
        whole = np.empty((*parts[0][name].shape[:-1], len(b)), dtype=np.int8)
        for part in parts:
            whole[..., part.rows] = part[name]
        return whole

    return join


columns(
    "doubled",
    **{name: _joined(name) for name in ("answer", "answer_bid", "overcaller_bid", "final")},
    **{name: lambda b, at=at: b["final"][at] for at, name in enumerate(FinalContracts._fields)},
    overcaller_again=lambda b: b["overcaller_bid"] == NO_BID,  # "bids" is category 0, "passes" 1
)

# --- after a pass ---


def taken_out(reopening: Codes, advancer: Hands, overcalled: Suit) -> Codes:
    """Return reopenings after a penalty pass as they are counted: codes of the column ``reopening``.

    If opener doubles, the responder passes, and an advancer void in the suit overcalled takes it out.
    """
    void = advancer.length_in(overcalled) == 0
    return np.where(void & (reopening == DOUBLE_AGAIN), np.int8(DOUBLE_TAKEN_OUT), reopening)


def _reopening(b: Batch) -> Codes:
    """Return the category counted for the opener's call, which is made if the advancer passes too.

    Every responder of the stage ``would_defend`` passes for penalties. The opener's call itself is
    the column of the same name at the stage ``…_round``, which has only the deals passed round.
    """
    reopening = np.full(len(b), NOT_REACHED, dtype=np.int8)
    round_ = b.at(f"{b.stage}_round")
    call = round_["reopening"]
    penalty = (round_["call"] == response.PENALTY_PASS_CALL) | (b.stage == "would_defend")
    counted = taken_out(call, round_.hands("advancer"), round_["overcalled_suit"])
    reopening[round_.rows] = np.where(penalty, counted, call)
    return reopening


# fmt: off
for _stage in ("passed", "would_defend"):
    columns(_stage, reopening=_reopening)
    stage(_stage, f"{_stage}_round", lambda b: b["advancer_bid"] == NO_BID)
    decision(f"{_stage}_round", "reopening", REOPENING,
             lambda b: ReopeningSituation(b.hands("opener"), *after_overcall(b)))

# The responder bids 1♠ over 1♥, which shows five.
stage("overcalled", "one_spade",
      lambda b: (b["call"] == response.ONE_LEVEL_MAJOR_CALL)
      & (b["overcall_bid"] == Bid(1, HEARTS).code))
decision("one_spade", "spade_answer", SPADE_RAISE,
         lambda b: SpadeRaiseSituation(b.hands("opener"), b.agreement))
# fmt: on


def rebid(before: Batch, agreement: Agreement) -> Batch:
    """Return the deals of ``before`` under ``agreement``, as ``Batch(cards, agreement)`` bids them.

    A stage depends on the settings of its own section and of those before it, and on what a good
    suit is. Columns for which all these are equal are copied, so a change of the responder's
    settings recomputes only the responses and what follows.
    """
    after, same = Batch(before.cards, agreement), before.agreement
    if same.hand != agreement.hand:
        return after
    after.take_over(before, "words")
    if same.opening != agreement.opening:
        return after
    after.take_over(before, "opening_in_seat", "opener")
    if same.overcall != agreement.overcall:
        return after
    after.at("opened").take_over(before.at("opened"), "next_hand")
    if (same.response, same.rules) == (agreement.response, agreement.rules):
        after.at("overcalled").take_over(before.at("overcalled"), "call", "bid")
    return after


DOUBLE_CODE, NO_CALL = -2, -3
"""The codes of a double and of the places after an auction's last call; a pass is NO_BID."""

MOST_CALLS = 20
"""More calls than any auction of the study has; a longer auction would raise an error."""
_PASSES_THAT_END = 3


class _Calls:
    """The calls of many auctions, which grow by one call per deal at a time."""

    def __init__(self, deals: int) -> None:
        self.calls = np.full((deals, MOST_CALLS), NO_CALL, dtype=np.int8)
        self._length = np.zeros(deals, dtype=np.intp)

    def add(self, deals: Array, calls: Codes | int) -> None:
        self.calls[deals, self._length[deals]] = calls
        self._length[deals] += 1

    def finish(self, deals: Array) -> None:
        """Add passes until the auction of each of ``deals`` ends in three."""
        for number in range(1, _PASSES_THAT_END + 1):
            lacking = self.calls[deals, self._length[deals] - number] != NO_BID
            for _ in range(_PASSES_THAT_END + 1 - number):
                self.add(deals[lacking], NO_BID)
            deals = deals[~lacking]


def call_codes(deals: Batch) -> Codes:
    """Return every call of every auction; int8, shape (deals, :data:`MOST_CALLS`).

    A bid is its code, a pass NO_BID, a double :data:`DOUBLE_CODE`; :data:`NO_CALL` fills the rest.
    """
    made, seats = _Calls(len(deals)), deals["any_seat"]
    for seat in range(1, 5):
        made.add(np.flatnonzero((seats >= seat) | (seats == 0)), NO_BID)
    opened = np.flatnonzero(seats > 0)
    # Replace the pass at the opener's turn by the opening.
    made.calls[opened, seats[opened] - 1] = deals["opening_bid"][opened]
    b = deals.at("overcalled")
    made.add(b["deal"], b["overcall_bid"])
    b = b.where(b["call"] != response.ABOVE_CEILING)
    made.add(b["deal"], np.where(b["call"] == response.DOUBLE_CALL, np.int8(DOUBLE_CODE), b["bid"]))
    b = deals.at("one_spade")
    bid = b["spade_answer_bid"]
    raised = b["deal"][bid != NO_BID]
    made.add(raised, NO_BID)
    made.add(raised, bid[bid != NO_BID])
    b = deals.at("doubled")
    made.add(b["deal"], b["advancer_bid"])
    _after_quiet_double(made, deals.at("quiet"))
    _after_contested_double(made, deals.at("contested"))
    _after_passes(made, deals)
    return made.calls


def _after_quiet_double(made: _Calls, b: Batch) -> None:
    made.add(b["deal"], b["answer_bid"])
    made.add(b["deal"], b["overcaller_bid"])
    settled = b.decided("end").named(*SETTLES)
    # After a penalty pass the overcaller's pass was the last call.
    _end(made, b, ~settled & (b["answer_bid"] != NO_BID))


def _after_contested_double(made: _Calls, b: Batch) -> None:
    doubled = b.decided("answer").named("strong_double")
    made.add(b["deal"], np.where(doubled, np.int8(DOUBLE_CODE), b["answer_bid"]))
    made.add(b["deal"], b["overcaller_bid"])
    # The responder doubles again over opener's pass, or doubles a bid that runs from opener's double.
    settled = b.decided("end").named(*SETTLES)
    silent = b.decided("answer").named("pass")
    defended = b.decided("end").named("defended")
    again = silent & (settled | defended) | doubled & defended & (b["overcaller_bid"] != NO_BID)
    made.add(b["deal"][again], DOUBLE_CODE)
    made.add(b["deal"][again & settled], NO_BID)
    made.finish(b["deal"][again & defended])
    _end(made, b, ~settled & ~again)


def _end(made: _Calls, b: Batch, here: BoolArray) -> None:
    """Add the responder's last call and, after an invitation, opener's; then the passes."""
    end = b.decided("end")
    stays = end.named("rests", "their_contract", "defended")
    accepted = here & end.named("invitation_accepted", "two_notrump_accepted")
    invitation = b["answer_bid"] + np.int8(5)
    own = np.where(stays, np.int8(NO_BID), np.where(accepted, invitation, end.bid))
    made.add(b["deal"][here], own[here])
    made.add(b["deal"][accepted], NO_BID)
    made.add(b["deal"][accepted], end.bid[accepted])
    made.finish(b["deal"][here])


def _after_passes(made: _Calls, deals: Batch) -> None:
    passed, b = deals.at("passed"), deals.at("passed_round")
    made.add(passed["deal"], passed["advancer_bid"])
    doubled = b["reopening"] == DOUBLE_AGAIN
    call = np.where(doubled, np.int8(DOUBLE_CODE), b["reopening_bid"])
    made.add(b["deal"], call)
    too_short = passed["reopening"][b.rows] == DOUBLE_TAKEN_OUT
    for _ in ("overcaller", "responder"):
        made.add(b["deal"][too_short], NO_BID)
    penalty = doubled & ~too_short & (b["call"] == response.PENALTY_PASS_CALL)
    made.finish(b["deal"][penalty | (call == NO_BID)])


def reached(deals: Batch) -> str:
    """Say which contract a settling pair reaches, such as ``… and the pair reaches 4♥``.

    ``deals`` is a batch of one deal. The text is empty for an auction that is written out.
    """
    b = deals.at("doubled")
    if not len(b) or not b["settled"][0]:
        return ""
    bid = Bid.from_code(b["last_bid"][0]).symbol
    if b["final_contract"][0] == DEFENDED:
        return f"… and the pair defends {bid} doubled"
    stays = b["last_bid"][0] == b["answer_bid"][0]
    return f"… and the pair {'stays in' if stays else 'reaches'} {bid}"


def call_code(call: Call) -> int:
    """Return the code of a call; the reverse of :func:`call_of`."""
    if isinstance(call, Bid):
        return call.code
    return DOUBLE_CODE if call == DOUBLE else NO_BID


def call_of(code: int) -> Call:
    if code == DOUBLE_CODE:
        return DOUBLE
    return PASS if code == NO_BID else Bid.from_code(code)


def calls_made(codes: Codes) -> tuple[Call, ...]:
    """Return the calls of one auction, a row of :func:`call_codes`."""
    return tuple(call_of(int(code)) for code in codes if code != NO_CALL)
