"""The negative double, counted: deals at random, bid by written rules, counted, and checked exactly.

>>> import double_study as ds

Deals are a DataFrame, one row per deal on which one side opens one of a suit and the next hand
overcalls in a suit:

>>> table = ds.deals(100_000)
>>> len(table)
17651
>>> round(float((table["call"] == "double").mean()), 3)
0.197

How often does the responder double with a void in the overcaller's suit? Count as many deals as the
answer needs, over all processors, and take the share with its 95% interval:

>>> counts = ds.count(200_000, by=["level", "call"], where="responder_in_overcalled == 0")
>>> ds.share(counts, "call == 'double'", by="level").round(2)
       deals   of  share   low  high
level
1        124  393   0.32  0.27  0.36
2         58  313   0.19  0.15  0.23
3         26  133   0.20  0.14  0.27
4          0   31   0.00  0.00  0.11

How often does it come up if the double needs 8 points at level 1? Bid the same deals under both
agreements:

>>> eight = ds.agreement("reference").changed("response.double_one", 8, name="eight")
>>> table = ds.compare("reference", eight, n=100_000)

Exact values need no deals. The tables of the study come from a run, or from the reports:

>>> overcalls = ds.exact("overcalls")
>>> calls = ds.run(deals=100_000).table("calls")
>>> calls = ds.table("calls")

The call on a hand, the rule behind it, and the odds on partner's hand:

>>> ds.ask("K752.AJ64.83.T92", "1C 1D")["call"]
'double'

The columns
-----------
A condition (``where``, ``of``) and ``by`` may use any of these columns. A value is missing if the
auction did not come that far.

============================  =======================================================================
``seat``                      where the opener sits, 1 (the dealer) to 4
``opening``                   1C, 1D, 1H, 1S
``overcall``                  1D to 4S, and ``level``, 1 to 4
``message``                   what the double promises in this auction
``call``                      the responder's call by name, such as double, pass or penalty_pass
``bid``                       the responder's bid, such as 2H
``reason``                    why the double was chosen
``advancer``                  the call of the overcaller's partner, after a double or a pass
``answer``                    the opener's answer to the double
``overcaller_again``          whether the overcaller bids again after the opener's answer
``reopening``                 the opener's call after two passes
``final_contract``            how the auction ends, such as game or part_score_fit
``contract``                  the contract, such as 4S; ``side`` that plays the contract, ours or
                              theirs; ``trumps`` of opener and responder in its suit
``responder_points``          the responder's total points
============================  =======================================================================

For each player (opener, overcaller, responder, advancer) there are ``opener_hcp``,
``opener_spades``, ``opener_hearts``, ``opener_diamonds``, ``opener_clubs``, ``opener_balanced`` and
``opener_in_overcalled`` (cards in the overcaller's suit), and so on. ``double-study how-often``
answers the same questions from the command line.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from double_study.api import ask, compare, count, deals, exact, run, share, table
    from double_study.own_agreement import agreement

__all__ = ["agreement", "ask", "compare", "count", "deals", "exact", "run", "share", "table"]


def __getattr__(name: str) -> Any:
    # Imported on first use: pandas and the rules take a second to load, and workers and --help need
    # only some of the modules.
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    place = "own_agreement" if name == "agreement" else "api"
    return getattr(import_module(f"{__name__}.{place}"), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
