"""The share of the loading that a dress clears, told from the power before and after dresses.

A dress clears the share k of all the loading that is there. With the clean power
b, the power z at the end of a run and the power y at the start of the next,

    y = b + (1 − k)ⁿ (z − b) + ε,   n the dresses between the two runs.

For each k this is linear in b, so b has a closed form; k is found by search, and
its interval are all k whose residual sum of squares is within Fisher's F of the
least, the square of Student's t (textbook: profile of a nonlinear parameter).

Both y and z are measured, and one run gives the y of one pair and the z of the
next. So the residual of a pair is u − (1 − k)ⁿ u′ + w: u, u′ the errors of the two
runs' levels, w what differs from dress to dress and stays in the wheel. The
residuals are weighed by the covariance that this gives, with the w's part in it
searched too.

A spindle that warms up looks much like loading that builds up after truing. So
each share is also fitted together with a power that grows and settles, and the
interval holds every share that some such change agrees with. What tells the two
apart is that warming goes on within a run: the runs' own slopes say how much.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.power.estimate import CONFIDENCE
from gen.power.golden import golden
from gen.power.student import t_quantile

STEPS = 40
"""Shares that are tried, evenly from 1/STEPS to 1, before the best is looked for between them."""
CLOSER = tuple(0.0004 * 2**step for step in range(7))
"""How far from the best one more shares are tried, to either side, so that a narrow interval has its ends."""
WANDERING = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Parts that dresses of different success may have in the variance of a residual."""
TOLD = 0.6
"""A 95 % interval of the share that is wider tells too little to name a share."""
PLAINER = 4.0
"""By how many variances of a residual a change must lower the sum of squares before the best share is told with it."""
_LEAST_SQUARE = 1e-18
"""kW²: a residual sum of squares below it is rounding."""


@dataclass(frozen=True, slots=True)
class Slopes:
    """What the runs' own slopes say of the common rise: each slope ``seen``, and by how much it changes with the rise.

    Both are less what the common rise is taken for, and weighed so that an error has the variance of a residual.
    """

    seen: tuple[float, ...] = ()
    rise: tuple[float, ...] = ()

    @property
    def together(self) -> Slopes:
        """All of them as one, which says only how well the common rise is known."""
        return Slopes((0.0,), (math.hypot(*self.rise),)) if self.rise else self


NO_SLOPES = Slopes()


@dataclass(frozen=True, slots=True)
class PowerChange:
    """A course that the power may take beside loading and dresses, as multiples of one unknown number of kW.

    ``pairs`` has its value before and after each pair. At rest that is 0, or 1
    where the clean power is given, which was measured before. ``slopes`` are the
    slopes that it gives the runs, weighed as those of :class:`Slopes`.
    """

    pairs: Sequence[tuple[float, float]]
    slopes: Sequence[float] = ()


@dataclass(frozen=True, slots=True)
class MatchedPair:
    """The power before and after ``dresses`` dresses in a row, kW.

    ``before_kw`` is where the run before would have gone on, ``after_kw`` the
    start of the run after. ``dresses`` is infinite for truing with its opening,
    which leaves nothing. ``before_parts`` and ``after_parts`` say by how much
    the two powers change with the common rise they were carried along, kW per
    kW/part.
    """

    before_kw: float
    after_kw: float
    dresses: float = 1.0
    before_parts: float = 0.0
    after_parts: float = 0.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """One share that was tried: the clean power that fits it best, and how well the pairs then agree with it.

    ``squares`` is the weighted residual sum of squares, kW²; ``clean_variance`` the
    variance of ``clean_kw`` if the residuals' variance were 1. ``change_kw`` is by
    how much the power grew beside loading and dresses; ``clean_kw`` is the power after
    that, and ``plain_squares`` the sum of squares without it.
    """

    share: float
    squares: float
    clean_kw: float
    clean_variance: float
    wandering: float
    change_kw: float = 0.0
    plain_squares: float = math.inf


