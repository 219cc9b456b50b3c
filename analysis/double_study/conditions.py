"""Parse and evaluate conditions that a user writes, such as ``call == 'double' and level <= 2``.

The syntax is a part of that of pandas' queries: names of columns, whole and
decimal numbers, quoted names of categories, ``+`` and ``-``, comparisons (also chained), ``in`` and
``not in`` a list of values, ``and``, ``or``, ``not`` and parentheses. Python parses the text and this
module walks the tree; nothing is ever passed to ``eval``, so text from a stranger is safe.

A comparison with a missing value is false, and so is its denial: a deal on which the advancer never
calls meets neither ``advancer == 'pass'`` nor ``not advancer == 'pass'`` nor ``advancer != 'pass'``.
"""

import ast
import operator
import warnings
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property, lru_cache, partial, reduce
from typing import Any, NoReturn

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from double_study.errors import InputError
from double_study.escape import quoted, shortened

Array = NDArray[Any]
Mask = NDArray[np.bool_]

LONGEST_TEXT = 2000
LARGEST = 10**9
"""The largest number in an expression; no column comes near it."""

_DENIALS = (ast.Eq, ast.NotEq), (ast.Lt, ast.GtE), (ast.Gt, ast.LtE), (ast.In, ast.NotIn)
_NOT: dict[type[ast.cmpop], type[ast.cmpop]] = {
    one: other for pair in _DENIALS for one, other in (pair, pair[::-1])
}
# fmt: off
_COMPARE: dict[type[ast.cmpop], Callable[[Any, Any], Any]] = {
    ast.Eq: operator.eq, ast.NotEq: operator.ne, ast.Lt: operator.lt, ast.GtE: operator.ge,
    ast.Gt: operator.gt, ast.LtE: operator.le, ast.In: np.isin,
    ast.NotIn: partial(np.isin, invert=True),
}
_ARITHMETIC: dict[type[ast.AST], Callable[..., Any]] = {
    ast.Add: operator.add, ast.Sub: operator.sub, ast.UAdd: operator.pos, ast.USub: operator.neg,
}
# fmt: on


@dataclass(frozen=True)
class Values:
    """The values of a column in an expression.

    ``array`` has numbers, or codes that count along ``names``, of shape (rows,). ``missing``: which
    of them are missing. ``flag``: whether the numbers are 0 and 1 for no and yes, so that the column
    is a condition by itself.
    """

    array: Array
    names: tuple[Any, ...] | None = None
    flag: bool = False
    missing: Mask | None = None

    def known(self, met: Mask) -> Mask:
        """Return ``met``, but false in the rows in which the column is missing."""
        return met if self.missing is None else met & ~self.missing


Read = Callable[[str], Values]


def near(name: object, allowed: Iterable[object]) -> str:
    """Return the known names that are similar to a mistyped one, or all if there are none."""
    names = [str(one) for one in allowed]
    return ", ".join(get_close_matches(str(name), names, 5, 0.5) or names)


def check_known(argument: str, name: object, allowed: Collection[str], thing: str) -> None:
    """Raise :class:`InputError`, with those that are near it, for a name that is not ``allowed``."""
    if name not in allowed:
        raise InputError(
            f"{argument}: there is no {thing} {quoted(name)}; allowed: {near(name, allowed)}"
        )


@dataclass(frozen=True, eq=False)
class Expression:
    """A condition, parsed; ``argument`` is what a message calls it, such as ``where``."""

    text: str
    argument: str
    tree: ast.expr

    @cached_property
    def names(self) -> tuple[str, ...]:
        found = (node.id for node in ast.walk(self.tree) if isinstance(node, ast.Name))
        return tuple(dict.fromkeys(found))

    def mask(self, read: Read) -> Mask:
        """Return which rows meet the condition; bool of shape (rows,).

        ``read`` returns a column by name. Raises :class:`InputError` if a comparison makes no
        sense, whatever the rows, so that a condition can be checked on columns without rows.
        """
        return _Walk(self, {name: read(name) for name in self.names}).condition(self.tree, False)

    def refuse(self, why: str) -> NoReturn:
        raise InputError(f"{self.argument} {quoted(self.text)}: {why}")


