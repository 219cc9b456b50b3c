"""The table files: which tables a run leaves on disk.

To add a table, add a :class:`TableFile` to :data:`TABLE_FILES`, and any column that is new to
:mod:`double_study.telling.tables.columns`.
"""

from __future__ import annotations

from double_study.cards.bids import SEAT
from double_study.checking.comparison import families, joint_tests
from double_study.checking.families import CASE, FAMILY
from double_study.combinatorics.table import exact_table, next_hands_table
from double_study.counting.counts import LAST_LEVEL, OVER_TRUMPS, PASS_MADE, POINTS
from double_study.lessons.case import TOPIC
from double_study.lessons.pitfalls import PITFALL
from double_study.rules.advancer import ADVANCER_CALL
from double_study.rules.contested import ANSWER_GIVEN
from double_study.rules.contested_end import FINAL_CONTRACT
from double_study.rules.reopening import REOPENING_CALL
from double_study.rules.response import CALL, REASON_GIVEN
from double_study.rules.terms import LEVEL, MESSAGE, OPENER_CARDS, OPENING_BID, SEQUENCE
from double_study.telling.tables import doubles as doubled
from double_study.telling.tables import funnel, given_up, partner, responder, teaching
from double_study.telling.tables.contested import CONTESTED_FILES
from double_study.telling.tables.counted import calls, doubles, passes
from double_study.telling.tables.doubles import GROUPING
from double_study.telling.tables.exact_doubles import exact_doubles
from double_study.telling.tables.funnel import STEP
from double_study.telling.tables.partner import OPENER_SPADES, OUTCOME
from double_study.telling.tables.responder import CARDS, MEASURE, PATTERN, ROLE
from double_study.telling.tables.table_file import TableFile
from double_study.telling.tables.teaching import RANK

RUN_FILE = "run.json"
TABLES_FOLDER = "tables"