@dataclass(frozen=True)
class Cleared:
    """What pairs tell of the cleared share. ``candidates`` are the shares tried, in order.

    ``dof`` are the degrees of freedom of the pairs; ``slope_dof`` those that the
    runs' own slopes add, which tell nothing of the pairs' variance.
    """

    best: Candidate
    candidates: tuple[Candidate, ...]
    dof: float
    slope_dof: int = 0

    @property
    def share(self) -> float:
        return self.best.share

    @property
    def clean_kw(self) -> float:
        """The power of a wheel without loading, kW."""
        return self.best.clean_kw

    @property
    def scatter_kw(self) -> float:
        """The standard deviation of a residual, kW."""
        return math.sqrt(self._least / (self.dof + self.slope_dof))

    @property
    def is_told(self) -> bool:
        """Whether the pairs narrow the share down enough to name it."""
        low, high = self.interval()
        return high - low <= TOLD

    @cached_property
    def _least(self) -> float:
        return max(_LEAST_SQUARE, min(one.squares for one in (self.best, *self.candidates)))

    def excess(self, one: Candidate) -> float:
        """By how many variances of a residual the sum of squares of ``one`` is above the least."""
        return self._above(one.squares, self._least)

    def _above(self, squares: float, least: float) -> float:
        return (max(squares, _LEAST_SQUARE) / least - 1) * (self.dof + self.slope_dof)

    def interval(self) -> tuple[float, float]:
        """The least and the greatest share that agree with the pairs.

        A share agrees if it does with some change of the power, or without any among
        the shares without any: what looks like a change must not speak for the dresses.
        """
        most = t_quantile((1 + CONFIDENCE) / 2, self.dof) ** 2
        plain = max(_LEAST_SQUARE, min((one.plain_squares for one in self.candidates), default=math.inf))
        found = [(one.share, min(self.excess(one), self._above(one.plain_squares, plain))) for one in self.candidates]
        inside = [at for at, (_, excess) in enumerate(found) if excess <= most]
        if not inside:
            return self.share, self.share
        low, high = inside[0], inside[-1]
        return (
            _crossing(found[low - 1], found[low], most) if low else found[0][0],
            _crossing(found[high + 1], found[high], most) if high + 1 < len(found) else found[high][0],
        )

    def clean_interval(self) -> tuple[float, float]:
        """The clean powers that agree with the pairs, over all shares that do, kW."""
        reach = t_quantile((1 + CONFIDENCE) / 2, self.dof)
        allowed = reach**2
        ends = []
        for one in (self.best, *self.candidates):
            spare = allowed - self.excess(one)
            if spare >= 0:
                # what of the allowance the share has not used is left for the clean power
                error = reach * self.scatter_kw * math.sqrt(one.clean_variance * min(1.0, spare / allowed))
                ends += [one.clean_kw - error, one.clean_kw + error]
        return min(ends), max(ends)

    def weights(self) -> list[tuple[float, Candidate]]:
        """How likely each share is next to the others, by its sum of squares; the weights add up to 1."""
        logs = [-self.dof / 2 * math.log1p(self.excess(one) / self.dof) for one in self.candidates]
        most = max(logs)
        shares = [one.share for one in self.candidates]
        widths = [high - low for low, high in zip([shares[0], *shares], [*shares[1:], shares[-1]], strict=False)]
        sizes = [width * math.exp(log - most) for width, log in zip(widths, logs, strict=True)]
        whole = math.fsum(sizes)
        return [(size / whole, one) for size, one in zip(sizes, self.candidates, strict=True)]


def _crossing(outside: tuple[float, float], inside: tuple[float, float], level: float) -> float:
    (out_at, out_value), (in_at, in_value) = outside, inside
    return in_at + (out_at - in_at) * (level - in_value) / (out_value - in_value)