_ALLOWED = (
    "allowed: columns, numbers, quoted names, + and -, comparisons, in a list, and, or, not, "
    "parentheses"
)
# fmt: off
_PART = {
    ast.Call: "a call of a function", ast.Attribute: "a dot after a name",
    ast.Subscript: "square brackets after a name", ast.Lambda: "a function",
    ast.JoinedStr: "an f-string", ast.NamedExpr: "an assignment", ast.Starred: "a star",
    ast.IfExp: "if and else", ast.BitAnd: "&; write and", ast.BitOr: "|; write or",
    ast.Invert: "~; write not",
}
_KNOWN = (
    ast.BoolOp, ast.And, ast.Or, ast.UnaryOp, ast.Not, ast.UAdd, ast.USub, ast.BinOp, ast.Add,
    ast.Sub, ast.Compare, *_NOT, ast.Name, ast.Load, ast.Constant, ast.List, ast.Tuple, ast.Set,
)
# fmt: on


def parse(text: str, argument: str = "where") -> Expression:
    """Parse ``text``; raise :class:`InputError` for anything other than a condition."""
    if not isinstance(text, str) or not text.strip():
        raise InputError(
            f"{argument} {quoted(text)}: this is not text; allowed: a condition such as "
            "\"call == 'double'\""
        )
    return _parsed(text, argument)


@lru_cache(maxsize=1000)
def _parsed(text: str, argument: str) -> Expression:
    refuse = Expression(text, argument, ast.Constant(None)).refuse
    if len(text) > LONGEST_TEXT:
        refuse(f"this is longer than {LONGEST_TEXT} characters; allowed: a shorter condition")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # of an unknown escape sequence in a quoted name
            tree = ast.parse(text.strip(), mode="eval").body
        for node in ast.walk(tree):
            if not isinstance(node, _KNOWN):
                what = _PART.get(type(node), f"{type(node).__name__} of Python")
                refuse(f"it has {what}; {_ALLOWED}")
            if isinstance(node, ast.Constant):
                _check(node.value, refuse)
        _check_depth(tree)
    except (SyntaxError, ValueError, MemoryError, RecursionError, Warning) as error:
        reason = getattr(error, "msg", None) or "nested too deeply"
        refuse(f"this is not a condition ({reason}); {_ALLOWED}")
    return Expression(text, argument, tree)


def _check(value: object, refuse: Callable[[str], NoReturn]) -> None:
    """Refuse a constant that is neither a quoted name nor a number within the limit."""
    number = isinstance(value, int | float) and abs(value) <= LARGEST
    if not (number or isinstance(value, str)):
        refuse(
            f"{quoted(value)} cannot be used; allowed: quoted names, and numbers up to {LARGEST:,}"
        )


_DEEPEST = 50


def _check_depth(tree: ast.AST, depth: int = 1) -> None:
    """Raise ``RecursionError`` for a tree that is nested too deeply to be walked safely."""
    if depth > _DEEPEST:
        raise RecursionError
    for child in ast.iter_child_nodes(tree):
        _check_depth(child, depth + 1)


