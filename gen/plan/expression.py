"""Small expressions over the state of wheel and stick.

The physics is written once, over anything that adds, subtracts, multiplies and
divides. Given numbers it yields numbers; given a :class:`Var` it yields a tree
that a control with variables can spell and :func:`evaluate` can work out.

Arithmetic is IEEE double, operator by operator in the order written, as the
controls do it, so that both give the same digits.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any, Literal, TypeAlias, get_args

from gen.base.dataclass import dataclass

Binary = Literal["add", "subtract", "multiply", "divide"]
Rounding = Literal["round", "floor", "ceil"]
Comparison = Literal["lt", "le", "eq", "ne", "ge", "gt"]

_ARITHMETIC: dict[Binary, Callable[[Any, Any], Any]] = {
    "add": operator.add,
    "subtract": operator.sub,
    "multiply": operator.mul,
    "divide": operator.truediv,
}
_COMPARED: dict[Comparison, Callable[[float, float], bool]] = {
    name: getattr(operator, name) for name in get_args(Comparison)
}


class Expr:
    """A node of an expression. Operators build larger ones; numbers join as :class:`Num`."""

    __slots__ = ()

    def __add__(self, other: Operand) -> Expr:
        return _combine("add", self, other)

    def __radd__(self, other: Operand) -> Expr:
        return _combine("add", other, self)

    def __sub__(self, other: Operand) -> Expr:
        return _combine("subtract", self, other)

    def __rsub__(self, other: Operand) -> Expr:
        return _combine("subtract", other, self)

    def __mul__(self, other: Operand) -> Expr:
        return _combine("multiply", self, other)

    def __rmul__(self, other: Operand) -> Expr:
        return _combine("multiply", other, self)

    def __truediv__(self, other: Operand) -> Expr:
        return _combine("divide", self, other)

    def __rtruediv__(self, other: Operand) -> Expr:
        return _combine("divide", other, self)


@dataclass(frozen=True, slots=True)
class Num(Expr):
    """A constant, exactly as it will be written."""

    value: Decimal


@dataclass(frozen=True, slots=True)
class Var(Expr):
    """A quantity known only when the program runs.

    ``kind`` is ``register`` for one that outlives the program (a number the
    machine file gives) and ``local`` for one that a ``Let`` of the plan made.
    """

    name: str
    kind: Literal["register", "local"] = "local"


@dataclass(frozen=True, slots=True)
class Operation(Expr):
    op: Binary
    left: Expr
    right: Expr


@dataclass(frozen=True, slots=True)
class Rounded(Expr):
    """``value`` to a whole number: ``round`` is half away from zero, ``floor`` down, ``ceil`` up."""

    how: Rounding
    value: Expr


@dataclass(frozen=True, slots=True)
class Condition:
    """``left`` compared with ``right``. Not an :class:`Expr`: no arithmetic is done on truth."""

    op: Comparison
    left: Expr
    right: Expr


Operand: TypeAlias = Expr | int | Decimal


def num(value: Operand) -> Expr:
    """``value`` as an expression; a number must be finite."""
    if isinstance(value, Expr):
        return value
    number = Decimal(value)
    if not number.is_finite():
        raise ValueError(f"{value!r} is not a finite number")
    return Num(number)


def constant(value: float, significant: int) -> Decimal:
    """``value`` rounded to ``significant`` digits, the way it will stand in a program."""
    if not math.isfinite(value):
        raise ValueError(f"{value!r} is not a finite number")
    return Decimal(f"{value:.{significant - 1}e}")


def scaled(value: Expr, factor: float, significant: int) -> Expr:
    """``value · factor``, written with a constant of at least 1 so that no digit of it is lost.

    A control keeps a fixed count of decimals, so 0.00078539816 would be cut
    where 1273.2395 is not.
    """
    if abs(factor) >= 1 or factor == 0:
        return value * constant(factor, significant)
    return value / constant(1 / factor, significant)


def on_grid(how: Rounding, value: Expr, grid: Decimal) -> Expr:
    """``value`` brought onto multiples of ``grid`` (a power of ten, or 1)."""
    if isinstance(value, Num):
        return Num(to_grid(how, value.value, grid))
    per_unit = 1 / grid
    if per_unit == 1:
        return Rounded(how, value)
    return Rounded(how, value * per_unit) / per_unit


def further(place: Expr, by: Operand, sign: int) -> Expr:
    """``place`` and ``by`` further in the direction ``sign``, 1 or -1."""
    return place + by if sign > 0 else place - by


def place_on_grid(how: Rounding, start: Decimal, by: Expr, sign: int, least: float, grid: Decimal) -> Expr:
    """What is ``by`` further than ``start``, and never below ``least``, brought onto multiples of ``grid``.

    Where it may be negative it is shifted by a whole number first: controls differ in whether they round a negative
    number down or toward zero.
    """
    shift = 0 if least > 1 else math.ceil((2 - least) / 1000) * 1000
    return on_grid(how, further(num(start + shift), by, sign), grid) - shift


def to_grid(how: Rounding, value: Decimal, grid: Decimal) -> Decimal:
    """The number ``value`` brought onto multiples of ``grid``."""
    modes = {"round": "ROUND_HALF_UP", "floor": "ROUND_FLOOR", "ceil": "ROUND_CEILING"}
    return (value / grid).quantize(Decimal(1), rounding=modes[how]) * grid


def _combine(op: Binary, left: Operand, right: Operand) -> Expr:
    a, b = num(left), num(right)
    if isinstance(a, Num) and isinstance(b, Num) and op != "divide":
        return Num(_ARITHMETIC[op](a.value, b.value))
    if isinstance(b, Num):
        if b.value == 0 and op in ("add", "subtract"):
            return a
        if b.value == 1 and op in ("multiply", "divide"):
            return a
    if isinstance(a, Num) and a.value == 0 and op == "add":
        return b
    return Operation(op, a, b)


def evaluate(expr: Expr, values: Mapping[str, float]) -> float:
    """The number ``expr`` stands for, given ``values`` by name. ``KeyError`` if one is missing."""
    match expr:
        case Num():
            return float(expr.value)
        case Var():
            return values[expr.name]
        case Rounded():
            return to_integer(expr.how, evaluate(expr.value, values))
        case Operation():
            return float(_ARITHMETIC[expr.op](evaluate(expr.left, values), evaluate(expr.right, values)))
    raise TypeError(f"not an expression: {expr!r}")


def holds(condition: Condition, values: Mapping[str, float]) -> bool:
    """Whether ``condition`` is true, given ``values`` by name."""
    return _COMPARED[condition.op](evaluate(condition.left, values), evaluate(condition.right, values))


def to_integer(how: Rounding, value: float) -> float:
    """``value`` to a whole number; ties of ``round`` go away from zero, as controls do it."""
    if how == "floor":
        return float(math.floor(value))
    if how == "ceil":
        return float(math.ceil(value))
    whole = math.floor(abs(value))
    return math.copysign(whole + (abs(value) - whole >= 0.5), value) + 0.0


def names(expr: Expr) -> set[str]:
    """The names of every :class:`Var` in ``expr``."""
    match expr:
        case Var():
            return {expr.name}
        case Rounded():
            return names(expr.value)
        case Operation():
            return names(expr.left) | names(expr.right)
    return set()