def cleared_share(
    pairs: Sequence[MatchedPair],
    *,
    clean_kw: float | None = None,
    slopes: Slopes = NO_SLOPES,
    changes: Sequence[PowerChange] = (),
) -> Cleared | None:
    """The cleared share that fits ``pairs`` best, with the clean power where ``clean_kw`` does not give it.

    The run after of one pair is the run before of the next. ``changes`` are courses
    that the power may also take, by more than 0. Pairs that all have the same number of
    dresses, and powers that hardly vary, fit any share unless the clean power is given:
    the interval is then wide and ``is_told`` is false.
    None with no more pairs than unknowns: three, or two with a clean power given.
    """
    # the unknowns: share, wandering, and the clean power unless it is given
    dof = len(pairs) - (3 if clean_kw is None else 2)
    if dof < 1:
        return None
    slope_dof = max(0, len(slopes.seen) - 1)
    system = _System(pairs, clean_kw, slopes, slope_dof)

    def changed(plain: Candidate) -> Candidate:
        """The best of ``plain`` and the fits to the same share with a change."""
        at = system.at(plain.share, plain.wandering)
        grown = [one for change in changes for one in [at.changed(change)[0]] if one.change_kw > 0]
        best = min(grown, key=lambda one: one.squares, default=plain)
        return replace(best, plain_squares=plain.squares)

    def plain_at(share: float) -> Candidate:
        return min((system.at(share, one).plain for one in WANDERING), key=lambda one: one.squares)

    def searched(best: Candidate, of: Callable[[Candidate], Candidate]) -> float:
        def squares(share: float) -> float:
            return of(system.at(share, best.wandering).plain).squares

        low, high = max(1e-3, best.share - 1 / STEPS), min(1.0, best.share + 1 / STEPS)
        return min(best.share, golden(squares, low, high, 15), key=squares)

    plain = [plain_at(step / STEPS) for step in range(1, STEPS + 1)]
    least = min(plain, key=lambda one: one.squares)
    least = plain_at(searched(least, lambda one: one))
    tried = [changed(one) for one in (*plain, least)]
    best = min(tried, key=lambda one: one.squares)
    if best.change_kw > 0:
        best = changed(plain_at(searched(best, changed)))
    near = {one.share + sign * step for one in (least, best) for step in CLOSER for sign in (1, -1)}
    tried += [best, *(changed(plain_at(one)) for one in near if 1 / STEPS < one < 1)]
    found = Cleared(best, tuple(sorted(tried, key=lambda one: one.share)), dof, slope_dof)
    return replace(found, best=least) if found.excess(least) <= PLAINER else found


class Explainer:
    """How well pairs agree if the power also changes along a shape, whatever the share.

    By their residual sum of squares, the kW of the shape, and what is left: weighted residuals, which are independent
    of each other if the model is true.
    """

    def __init__(self, pairs: Sequence[MatchedPair], clean_kw: float | None, slopes: Slopes) -> None:
        self._system = _System(pairs, clean_kw, slopes.together, 0)

    def __call__(self, shape: Sequence[tuple[float, float]] | None) -> tuple[float, float, Sequence[float]]:
        """``shape`` has a value for the run before and one for the run after each pair; None is no change."""
        change = None if shape is None else PowerChange(shape, (0.0,) * len(self._system.slopes.rise))

        def squares(share: float, wandering: float) -> float:
            at = self._system.at(share, wandering)
            return at.plain.squares if change is None else at.changed(change)[0].squares

        least, place, wandering = min(
            (squares(place / _FINE, one), place, one) for place in range(_COARSE, _FINE + 1, _COARSE) for one in _DIFFER
        )
        while True:
            near = [(squares(at / _FINE, wandering), at) for at in (place - 1, place + 1) if 1 <= at <= _FINE]
            if min(near)[0] >= least:
                break
            least, place = min(near)
        share = place / _FINE
        if len(near) == 2:
            # the lowest point of the parabola through three shares
            below, above = near[0][0] - least, near[1][0] - least
            share += (below - above) / max(below + above, 1e-300) / (2 * _FINE)
        at = self._system.at(min(1.0, share), wandering)
        if change is None:
            return at.plain.squares, 0.0, at.left[: len(self._system.pairs)]
        candidate, left = at.changed(change)
        return candidate.squares, candidate.change_kw, left[: len(self._system.pairs)]


_FINE, _COARSE = 50, 5
"""Shares that are tried for a shape, evenly up to 1, and every how many of them at first."""
_DIFFER = (0.0, 0.75)