@dataclass(frozen=True)
class _Walk:
    expression: Expression
    columns: dict[str, Values]

    def condition(self, node: ast.expr, denied: bool) -> Mask:
        """Return where a condition is true, or where its denial is."""
        match node:
            case ast.BoolOp():
                both = isinstance(node.op, ast.And) != denied
                met = [self.condition(value, denied) for value in node.values]
                return reduce(operator.and_ if both else operator.or_, met)
            case ast.UnaryOp(op=ast.Not()):
                return self.condition(node.operand, not denied)
            case ast.Compare():
                return self._comparison(node, denied)
            case ast.Name() if self.columns[node.id].flag:
                column = self.columns[node.id]
                return column.known((column.array == 0) if denied else (column.array == 1))
        self._refuse(node, "is not a condition; allowed: a comparison, such as level == 1")

    def _comparison(self, node: ast.Compare, denied: bool) -> Mask:
        sides = [self._operand(side) for side in (node.left, *node.comparators)]
        pairs = [
            self._pair(type(op), left, right, node, denied)
            for op, left, right in zip(node.ops, sides, sides[1:], strict=False)
        ]
        return reduce(operator.or_ if denied else operator.and_, pairs)

    def _operand(self, node: ast.expr) -> Any:
        """Return a column, a number, a quoted name, or a list of the last two."""
        match node:
            case ast.Name():
                return self.columns[node.id]
            case ast.Constant():
                return node.value
            case ast.List() | ast.Tuple() | ast.Set():
                values = [self._operand(value) for value in node.elts]
                if any(isinstance(value, Values | list) for value in values):
                    self._refuse(node, "is not a list of numbers or quoted names")
                return values
            case ast.UnaryOp() if not isinstance(node.op, ast.Not):
                return self._arithmetic(node, node.op, node.operand)
            case ast.BinOp():
                return self._arithmetic(node, node.op, node.left, node.right)
        self._refuse(node, "stands where a column, a number or a quoted name is needed")

    def _arithmetic(self, node: ast.expr, op: ast.AST, *parts: ast.expr) -> Any:
        sides = [self._operand(part) for part in parts]
        if any(isinstance(s, str | list) or getattr(s, "names", None) is not None for s in sides):
            self._refuse(node, "adds or subtracts something other than a number")
        columns = [side for side in sides if isinstance(side, Values)]
        gaps = [side.missing for side in columns if side.missing is not None]
        numbers = [
            side.array.astype(np.promote_types(side.array.dtype, np.int32))
            if isinstance(side, Values)
            else side
            for side in sides
        ]
        result = _ARITHMETIC[type(op)](*numbers)
        return (
            Values(result, missing=reduce(operator.or_, gaps) if gaps else None)
            if columns
            else result
        )

    def _pair(
        self, op: type[ast.cmpop], left: Any, right: Any, node: ast.Compare, denied: bool
    ) -> Mask:
        within = op in (ast.In, ast.NotIn)
        if within != isinstance(right, list) or isinstance(left, list):
            self._refuse(node, "must use in with a list, and only with a list: level in [1, 2]")
        if not isinstance(left, Values) and not isinstance(right, Values):
            self._refuse(node, "names no column")
        one, other = self._comparable(left, right, node), self._comparable(right, left, node)
        met = _COMPARE[_NOT[op] if denied else op](one, other)
        for side in (left, right):
            if isinstance(side, Values):
                met = side.known(met)
        return met

    def _comparable(self, side: Any, other: Any, node: ast.Compare) -> Any:
        """Return one side of a comparison as NumPy compares it: an array, a number, a code or a list."""
        names = other.names if isinstance(other, Values) else None
        if isinstance(side, list):
            return [self._comparable(value, other, node) for value in side]
        if isinstance(side, Values):
            if isinstance(other, Values) and side.names != names:
                self._refuse(node, "compares two columns of different kinds")
            return side.array
        if names is None:
            if isinstance(side, str):
                self._refuse(node, f"compares a number with the name {quoted(side)}")
            return side
        if side not in names:
            self._refuse(node, f"no category {quoted(side)} there; allowed: {near(side, names)}")
        return names.index(side)

    def _refuse(self, node: ast.AST, why: str) -> NoReturn:
        text, clause = ast.unparse(node), not why.startswith("no ")
        if text == self.expression.text:
            self.expression.refuse(f"it {why}" if clause else why)
        self.expression.refuse(f"{shortened(text)}{' ' if clause else ': '}{why}")


def of_frame(table: pd.DataFrame) -> Read:

    def read(name: str) -> Values:
        column = table[name]
        missing = column.isna().to_numpy()
        gaps = missing if missing.any() else None
        if isinstance(column.dtype, pd.CategoricalDtype):
            return Values(column.cat.codes.to_numpy(), tuple(column.cat.categories), missing=gaps)
        if pd.api.types.is_bool_dtype(column.dtype):
            return Values(column.fillna(False).to_numpy(np.int8), flag=True, missing=gaps)
        if pd.api.types.is_numeric_dtype(column.dtype):
            return Values(column.fillna(0).to_numpy(), missing=gaps)
        codes, names = pd.factorize(column)
        return Values(codes, tuple(names), missing=gaps)

    return read


def check_names(expression: Expression, allowed: Iterable[str]) -> None:
    """Raise :class:`InputError` for a name that is no column, with those that are near it."""
    known = list(allowed)
    for name in expression.names:
        if name not in known:
            expression.refuse(f"there is no column {quoted(name)}; allowed: {near(name, known)}")
