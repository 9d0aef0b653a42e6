"""What operators and functions mean, whatever a control spells them with.

Angles are degrees. An empty value (None) counts as 0, except that ``eq`` and
``ne`` tell it from every number. Whatever meets an unknown value is unknown.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeAlias

from gen.plan.expression import to_integer
from gen.reader.failure import Alarm
from gen.reader.unknown import Unknown

Value: TypeAlias = float | Unknown | None
"""A number, an empty value, or one that is not known."""
_Function: TypeAlias = Callable[[float], float]
BinaryOperation: TypeAlias = Callable[[Value, Value], Value]

FUNCTIONS: dict[str, _Function] = {
    "abs": abs,
    "acos": lambda x: math.degrees(math.acos(x)),
    "asin": lambda x: math.degrees(math.asin(x)),
    "atan": lambda x: math.degrees(math.atan(x)),
    "ceil": lambda x: to_integer("ceil", x),
    "cos": lambda x: math.cos(x * math.pi / 180),
    "exp": math.exp,
    "floor": lambda x: to_integer("floor", x),
    "ln": math.log,
    "round": lambda x: to_integer("round", x),
    "round-away": lambda x: math.copysign(math.ceil(abs(x)), x),
    "sin": lambda x: math.sin(x * math.pi / 180),
    "sqrt": math.sqrt,
    "tan": lambda x: math.tan(x * math.pi / 180),
    "truncate": lambda x: float(math.trunc(x)),
}

ATAN_PAIR = "atan2"
EXISTS = "exists"


def _modulo(a: float, b: float) -> float:
    rest = math.fmod(a, b)
    return rest + abs(b) if rest < 0 else rest


def _power(a: float, b: float) -> float:
    result = a**b
    if isinstance(result, complex):
        raise ValueError
    return float(result)


class Formula:
    """A value that is not one number but a formula over registers; see :mod:`gen.reader.all_states`.

    Its operators do what they do for numbers; a comparison says which of the two is so in the case at hand.
    """

    __slots__ = ()

    def function(self, meaning: str) -> float:
        """The function ``meaning`` of this value."""
        raise TypeError("every kind of formula works this out itself")

    def near(self, other: float, within: float) -> bool:
        """Whether this value and ``other`` differ by less than ``within``, or not at all."""
        raise TypeError("every kind of formula works this out itself")


_ARITHMETIC: dict[str, Callable[[float, float], float]] = {
    "add": lambda a, b: a + b,
    "subtract": lambda a, b: a - b,
    "multiply": lambda a, b: a * b,
    "divide": lambda a, b: a / b,
    "modulo": _modulo,
    "power": _power,
    "and": lambda a, b: float(a != 0 and b != 0),
    "or": lambda a, b: float(a != 0 or b != 0),
    "xor": lambda a, b: float((a != 0) != (b != 0)),
    "bit-and": lambda a, b: float(int(a) & int(b)),
    "bit-or": lambda a, b: float(int(a) | int(b)),
    "bit-xor": lambda a, b: float(int(a) ^ int(b)),
    "lt": lambda a, b: float(a < b),
    "le": lambda a, b: float(a <= b),
    "ge": lambda a, b: float(a >= b),
    "gt": lambda a, b: float(a > b),
}

OPERATORS = frozenset({*_ARITHMETIC, "eq", "ne"})


def operator(meaning: str, equal_within: float) -> BinaryOperation:
    """The operator ``meaning``; ``eq`` and ``ne`` let values differ by less than ``equal_within``."""
    if meaning in ("eq", "ne"):
        wanted = meaning == "eq"
        return _of_known(lambda a, b: float(_equal(a, b, equal_within) is wanted))
    return _of_numbers(_ARITHMETIC[meaning])


def _of_numbers(compute: Callable[[float, float], float]) -> BinaryOperation:
    """``compute``, of values of which an empty one counts as 0."""
    return _of_known(lambda a, b: finite(compute, 0.0 if a is None else a, 0.0 if b is None else b))


def _of_known(compute: Callable[[float | None, float | None], float]) -> BinaryOperation:
    """``compute``, of values that may be unknown, as it is then."""

    def apply(a: Value, b: Value) -> Value:
        if isinstance(a, Unknown):
            return a
        return b if isinstance(b, Unknown) else compute(a, b)

    return apply


def _equal(a: float | None, b: float | None, within: float) -> bool:
    if a is None or b is None:
        return a is b
    if isinstance(a, Formula):
        return a.near(b, within)
    if isinstance(b, Formula):
        return b.near(a, within)
    return a == b or abs(a - b) < within


def finite(compute: Callable[..., float], *arguments: float) -> float:
    """``compute(*arguments)``, never infinite, NaN or -0. :class:`Alarm` if there is no such number."""
    try:
        result = compute(*arguments)
    except (ArithmeticError, ValueError):
        raise Alarm("this has no value: a division by zero, or a function outside its range") from None
    if isinstance(result, Formula):
        return result
    if not math.isfinite(result):
        raise Alarm("this grows past every number")
    return result + 0.0


def function(meaning: str) -> Callable[[Value], Value]:
    """The function ``meaning`` of one value."""
    plain = FUNCTIONS[meaning]

    def apply(x: Value) -> Value:
        if isinstance(x, Unknown):
            return x
        if isinstance(x, Formula):
            return x.function(meaning)
        return finite(plain, 0.0 if x is None else x)

    return apply


angle_of: BinaryOperation = _of_numbers(lambda y, x: math.degrees(math.atan2(y, x)))
"""The angle of the direction (x, y), of y and x, -180 to 180 degrees."""


def negative(value: Value) -> Value:
    """``value`` with the other sign."""
    if value is None or isinstance(value, Unknown):
        return 0.0 if value is None else value
    return 0.0 - value
