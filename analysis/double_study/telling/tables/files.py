"""The table files: which tables a run leaves on disk.

To add a table, add a :class:`TableFile` to :data:`TABLE_FILES`, and any column that is new to
:mod:`double_study.telling.tables.columns`.
"""

from __future__ import annotations

from double_study.checking.comparison import families, joint_tests
from double_study.combinatorics.table import exact_table, next_hands_table
from double_study.rules.terms import SEQUENCE
from double_study.telling.tables import doubles as doubled
from double_study.telling.tables import funnel, given_up, partner, responder, teaching
from double_study.telling.tables.contested import CONTESTED_FILES
from double_study.telling.tables.counted import calls, doubles, passes
from double_study.telling.tables.exact_doubles import exact_doubles
from double_study.telling.tables.table_file import TableFile

RUN_FILE = "run.json"
TABLES_FOLDER = "tables"


TABLE_FILES: tuple[TableFile, ...] = (
    TableFile(
        "calls",
        "The responder's calls by seat of the opener, opening and overcall",
        calls,
        ("seat", *SEQUENCE.columns, "call"),
    ),
    TableFile(
        "doubles",
        "The doubles by seat, auction, message, reason, advancer's call, opener's answer and final "
        "contract",
        doubles,
        (
            "seat",
            *SEQUENCE.columns,
            "message",
            "reason",
            "advancer",
            "answer",
            "final_contract",
        ),
    ),
    TableFile(
        "passes",
        "The responder's passes by seat, auction, kind, advancer's call and opener's reopening",
        passes,
        ("seat", *SEQUENCE.columns, "call", "advancer", "reopening"),
    ),
    TableFile(
        "funnel",
        "Openings of one of a suit, overcalls, overcalls within reach of the double, doubles",
        funnel.funnel,
        ("step",),
    ),
    TableFile(
        "funnel_by_seat",
        "The same by seat of the opener, beside exact values for the first seat",
        lambda run: funnel.funnel_by_seat(
            run, exact_table(run.agreement, run.exact_calls), next_hands_table(run.agreement)
        ),
        ("seat", "step"),
    ),
    TableFile(
        "first_seat_calls",
        "Overcalls and the responder's calls after an opening in first seat, beside exact values",
        lambda run: funnel.first_seat_calls(run, exact_table(run.agreement, run.exact_calls)),
        (*SEQUENCE.columns, "call"),
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
        ("level",),
    ),
    TableFile(
        "doubles_by_message",
        "How often the responder doubles, by what the double promises",
        doubled.doubles_by_message,
        ("message",),
    ),
    TableFile(
        "doubles_by_seat",
        "How often the responder doubles, by seat of the opener",
        doubled.doubles_by_seat,
        ("seat",),
    ),
    TableFile(
        "doubles_by_reason",
        "The doubles by reason",
        doubled.doubles_by_reason,
        ("reason",),
    ),
    TableFile(
        "meetings",
        "How often one partnership meets each kind of double, and after how many sessions",
        doubled.meetings,
        ("grouping", "case"),
    ),
    TableFile(
        "topics",
        "The doubles by what a lesson has as one topic, the most frequent first",
        teaching.topics,
        ("rank",),
    ),
    TableFile(
        "topic_parts",
        "The reasons for the double within each topic",
        teaching.parts,
        ("topic", "reason"),
    ),
    TableFile(
        "cases",
        "The doubles by message, level and reason, the most frequent first",
        teaching.cases,
        ("rank",),
    ),
    TableFile(
        "pitfalls",
        "Cases that are easily got wrong, and those that look like them",
        teaching.pitfalls,
        ("pitfall",),
    ),
    TableFile(
        "points",
        "The doubler's total points by message and level of the overcall",
        responder.points,
        ("message", "level", "total_points"),
    ),
    TableFile(
        "values",
        "Means and quantiles of the doubler's and both hands' points, by level of the overcall",
        responder.values,
        ("measure", "level"),
    ),
    TableFile(
        "values_by_message",
        "The same by what the double promises",
        responder.values_by_message,
        ("measure", "message"),
    ),
    TableFile(
        "patterns",
        "The doubler's shapes, suits aside, by message",
        responder.patterns,
        ("message", "pattern"),
    ),
    TableFile(
        "lengths",
        "The doubler's cards in each suit by its part in the auction, message and level",
        responder.lengths,
        ("message", "level", "role", "cards"),
    ),
    TableFile(
        "opener_lengths",
        "The opener's cards in its longest promised suit, by message",
        partner.opener_lengths,
        ("message", "opener_cards"),
    ),
    TableFile(
        "promised_fits",
        "How often both hands have eight cards in opener's promised suit, by message and level",
        partner.promised_fits,
        ("message", "level"),
    ),
    TableFile(
        "answers",
        "The opener's answers to the double, by message",
        partner.answers,
        ("message", "answer"),
    ),
    TableFile(
        "final_contracts",
        "The final contract, by level of the overcall",
        partner.final_contracts,
        ("level", "final_contract"),
    ),
    TableFile(
        "fits",
        "Whether a fit was there and whether it was found, by level of the overcall",
        partner.fits,
        ("level", "outcome"),
    ),
    TableFile(
        "spade_raises",
        "The opener's spades and answer after a minor, 1♥ and 1♠, which shows five",
        partner.spade_raises,
        ("opening", "opener_spades", "answer"),
    ),
    TableFile(
        "without_fit",
        "Final contracts in a suit without eight trumps, by level",
        partner.without_fit,
        ("level", "last_level"),
    ),
    TableFile(
        "over_trumps",
        "Part-scores in a suit by tricks bid above the combined trumps, with both hands' points",
        partner.over_trumps,
        ("level", "over_trumps"),
    ),
    TableFile(
        "above_trumps",
        "Part-scores in a suit above the level of the trumps, with both hands' points, by level",
        partner.above_trumps,
        ("level",),
    ),
    TableFile(
        "calls_by_level",
        "The responder's calls by level of the overcall",
        given_up.calls_by_level,
        ("level", "call"),
    ),
    TableFile(
        "penalty_passes",
        "The responder's penalty passes beside the doubles, by level of the overcall",
        given_up.penalty_passes,
        ("level",),
    ),
    TableFile(
        "doubles_passed",
        "Doubles that the opener passes for penalties, by level of the overcall",
        given_up.doubles_passed,
        ("level",),
    ),
    *CONTESTED_FILES,
    TableFile(
        "exact",
        "Exact probabilities of overcalls and the responder's calls after an opening in first seat",
        lambda run: exact_table(run.agreement, run.exact_calls),
        (*SEQUENCE.columns, "call"),
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
        ("family",),
    ),
)
"""Every table file, in the order in which the data package lists them."""
