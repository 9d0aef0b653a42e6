"""One way through a program: what is decided on it, what that leaves of every value, and every way there is."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterator
from typing import NamedTuple, TypeVar, cast

from gen.plan.step import Register
from gen.reader.all_states.formulas import (
    NAUGHT,
    ONE,
    NotFollowed,
    Product,
    Symbol,
    Terms,
    TermsKey,
    Unknowns,
    key_of,
    made,
    multiplied,
    product_of,
    reciprocal,
)
from gen.reader.all_states.reals import (
    EVERY,
    Exact,
    Real,
    Reals,
    common,
    complement,
    has,
    hull,
    numbers_between,
    spread,
)

_T = TypeVar("_T")

MOST_PATHS = 200
MOST_WORK = 15_000
"""Instructions, over all paths together: about a second. The dress of a pack of three wheels takes 300."""


class Decided(NamedTuple):
    """A condition met at ``line``, about the formula ``key``."""

    line: int
    key: TermsKey


class Path:
    """One way through.

    ``domains``: what is left of the values of a formula, by its terms without
    the constant one, the first of them once. ``line`` is where the program is,
    0 while a plan is worked out; it ``asks`` where it decides by a condition of
    its own, and what it asked is ``decided``.
    """

    def __init__(self, unknowns: Unknowns, taken: tuple[bool, ...], work: Iterator[int]) -> None:
        self.unknowns = unknowns
        self.taken = list(taken)
        self.given = len(taken)
        self.domains: dict[TermsKey, Reals] = {}
        self.free: dict[object, bool] = {}
        self.decided: list[Decided] = []
        self.line = 0
        self.asks = False
        self._work = work
        self._forks = 0
        self._bounds: dict[int, tuple[Real, Real]] = {}

    # -- unknowns

    def register(self, register: Register) -> float:
        """The value that ``register`` has when the program begins."""
        return self._unknown("register", register)

    def position(self, axis: str) -> float:
        """Where ``axis`` stands when the program begins, mm or degrees."""
        return self._unknown("position", axis)

    def floor(self, terms: Terms) -> float:
        """The whole part of ``terms``."""
        whole = math.floor(terms.get(ONE, 0))
        rest = dict(terms)
        if whole:
            rest[ONE] -= whole
            if not rest[ONE]:
                del rest[ONE]
        if all(self._is_whole(product, count) for product, count in rest.items()):
            return made(self, terms)
        number = self.unknowns.number("floor", key_of(rest), rest)
        found: Terms = {((number, 1),): 1}
        if whole:
            found[ONE] = whole
        return made(self, found)

    def inverse(self, terms: Terms) -> Terms:
        """1 divided by ``terms``. ``ZeroDivisionError`` on the path on which they are 0."""
        if self.decide(terms, NAUGHT):
            raise ZeroDivisionError
        if len(terms) == 1:
            ((product, count),) = terms.items()
            return {tuple((number, -exponent) for number, exponent in product): reciprocal(count)}
        lead = min(product for product in terms if product != ONE)
        first = terms[lead]
        scaled = multiplied(terms, reciprocal(first))
        return {((self.unknowns.number("inverse", key_of(scaled), scaled), 1),): reciprocal(first)}

    def _unknown(self, kind: str, what: object) -> float:
        return cast(float, Symbol(self, {((self.unknowns.number(kind, what), 1),): 1}))

    def _is_whole(self, product: Product, count: Exact) -> bool:
        return count.denominator == 1 and all(
            exponent > 0 and self.unknowns.names[number][0] == "floor" for number, exponent in product
        )

    # -- decisions

    def decide(self, terms: Terms, truth: Reals) -> bool:
        """Whether the value of ``terms`` is in ``truth``: known on this path, or decided now, one way and the other."""
        offset = terms.get(ONE, 0)
        plain = {product: count for product, count in terms.items() if product} if offset else terms
        if not plain:
            return has(truth, offset)
        factor = reciprocal(plain[min(plain)])
        plain = multiplied(plain, factor)
        key = key_of(plain)
        wanted = spread(truth, factor, -offset * factor)
        if self.asks:
            self.decided.append(Decided(self.line, key))
        left = common(self.domains.get(key, EVERY), numbers_between(*self.bounds(plain)))
        inside, outside = common(left, wanted), common(left, complement(wanted))
        if not inside or not outside:
            return bool(inside)
        answer = self._fork()
        self.domains[key] = inside if answer else outside
        self._bounds.clear()
        return answer

    def choose(self, what: object) -> bool:
        """Whether ``what`` is so, which nothing but the state tells: a switch, or a register that is empty."""
        if what not in self.free:
            self.free[what] = not self._fork()
        return self.free[what]

    def _fork(self) -> bool:
        if self._forks == len(self.taken):
            self.taken.append(True)
        self._forks += 1
        return self.taken[self._forks - 1]

    def work(self) -> None:
        """One instruction more. :class:`NotFollowed` once that is too many."""
        if next(self._work) > MOST_WORK:
            raise NotFollowed("this program has too many ways through it to be read over all states")

    # -- what is left

    def bounds(self, terms: Terms) -> tuple[Real, Real]:
        """No value of ``terms`` on this path is less than the first number or greater than the second."""
        low: Real = 0
        high: Real = 0
        for product, count in terms.items():
            if len(product) == 1 and product[0][1] == 1:
                least, most = self._bounds_of(product[0][0])
                ends = (least, most) if count > 0 else (most, least)
                low, high = low + count * ends[0], high + count * ends[1]
                continue
            each: tuple[Real, Real] = (count, count)
            for number, exponent in product:
                one = self._bounds_of(number)
                if exponent < 0:
                    one = _inverted(one)
                for _ in range(abs(exponent)):
                    each = product_of(each, one)
            low, high = low + each[0], high + each[1]
        return low, high

    def _bounds_of(self, number: int) -> tuple[Real, Real]:
        found = self._bounds.get(number)
        if found is None:
            kind, _ = self.unknowns.names[number]
            inside = self.unknowns.insides.get(number)
            found = (-math.inf, math.inf) if inside is None else self.bounds(inside)
            if kind == "floor":
                found = _floored(found[0]), _floored(found[1])
            elif kind == "inverse":
                found = _inverted(found)
            own = self.domains.get(((((number, 1),), 1),))
            if own is not None:
                low, high = hull(own)
                found = max(found[0], low), min(found[1], high)
            self._bounds[number] = found
        return found


def every_path(run: Callable[[Path], _T]) -> Iterator[tuple[Path, _T]]:
    """``run`` on every path. :class:`NotFollowed` where there are too many of them."""
    unknowns, work = Unknowns(), itertools.count(1)
    waiting: list[tuple[bool, ...]] = [()]
    tried = 0
    while waiting:
        tried += 1
        if tried > MOST_PATHS:
            raise NotFollowed("this program has too many ways through it to be read over all states")
        path = Path(unknowns, waiting.pop(), work)
        yield path, run(path)
        taken = path.taken
        waiting += [(*taken[:at], not taken[at]) for at in range(path.given, len(taken))]


def _floored(value: Real) -> Real:
    return value if isinstance(value, float) else math.floor(value)


def _inverted(bounds: tuple[Real, Real]) -> tuple[Real, Real]:
    low, high = bounds
    if low <= 0 <= high:
        return -math.inf, math.inf
    return _inverse(high), _inverse(low)


def _inverse(value: Real) -> Real:
    return 0 if isinstance(value, float) else reciprocal(value)
