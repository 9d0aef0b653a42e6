"""Formulas over unknowns, in one normal form: two that are written alike are equal wherever they have a value.

A formula is a sum of products of unknowns with exact fractions before them:
decimals as they are spelled, not the doubles next to them. An unknown is a
register, a position, the whole part of a formula, or one divided by a sum.
Every rounding is spelled with the whole part: ``ceil`` x is −⌊−x⌋, ``round`` of
what is not negative ⌊x + ½⌋, and whole numbers are taken out of the brackets.

Controls work with a limited count of digits. What this form leaves out, a
difference of rounding in the last of them, stays small only if no large numbers
cancel each other, so that such sums are not followed (:data:`LARGEST`).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction
from functools import lru_cache
from typing import Protocol, TypeAlias, cast

from gen.base.dataclass import dataclass
from gen.reader.all_states.reals import Exact, Real, Reals, numbers_between
from gen.reader.operators import Formula

Product: TypeAlias = tuple[tuple[int, int], ...]
"""Unknowns by number, each with its exponent, in the order of their numbers; empty: the number 1."""

Terms: TypeAlias = dict[Product, Exact]
"""Products with what stands before each; none of them 0."""

TermsKey: TypeAlias = tuple[tuple[Product, Exact], ...]
"""Terms in their order, to look up by."""

ONE: Product = ()

LARGEST = 1000
"""How much larger than what is left a number may be that cancels another: of nine digits, six remain."""

_MOST_TERMS, _MOST_BITS, _MOST_EXPONENT = 60, 600, 12


class NotFollowed(Exception):
    """What the reading over all states cannot follow; ``str()`` says what."""


@dataclass
class Unknowns:
    """The unknowns of one comparison, by number: what each is, and for what is worked out of a formula, its terms."""

    names: list[tuple[str, object]] = field(default_factory=list)
    insides: dict[int, Terms] = field(default_factory=dict)
    _numbers: dict[tuple[str, object], int] = field(default_factory=dict)

    def number(self, kind: str, what: object, inside: Terms | None = None) -> int:
        """The number of the unknown of ``kind`` that ``what`` tells from others of its kind."""
        found = self._numbers.get((kind, what))
        if found is None:
            found = self._numbers[kind, what] = len(self.names)
            self.names.append((kind, what))
            if inside is not None:
                self.insides[found] = inside
        return found


@lru_cache(20_000)
def exact(value: float) -> Exact:
    """The decimal that ``value`` is spelled with."""
    if not math.isfinite(value):
        raise NotFollowed("this number is not finite")
    return int(value) if value.is_integer() else Fraction(repr(value))


def reciprocal(value: Exact) -> Exact:
    """1 divided by ``value``, which is not 0."""
    return value if value.denominator == 1 and abs(value) == 1 else Fraction(1) / value


def key_of(terms: Terms) -> TermsKey:
    return tuple(sorted(terms.items())) if len(terms) > 1 else tuple(terms.items())


class Region(Protocol):
    """The states that a formula is worked out for, as far as they have been told apart."""

    def decide(self, terms: Terms, truth: Reals) -> bool:
        """Whether the value of ``terms`` is in ``truth``."""

    def bounds(self, terms: Terms) -> tuple[Real, Real]:
        """The least and the greatest value that ``terms`` may have."""

    def floor(self, terms: Terms) -> float:
        """The whole part of ``terms``."""

    def inverse(self, terms: Terms) -> Terms:
        """1 divided by ``terms``. ``ZeroDivisionError`` where they are 0."""


NAUGHT = numbers_between(0, 0)
_NEGATIVE, _NOT_POSITIVE = (numbers_between(-math.inf, 0, ends=naught) for naught in (False, True))


class Symbol(Formula):
    """A formula on one path. Arithmetic makes new ones; a comparison is decided by the path, which may fork."""

    __slots__ = ("path", "terms")

    def __init__(self, path: Region, terms: Terms) -> None:
        self.path = path
        self.terms = terms

    # -- arithmetic

    def __add__(self, other: object) -> float:
        return self._sum(self.terms, _terms(other), 1)

    __radd__ = __add__

    def __sub__(self, other: object) -> float:
        return self._sum(self.terms, _terms(other), -1)

    def __rsub__(self, other: object) -> float:
        return self._sum(_terms(other), self.terms, -1)

    def __neg__(self) -> float:
        return made(self.path, multiplied(self.terms, -1))

    def __mul__(self, other: object) -> float:
        return made(self.path, _multiplied(self.terms, _terms(other)))

    __rmul__ = __mul__

    def __truediv__(self, other: object) -> float:
        return made(self.path, _multiplied(self.terms, self.path.inverse(_terms(other))))

    def __rtruediv__(self, other: object) -> float:
        return made(self.path, _multiplied(_terms(other), self.path.inverse(self.terms)))

    def __abs__(self) -> float:
        return -self if self < 0 else cast(float, self)

    def __round__(self, digits: int | None = None) -> float:
        """To nine decimals: the doubles' own last digits, which exact fractions do not have."""
        if digits is None or digits < 9:
            raise NotFollowed("a whole number is wanted here, and this depends on a register")
        return cast(float, self)

    def function(self, meaning: str) -> float:
        match meaning:
            case "floor":
                return self.path.floor(self.terms)
            case "ceil":
                return self._upward()
            case "abs":
                return abs(self)
            case "round":
                half: Terms = {ONE: Fraction(1, 2)}
                if self < 0:
                    return 0.0 - self.path.floor(_added(multiplied(self.terms, -1), half, 1))
                return self.path.floor(_added(self.terms, half, 1))
            case "truncate":
                return self._upward() if self < 0 else self.path.floor(self.terms)
            case "round-away":
                return self.path.floor(self.terms) if self < 0 else self._upward()
        raise NotFollowed(f"the function {meaning} of a register is not worked out over all states")

    def _upward(self) -> float:
        return 0.0 - self.path.floor(multiplied(self.terms, -1))

    def _sum(self, one: Terms, other: Terms, sign: int) -> float:
        found = _added(one, other, sign)
        cancelled: list[Fraction] = []
        for product, count in other.items():
            before = one.get(product)
            if before is not None and (before < 0) != (count * sign < 0):
                cancelled.append(min(self._size(product, before), self._size(product, count)))
        if cancelled:
            left = max([self._size(product, count) for product, count in found.items()] or [Fraction(1)])
            if max(cancelled) > LARGEST * left:
                raise NotFollowed("large numbers cancel each other here, and a control keeps a few digits only")
        return made(self.path, found)

    def _size(self, product: Product, count: Exact) -> Fraction:
        """The most that this term can come to on this path, as far as that is known."""
        low, high = self.path.bounds({product: count})
        if isinstance(low, float) or isinstance(high, float):
            low = high = count
        return max(abs(Fraction(low)), abs(Fraction(high)))

    # -- conditions

    def near(self, other: float | None, within: float) -> bool:
        if other is None:
            return False
        if within == 0:
            return self == other
        apart = exact(within)
        return self._decided(other, numbers_between(-apart, apart, ends=False))

    def __lt__(self, other: object) -> bool:
        return self._decided(other, _NEGATIVE)

    def __le__(self, other: object) -> bool:
        return self._decided(other, _NOT_POSITIVE)

    def __gt__(self, other: object) -> bool:
        return not self <= other

    def __ge__(self, other: object) -> bool:
        return not self < other

    def __eq__(self, other: object) -> bool:
        if other is None or self is other:
            return other is not None
        return self._decided(other, NAUGHT)

    def __ne__(self, other: object) -> bool:
        return not self == other

    __hash__ = object.__hash__

    def __bool__(self) -> bool:
        return self != 0

    def _decided(self, other: object, truth: Reals) -> bool:
        """Whether the difference to ``other`` is in ``truth``."""
        return self.path.decide(_added(self.terms, _terms(other), -1), truth)

    # -- what only a number can be

    def __float__(self) -> float:
        raise NotFollowed("this depends on a register in a way that is not worked out over all states")

    def _no_number(self, *others: object) -> float:
        return float(self)

    __int__ = __index__ = __floor__ = __ceil__ = __trunc__ = _no_number
    __mod__ = __rmod__ = __pow__ = __rpow__ = __floordiv__ = __rfloordiv__ = _no_number
    __divmod__ = __rdivmod__ = _no_number

    def __format__(self, spec: str) -> str:
        return f"<{key_of(self.terms)}>"

    __repr__ = __str__ = lambda self: self.__format__("")


