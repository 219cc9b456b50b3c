"""An answer about a hand and an auction, as text for readers: three lines, or everything."""

from __future__ import annotations

from textwrap import wrap

from analysis.asking import odds as on
from analysis.asking.answer import Answer
from analysis.asking.answer_tables import RARE, next_tables, odds_tables
from analysis.asking.conditional_deals import enough
from analysis.asking.question import Question
from analysis.asking.what_next import HowOften
from analysis.asking.why_this_call import because, rules_above
from analysis.bidding.agreement_text import WIDTH
from analysis.cards.bids import SUIT, SUIT_NAMES, Bid, call_symbol
from analysis.cards.notation import hand_symbols
from analysis.statistics.intervals import CONFIDENCE, ESTIMATE, HIGH, LOW


def short(answer: Answer) -> list[str]:
    """The call, what the hand has for it, and the chance that matters most; a line each."""
    question, reply = answer.question, answer.reply
    title = hand_symbols(answer.cards)
    if question is None or reply is None:
        return [title, *_wrapped(matters(answer))]
    lines = [f"{title} after {question.auction.symbols}: {call_symbol(reply.call)}."]
    why_so = reply.sentence.capitalize() + "." if reply.call is None else because(question)
    return [*lines, *_wrapped(why_so), *_wrapped(matters(answer))]


def full(answer: Answer) -> list[str]:
    """The three lines, and then the rules, the odds, what comes next and how often."""
    lines = short(answer)
    if answer.question and answer.reply:
        if answer.reply.call is not None:
            lines += ["", *why(answer.question)]
        if answer.often:
            lines += ["", *_wrapped(often_text(answer.often))]
    lines += ["", *_wrapped(basis(answer.chances))]
    for table in odds_tables(answer.chances):
        lines += ["", *table]
    if answer.follows:
        texts = f"What comes next, in {answer.follows.deals:,} deals around this hand:"
        lines += ["", *_wrapped(texts)]
        for table in next_tables(answer.follows):
            lines += ["", *table]
    return lines


def _wrapped(text: str) -> list[str]:
    return wrap(text, WIDTH)


def matters(answer: Answer) -> str:
    """The chance that matters most after the call, in a sentence.

    In the pass-out seat that partner waits to defend; else the fits that the call looks for, or the
    likeliest one.
    """
    if answer.waits is not None:
        return f"Partner waits with a penalty pass: a chance of {_percent(*answer.waits)}."
    table = on.fits(answer.chances)
    suits = _looked_for(answer)
    chosen = table[table[SUIT].isin(suits)]
    if chosen.empty:
        chosen = table.nlargest(1, ESTIMATE)
    fits = " and ".join(
        f"{row[SUIT]} {_percent(row[ESTIMATE], row[LOW], row[HIGH])}"
        for row in chosen.to_dict("records")
    )
    return f"The chance of eight cards or more together: {fits}."


def _looked_for(answer: Answer) -> list[str]:
    """The suits that the call speaks of, by name: those promised, or the one bid."""
    call = answer.reply.call if answer.reply else None
    if isinstance(call, Bid) and not call.is_notrump:
        return [SUIT_NAMES[call.denomination]]
    return [SUIT_NAMES[suit] for suit in answer.chances.promised]


def _percent(estimate: float, low: float, high: float) -> str:
    if estimate == 1:
        return "for certain" if low == 1 else "on every deal drawn"
    if low == estimate == high:
        return f"{estimate:.1%}"
    return f"{estimate:.1%} ({100 * low:.1f}–{100 * high:.1f})"


def why(question: Question) -> list[str]:
    """The rule in words, and one line for each rule above it."""
    rules, chosen = question.rules.rules, question.rules.decide(question.situation).rule[0]
    lines = _wrapped(f"The rule: {rules[chosen].told(question.situation)}")
    above = rules_above(question)
    if above:
        lines.append("The rules that come before it, and what they ask for:")
    width = max((len(wording) for wording, _ in above), default=0)
    for wording, asks in above:
        head = f"  {wording:{width}}  "
        lines += wrap(asks, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    return lines


def often_text(often: HowOften) -> str:
    """How often the auction and the call come up, in a sentence."""
    if not often.share:
        return f"This auction with this call came up on none of {often.deals:,} deals."
    once = f"on {100 * often.share:.2g}% of all deals, about one in {1 / often.share:,.0f}"
    if often.counted is None:
        return f"This auction with this call comes up {once}: an exact figure."
    limits = f"{100 * often.low:.2g}–{100 * often.high:.2g}%"
    return (
        f"This auction with this call comes up {once}: {often.counted:,} of {often.deals:,} deals, "
        f"{CONFIDENCE:.0%} interval {limits}."
    )


def basis(chances: on.Odds) -> str:
    """What the odds rest on, in sentences."""
    if chances.bid_against is None:
        return "The odds on partner's hand before any bidding (plain), exact:"
    texts = "The odds on partner's hand: given the bidding, and plain, by this hand alone"
    _, low, high = chances.chance
    came = f"This auction comes up on {_share(chances)} of the deals around this hand"
    if chances.kept is None:
        return f"{came}. {texts}; all exact:"
    reached = "" if chances.kept >= enough() else f" (a rare auction: {enough()} deals were wanted)"
    return (
        f"{came} ({100 * low:.2f}–{100 * high:.2f}). {texts}. Given: from {chances.kept} such deals"
        f"{reached}, in brackets the {CONFIDENCE:.0%} interval. Plain: exact:"
    )


def _share(chances: on.Odds) -> str:
    return f"{chances.chance[0]:.2%}" if chances.chance[0] >= RARE else "less than 0.05%"


def lesson(chances: on.Odds) -> str:
    """The fits that the double looks for, given the bidding and plain, in a sentence each."""
    table = on.fits(chances)
    parts = [
        f"Given the bidding, a fit of eight or more {row[SUIT]} has a chance of {row[ESTIMATE]:.1%}. By "
        f"one's own length alone it would be {row[on.PLAIN]:.1%}."
        for _, row in table[table[on.PROMISED]].iterrows()
    ]
    return " ".join(parts) or "The agreement has no double here, so no suit is promised."