class _System:
    """The residuals of pairs as linear equations, for any share."""

    def __init__(self, pairs: Sequence[MatchedPair], clean_kw: float | None, slopes: Slopes, slope_dof: int) -> None:
        self.pairs, self.clean_kw, self.slopes, self.slope_dof = pairs, clean_kw, slopes, slope_dof
        known = clean_kw or 0.0
        self.seen = PowerChange([(one.before_kw - known, one.after_kw - known) for one in pairs], slopes.seen)
        self.rise = PowerChange([(-one.before_parts, -one.after_parts) for one in pairs], slopes.rise)
        # the same clean power before and after
        self.clean = PowerChange([(1.0, 1.0)] * len(pairs), (0.0,) * len(slopes.seen))
        self._known: dict[tuple[float, float], _Solved] = {}

    def at(self, share: float, wandering: float) -> _Solved:
        key = share, wandering
        if key not in self._known:
            self._known[key] = _Solved(self, share, wandering)
        return self._known[key]


class _Solved:
    """The best clean power and rise for one share: least squares by Gram and Schmidt (textbook).

    Whitened by the Cholesky factor of the residuals' tridiagonal covariance.
    """

    def __init__(self, system: _System, share: float, wandering: float) -> None:
        self.system = system
        before, log_size = 1.0, 0.0
        self.weights: list[tuple[float, float, float]] = []
        for at, pair in enumerate(system.pairs):
            left = 0.0 if math.isinf(pair.dresses) else (1 - share) ** pair.dresses
            d = (1 - wandering) * (1 + left * left) + wandering
            link = -(1 - wandering) * left / before if at else 0.0
            d -= link * link * before
            self.weights.append((left, link, math.sqrt(d)))
            before, log_size = d, log_size + math.log(d)
        self.factor = math.exp(log_size / (len(system.pairs) + system.slope_dof))
        seen = self._whitened(system.seen)
        self.units: list[list[float]] = []
        if system.rise.slopes:
            self._take(self._whitened(system.rise))
        self.clean_size = self._take(self._whitened(system.clean)) if system.clean_kw is None else 0.0
        self.along_clean = _product(self.units[-1], seen) if self.clean_size else 0.0
        self.left = self._rest(seen)
        clean, variance = system.clean_kw or 0.0, 0.0
        if self.clean_size:
            clean, variance = self.along_clean / self.clean_size, 1 / self.clean_size**2
        squares = _product(self.left, self.left) * self.factor
        self.plain = Candidate(share, squares, clean, variance, wandering)

    def changed(self, change: PowerChange) -> tuple[Candidate, list[float]]:
        """The same with ``change``, and what is then left of each equation."""
        course = self._whitened(change)
        rest = self._rest(course)
        size = _product(rest, rest)
        if size <= _NOTHING * _product(course, course):
            return self.plain, self.left
        kw = _product(rest, self.left) / size
        left = [one - kw * other for one, other in zip(self.left, rest, strict=True)]
        if self.clean_size:
            along = _product(self.units[-1], course) / self.clean_size
            clean, variance = self.plain.clean_kw - kw * along, self.plain.clean_variance + along * along / size
        else:
            clean, variance = self.plain.clean_kw + kw, 1 / size
        squares = _product(left, left) * self.factor
        plain = self.plain
        return Candidate(plain.share, squares, clean, variance, plain.wandering, kw), left

    def _whitened(self, column: PowerChange) -> list[float]:
        whitened, row = [], 0.0
        for (before, after), (left, link, size) in zip(column.pairs, self.weights, strict=True):
            row = after - left * before - link * row
            whitened.append(row / size)
        return [*whitened, *column.slopes]

    def _take(self, column: list[float]) -> float:
        """Adds what ``column`` has of its own to the unit columns; its size, 0 where it has nothing of its own."""
        rest = self._rest(column)
        square = _product(rest, rest)
        if square <= _NOTHING * _product(column, column):
            return 0.0
        size = math.sqrt(square)
        self.units.append([one / size for one in rest])
        return size

    def _rest(self, column: list[float]) -> list[float]:
        """``column`` less what the unit columns explain."""
        for unit in self.units:
            along = _product(unit, column)
            column = [one - along * other for one, other in zip(column, unit, strict=True)]
        return column


_NOTHING = 1e-12
"""Share of a column's square below which it says nothing of its own."""


def _product(one: Sequence[float], other: Sequence[float]) -> float:
    total: float = sum(map(operator.mul, one, other))
    return total