TABLE_FILES: tuple[TableFile, ...] = (
    TableFile(
        "calls",
        "The responder's calls by seat of the opener, opening and overcall",
        calls,
        (SEAT, *SEQUENCE.columns, CALL),
    ),
    TableFile(
        "doubles",
        "The doubles by seat, auction, message, reason, advancer's call, opener's answer and final "
        "contract",
        doubles,
        (
            SEAT,
            *SEQUENCE.columns,
            MESSAGE,
            REASON_GIVEN,
            ADVANCER_CALL,
            ANSWER_GIVEN,
            FINAL_CONTRACT,
        ),
    ),
    TableFile(
        "passes",
        "The responder's passes by seat, auction, kind, advancer's call and opener's reopening",
        passes,
        (SEAT, *SEQUENCE.columns, PASS_MADE, ADVANCER_CALL, REOPENING_CALL),
    ),
    TableFile(
        "funnel",
        "Openings of one of a suit, overcalls, overcalls within reach of the double, doubles",
        funnel.funnel,
        (STEP,),
    ),
    TableFile(
        "funnel_by_seat",
        "The same by seat of the opener, beside exact values for the first seat",
        lambda run: funnel.funnel_by_seat(
            run, exact_table(run.agreement, run.exact_calls), next_hands_table(run.agreement)
        ),
        (SEAT, STEP),
    ),
    TableFile(
        "first_seat_calls",
        "Overcalls and the responder's calls after an opening in first seat, beside exact values",
        lambda run: funnel.first_seat_calls(run, exact_table(run.agreement, run.exact_calls)),
        (*SEQUENCE.columns, CALL),
    ),
    TableFile(
        "doubles_by_auction",
        "How often the responder doubles, by opening and overcall",
        doubled.doubles_by_auction,
        SEQUENCE.columns,
    ),
    TableFile(
        "doubles_by_level",
        "How often the responder doubles, by level of the overcall",
        doubled.doubles_by_level,
        (LEVEL,),
    ),
    TableFile(
        "doubles_by_message",
        "How often the responder doubles, by what the double promises",
        doubled.doubles_by_message,
        (MESSAGE,),
    ),
    TableFile(
        "doubles_by_seat",
        "How often the responder doubles, by seat of the opener",
        doubled.doubles_by_seat,
        (SEAT,),
    ),
    TableFile(
        "doubles_by_reason",
        "The doubles by reason",
        doubled.doubles_by_reason,
        (REASON_GIVEN,),
    ),
    TableFile(
        "meetings",
        "How often one partnership meets each kind of double, and after how many sessions",
        doubled.meetings,
        (GROUPING, CASE),
    ),
    TableFile(
        "topics",
        "The doubles by what a lesson has as one topic, the most frequent first",
        teaching.topics,
        (RANK,),
    ),
    TableFile(
        "topic_parts",
        "The reasons for the double within each topic",
        teaching.parts,
        (TOPIC, REASON_GIVEN),
    ),
    TableFile(
        "cases",
        "The doubles by message, level and reason, the most frequent first",
        teaching.cases,
        (RANK,),
    ),
    TableFile(
        "pitfalls",
        "Cases that are easily got wrong, and those that look like them",
        teaching.pitfalls,
        (PITFALL,),
    ),
    TableFile(
        "points",
        "The doubler's total points by message and level of the overcall",
        responder.points,
        (MESSAGE, LEVEL, POINTS),
    ),
    TableFile(
        "values",
        "Means and quantiles of the doubler's and both hands' points, by level of the overcall",
        responder.values,
        (MEASURE, LEVEL),
    ),
    TableFile(
        "values_by_message",
        "The same by what the double promises",
        responder.values_by_message,
        (MEASURE, MESSAGE),
    ),
    TableFile(
        "patterns",
        "The doubler's shapes, suits aside, by message",
        responder.patterns,
        (MESSAGE, PATTERN),
    ),
    TableFile(
        "lengths",
        "The doubler's cards in each suit by its part in the auction, message and level",
        responder.lengths,
        (MESSAGE, LEVEL, ROLE, CARDS),
    ),
    TableFile(
        "opener_lengths",
        "The opener's cards in its longest promised suit, by message",
        partner.opener_lengths,
        (MESSAGE, OPENER_CARDS),
    ),
    TableFile(
        "promised_fits",
        "How often both hands have eight cards in opener's promised suit, by message and level",
        partner.promised_fits,
        (MESSAGE, LEVEL),
    ),
    TableFile(
        "answers",
        "The opener's answers to the double, by message",
        partner.answers,
        (MESSAGE, ANSWER_GIVEN),
    ),
    TableFile(
        "final_contracts",
        "The final contract, by level of the overcall",
        partner.final_contracts,
        (LEVEL, FINAL_CONTRACT),
    ),
    TableFile(
        "fits",
        "Whether a fit was there and whether it was found, by level of the overcall",
        partner.fits,
        (LEVEL, OUTCOME),
    ),
    TableFile(
        "spade_raises",
        "The opener's spades and answer after a minor, 1♥ and 1♠, which shows five",
        partner.spade_raises,
        (OPENING_BID, OPENER_SPADES, ANSWER_GIVEN),
    ),
    TableFile(
        "without_fit",
        "Final contracts in a suit without eight trumps, by level",
        partner.without_fit,
        (LEVEL, LAST_LEVEL),
    ),
    TableFile(
        "over_trumps",
        "Part-scores in a suit by tricks bid above the combined trumps, with both hands' points",
        partner.over_trumps,
        (LEVEL, OVER_TRUMPS),
    ),
    TableFile(
        "above_trumps",
        "Part-scores in a suit above the level of the trumps, with both hands' points, by level",
        partner.above_trumps,
        (LEVEL,),
    ),
    TableFile(
        "calls_by_level",
        "The responder's calls by level of the overcall",
        given_up.calls_by_level,
        (LEVEL, CALL),
    ),
    TableFile(
        "penalty_passes",
        "The responder's penalty passes beside the doubles, by level of the overcall",
        given_up.penalty_passes,
        (LEVEL,),
    ),
    TableFile(
        "doubles_passed",
        "Doubles that the opener passes for penalties, by level of the overcall",
        given_up.doubles_passed,
        (LEVEL,),
    ),
    *CONTESTED_FILES,
    TableFile(
        "exact",
        "Exact probabilities of overcalls and the responder's calls after an opening in first seat",
        lambda run: exact_table(run.agreement, run.exact_calls),
        (*SEQUENCE.columns, CALL),
    ),
    TableFile(
        "exact_by_auction",
        "The double by opening and overcall, exactly, and opener's cards opposite it, in first seat",
        exact_doubles,
        SEQUENCE.columns,
    ),
    TableFile(
        "checks",
        "The joint tests of the counts against exact values, a row a family of cells",
        lambda run: joint_tests(families(run)),
        (FAMILY,),
    ),
)
"""Every table file, in the order in which the data package lists them."""
