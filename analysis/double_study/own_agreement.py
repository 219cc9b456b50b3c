"""Build a partnership's own agreement in Python: change settings and add rules."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from double_study.agreements import reader
from double_study.agreements.reader import AddedRule, load, shipped
from double_study.cards.bids import Bid
from double_study.conditions import check_known, check_names, parse
from double_study.errors import InputError
from double_study.escape import quoted
from double_study.rules.advancer import ADVANCER
from double_study.rules.answer import ANSWER
from double_study.rules.contested import CONTESTED_ANSWER
from double_study.rules.reopening import REOPENING
from double_study.rules.response import REASON, RESPONSE
from double_study.rules.terms import TERMS, RuleTable, values_of

EXTENSIBLE: dict[str, RuleTable[Any]] = {
    "response": RESPONSE,
    "reason": REASON,
    "advancer": ADVANCER,
    "answer": ANSWER,
    "contested_answer": CONTESTED_ANSWER,
    "reopening": REOPENING,
}
"""The tables of rules to which an agreement may add a rule, by name.

Those of the opening and the overcall are left out because their calls are looked up by classes of
hands, and those of the last calls because their names decide the contract.
"""


class Agreement(reader.Agreement):
    """An agreement of a partnership, as :func:`agreement` returns it; it never changes."""

    def changed(self, key: str, value: Any, name: str | None = None) -> Agreement:
        """Return a copy of the agreement with one setting changed.

        Parameters
        ----------
        key, value
            The setting, as ``double-study agreement --settings`` lists it, such as
            ``"response.double_one"``, and its new value.
        name
            Name of the new agreement; by default the old name with the change after it.

        Raises
        ------
        InputError
            For an unknown setting or a value that is not allowed, with what is.

        Examples
        --------
        >>> import double_study as ds
        >>> ds.agreement("reference").changed("response.double_one", 7).name
        'reference, response.double_one = 7'
        """
        check_known("key", key, reader.REFERENCE.values, "setting")
        made = super().changed(key, value)
        return replace(made, name=_name(f"{self.name}, {key} = {value}", name))  # type: ignore[return-value]

    def with_rule(
        self,
        table: str,
        says: str,
        when: str,
        *,
        before: str | None = None,
        after: str | None = None,
        bid: str = "",
        name: str | None = None,
    ) -> Agreement:
        """Return a copy of the agreement with one more rule.

        The rule is data (texts), so it reaches every worker and the digest of the agreement
        distinguishes it from every other. Counts, exact values and explanations all follow it.

        Parameters
        ----------
        table
            The table of rules: response, reason, advancer, answer, contested_answer or reopening.
        says
            The call, by the name of a rule that the table already has, such as ``"double"``.
        when
            The condition on the hand, over the terms of the rules: hcp, points,
            support_points, clubs, diamonds, hearts, spades, balanced, in_opened, in_overcalled,
            in_promised, stopper, good, opening, level and message.
        before, after
            Name of the rule before or after which to try the new one; give one of the two. If several
            rules have that name, the new one stands before the first or after the last.
        bid
            The bid, such as ``"2H"``, if ``says`` is not a pass or a double. The rule does not
            hold if the bid would be too low.
        name
            Name of the new agreement; by default the old name with the rule after it.

        Raises
        ------
        InputError
            If one of these cannot be used, with what is allowed.

        Examples
        --------
        >>> import double_study as ds
        >>> void = ds.agreement("reference").with_rule(
        ...     "response", "pass", "in_overcalled == 0", before="double", name="void passes"
        ... )
        >>> void.name
        'void passes'
        """
        if table not in EXTENSIBLE:
            raise InputError(
                f"table {quoted(table)} does not exist; allowed: {', '.join(EXTENSIBLE)}"
            )
        rules = EXTENSIBLE[table].under(self).rules
        bids = {rule.name: rule.bid is not None for rule in rules}
        if (before is None) == (after is None):
            raise InputError("give either before or after; allowed: exactly one of the two")
        other = str(before if after is None else after)
        for argument, value in (("says", says), ("after" if before is None else "before", other)):
            check_known(argument, value, bids, f"rule of {table}")
        if after == rules[-1].name:
            raise InputError(
                f"after {after}: the last rule always holds; allowed: before={after!r}"
            )
        if bids[says] != bool(bid):
            allowed = "a bid such as '2H'" if bids[says] else f"None, because {says} is not a bid"
            raise InputError(f"bid {quoted(bid)} does not go with {says}; allowed: {allowed}")
        expression = parse(when, "when")
        check_names(expression, TERMS)
        expression.mask(values_of)
        made = str(Bid.parse(bid)) if bid else ""
        rule = AddedRule(EXTENSIBLE[table].title, says, when, made, after is None, other)
        default = f"{self.name}, {bid or says} if {when}"
        return replace(self, rules=(*self.rules, rule), name=_name(default, name))


def _name(default: str, name: str | None) -> str:
    """Check and return the name of a changed agreement."""
    if name is None:
        return default
    if not name.strip() or not name.isprintable():
        raise InputError(
            f"name {quoted(name)} cannot be printed; allowed: one or more printable characters"
        )
    if name in shipped():
        raise InputError(
            f"name {name} belongs to an agreement that comes with the study; allowed: another name"
        )
    return name


def agreement(name: str | Path | reader.Agreement = "reference") -> Agreement:
    """Return an agreement: the settings of a partnership.

    Its methods ``changed`` and ``with_rule`` return a new agreement that differs in one setting or
    has one more rule. Wherever a function takes an agreement, it takes a name as well.

    Parameters
    ----------
    name
        The name of one that comes with the study, a TOML file of your own
        (``double-study agreement --help``), or the agreement of a run.

    Raises
    ------
    InputError
        If there is none of that name, or the file cannot be used.

    Examples
    --------
    >>> import double_study as ds
    >>> ds.agreement("through_2s").response.double_through.symbol
    '2♠'
    """
    return Agreement(**vars(plain(name)))


def plain(named: str | Path | reader.Agreement) -> reader.Agreement:
    """Return an agreement in the study's internal form, given in any form."""
    known = named if isinstance(named, reader.Agreement) else load(str(named))
    return reader.Agreement(**vars(known))