def made(path: Region, terms: Terms) -> float:
    """``terms`` as a value: a plain number where nothing is unknown in it."""
    if not terms:
        return 0.0
    if len(terms) == 1 and ONE in terms:
        return float(terms[ONE])
    _check(terms)
    return cast(float, Symbol(path, terms))


def terms_of(value: float | None) -> Terms:
    """The terms of a number or formula; of an empty value those of 0."""
    return {} if value is None else _terms(value)


def difference(one: float | None, other: float | None) -> Terms:
    """The terms of ``one`` less ``other``."""
    return _added(terms_of(one), terms_of(other), -1)


def multiplied(terms: Terms, factor: Exact) -> Terms:
    """Every term of ``terms`` times ``factor``, not 0."""
    if factor.denominator == 1 and factor == 1:
        return terms
    return {product: count * factor for product, count in terms.items()}


def value_at(terms: Terms, unknowns: Unknowns, values: Mapping[int, Exact]) -> Exact | None:
    """What ``terms`` comes to where the unknowns that are not worked out have ``values``; None: it has no value."""
    known: dict[int, Exact | None] = dict(values)

    def unknown(number: int) -> Exact | None:
        if number not in known:
            known[number] = None
            kind, _ = unknowns.names[number]
            inside = unknowns.insides.get(number)
            of = None if inside is None else total(inside)
            if of is not None:
                known[number] = math.floor(of) if kind == "floor" else reciprocal(of) if of else None
        return known[number]

    def total(terms: Terms) -> Exact | None:
        found: Exact = 0
        for product, count in terms.items():
            for number, exponent in product:
                value = unknown(number)
                if value is None or (value == 0 and exponent < 0):
                    return None
                count *= Fraction(value) ** exponent
            found += count
        return found

    return total(terms)


def _terms(value: object) -> Terms:
    if isinstance(value, Symbol):
        return value.terms
    if isinstance(value, (int, float)):
        number = exact(float(value))
        return {ONE: number} if number else {}
    raise NotFollowed("something that is no number is worked with here")


def _added(one: Terms, other: Terms, sign: int) -> Terms:
    found = dict(one)
    for product, count in other.items():
        total = found.get(product, 0) + (count if sign > 0 else -count)
        if total:
            found[product] = total
        else:
            found.pop(product, None)
    return found


def _multiplied(one: Terms, other: Terms) -> Terms:
    if not one or not other:
        return {}
    if len(other) == 1 and ONE in other:
        return multiplied(one, other[ONE])
    if len(one) == 1 and ONE in one:
        return multiplied(other, one[ONE])
    if len(one) * len(other) > _MOST_TERMS:
        raise NotFollowed("this formula grows too long to be worked out over all states")
    found: Terms = {}
    for product, count in one.items():
        for factor, more in other.items():
            both = _product(product, factor)
            total = found.get(both, 0) + count * more
            if total:
                found[both] = total
            else:
                found.pop(both, None)
    return found


def _product(one: Product, other: Product) -> Product:
    if not one or not other:
        return one or other
    exponents = dict(one)
    for number, exponent in other:
        exponents[number] = exponents.get(number, 0) + exponent
        if abs(exponents[number]) > _MOST_EXPONENT:
            raise NotFollowed("this formula grows too long to be worked out over all states")
    return tuple(sorted(pair for pair in exponents.items() if pair[1]))


def _check(terms: Terms) -> None:
    if len(terms) > _MOST_TERMS:
        raise NotFollowed("this formula grows too long to be worked out over all states")
    for count in terms.values():
        if isinstance(count, Fraction) and count.numerator.bit_length() + count.denominator.bit_length() > _MOST_BITS:
            raise NotFollowed("this formula has numbers too long to be worked out over all states")


def product_of(one: tuple[Real, Real], other: tuple[Real, Real]) -> tuple[Real, Real]:
    """The least and greatest product of a number in ``one`` with a number in ``other``."""
    ends = [_times(a, b) for a in one for b in other]
    return min(ends), max(ends)


def _times(a: Real, b: Real) -> Real:
    if a == 0 or b == 0:
        return 0
    if isinstance(a, float) or isinstance(b, float):
        return math.inf if (a > 0) == (b > 0) else -math.inf
    return a * b
