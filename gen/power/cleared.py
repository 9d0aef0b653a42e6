"""The share of the loading that a dress clears, told from the power before and after dresses.

A dress clears the share k of all the loading that is there. With the clean power
b, the power z at the end of a run and the power y at the start of the next,

    y = b + (1 − k)ⁿ (z − b) + ε,   n the dresses between the two runs.

For each k this is linear in b, so b has a closed form; k is found by search, and
its interval are all k whose residual sum of squares is within Fisher's F of the
least (textbook: profile of a nonlinear parameter).

Both y and z are measured, and one run gives the y of one pair and the z of the
next. So the residual of a pair is u − (1 − k)ⁿ u′ + w: u, u′ the errors of the two
runs' levels, w what differs from dress to dress and stays in the wheel. The
residuals are weighed by the covariance that this gives, with the w's part in it
searched too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from gen.power.student import f_quantile, t_quantile

STEPS = 100
"""Shares that are tried, evenly from 1/STEPS to 1."""
WANDERING = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Parts that dresses of different success may have in the variance of a residual."""
TOLD = 0.6
"""A 95 % interval of the share that is wider tells too little to name a share."""
_LEAST_SQUARE = 1e-18
"""kW²: a residual sum of squares below it is rounding."""


@dataclass(frozen=True, slots=True)
class Pair:
    """The power before and after ``dresses`` dresses in a row, kW.

    ``before_kw`` is where the run before would have gone on, ``after_kw`` the
    start of the run after. ``dresses`` is infinite for truing with its opening,
    which leaves nothing. ``follows``: the run before is the run after of the
    pair before this one. ``before_parts`` and ``after_parts`` say by how much
    the two powers change with the common rise they were carried along, kW per
    kW/part.
    """

    before_kw: float
    after_kw: float
    dresses: float = 1.0
    follows: bool = False
    before_parts: float = 0.0
    after_parts: float = 0.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """One share that was tried: the clean power that fits it best, and how well the pairs then agree with it.

    ``squares`` is the weighted residual sum of squares, kW²; ``clean_variance`` the
    variance of ``clean_kw`` if the residuals' variance were 1.
    """

    share: float
    squares: float
    clean_kw: float
    clean_variance: float
    rise_change: float
    wandering: float


@dataclass(frozen=True)
class Cleared:
    """What pairs tell of the cleared share. ``candidates`` are the shares tried, in order."""

    best: Candidate
    candidates: tuple[Candidate, ...]
    dof: float

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
        return math.sqrt(self.best.squares / self.dof)

    @property
    def is_told(self) -> bool:
        """Whether the pairs narrow the share down enough to name it."""
        low, high = self.interval()
        return high - low <= TOLD

    @cached_property
    def _least(self) -> float:
        return max(self.best.squares, _LEAST_SQUARE)

    def interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """The least and the greatest share that agree with the pairs."""
        worst = self._least * (1 + f_quantile(confidence, 1, self.dof) / self.dof)
        found = [(one.share, one.squares) for one in self.candidates]
        inside = [at for at, (_, squares) in enumerate(found) if squares <= worst]
        if not inside:
            return self.share, self.share
        low, high = inside[0], inside[-1]
        return (
            _crossing(found[low - 1], found[low], worst) if low else found[0][0],
            _crossing(found[high + 1], found[high], worst) if high + 1 < len(found) else found[high][0],
        )

    def clean_interval(self, confidence: float = 0.95) -> tuple[float, float]:
        """The clean powers that agree with the pairs, over all shares that do, kW."""
        allowed = f_quantile(confidence, 1, self.dof) / self.dof
        reach = t_quantile((1 + confidence) / 2, self.dof)
        ends = []
        for one in (self.best, *self.candidates):
            spare = 1 + allowed - one.squares / self._least
            if spare >= 0:
                # what of the allowance the share has not used is left for the clean power
                error = reach * math.sqrt(self._least / self.dof * one.clean_variance * min(1.0, spare / allowed))
                ends += [one.clean_kw - error, one.clean_kw + error]
        return min(ends), max(ends)

    def weights(self) -> list[tuple[float, Candidate]]:
        """How likely each share is next to the others, by its sum of squares; the weights add up to 1."""
        logs = [-self.dof / 2 * math.log(max(one.squares, _LEAST_SQUARE) / self._least) for one in self.candidates]
        most = max(logs)
        sizes = [math.exp(log - most) for log in logs]
        whole = math.fsum(sizes)
        return [(size / whole, one) for size, one in zip(sizes, self.candidates, strict=True)]

    def residuals(self, pairs: Sequence[Pair]) -> list[float]:
        """What the best share and clean power leave of each pair, kW."""
        return [
            pair.after_kw - self.clean_kw - _left(self.share, pair) * (pair.before_kw - self.clean_kw) for pair in pairs
        ]


def _left(share: float, pair: Pair) -> float:
    """What of the loading is left after the dresses of ``pair``."""
    return 0.0 if math.isinf(pair.dresses) else (1 - share) ** pair.dresses


def _crossing(outside: tuple[float, float], inside: tuple[float, float], level: float) -> float:
    (out_at, out_value), (in_at, in_value) = outside, inside
    return in_at + (out_at - in_at) * (level - in_value) / (out_value - in_value)


def cleared_share(pairs: Sequence[Pair], *, clean_kw: float | None = None, rise_ratio: float = 0.0) -> Cleared | None:
    """The cleared share that fits ``pairs`` best, with the clean power where ``clean_kw`` does not give it.

    ``rise_ratio`` is the variance of the common rise, (kW/part)², over that of a
    run's level, kW². Pairs that all have the same number of dresses, and powers that
    hardly vary, fit any share unless the clean power is given: the interval is then
    wide and ``is_told`` is false.
    None with no more pairs than unknowns: three, or two with a clean power given.
    """
    # the unknowns: share, wandering, and the clean power unless it is given
    dof = len(pairs) - (3 if clean_kw is None else 2)
    if dof < 1:
        return None

    def fitted(share: float) -> Candidate:
        return _averaged([_fitted(pairs, share, one, clean_kw, rise_ratio) for one in WANDERING], dof)

    tried = [fitted(step / STEPS) for step in range(1, STEPS + 1)]
    best = min(tried, key=lambda one: one.squares)
    return Cleared(_searched(fitted, best, 1 / STEPS), tuple(tried), dof)


def _averaged(found: Sequence[Candidate], dof: float) -> Candidate:
    """The best of ``found`` for one share, its squares those that give the mean of their likelihoods."""
    best = min(found, key=lambda one: one.squares)
    if best.squares <= _LEAST_SQUARE:
        return best
    mean = math.fsum((best.squares / one.squares) ** (dof / 2) for one in found) / len(found)
    return replace(best, squares=best.squares * mean ** (-2 / dof))


def _searched(fitted: Callable[[float], Candidate], best: Candidate, step: float) -> Candidate:
    """The best of the shares around ``best``, by golden section."""
    low, high = max(step / 10, best.share - step), min(1.0, best.share + step)
    ratio = (math.sqrt(5) - 1) / 2
    for _ in range(20):
        left, right = fitted(high - ratio * (high - low)), fitted(low + ratio * (high - low))
        best = min(best, left, right, key=lambda one: one.squares)
        if left.squares <= right.squares:
            high = right.share
        else:
            low = left.share
    return best


def _fitted(
    pairs: Sequence[Pair], share: float, wandering: float, clean_kw: float | None, rise_ratio: float
) -> Candidate:
    """The best clean power for one share, by least squares weighed with the residuals' tridiagonal covariance."""
    known = clean_kw or 0.0
    # sums of squares and products of the whitened target (t), clean power (c) and rise (r) columns
    tt = tc = tr = cc = cr = 0.0
    rr = 1 / rise_ratio if rise_ratio else 0.0
    before_d, log_size = 1.0, 0.0
    t = c = r = 0.0
    for pair in pairs:
        left = _left(share, pair)
        d = (1 - wandering) * (1 + left * left) + wandering
        link = -(1 - wandering) * left / before_d if pair.follows else 0.0
        d -= link * link * before_d
        t = pair.after_kw - known - left * (pair.before_kw - known) - link * t
        c = 1 - left - link * c
        r = left * pair.before_parts - pair.after_parts - link * r
        tt, tc, tr = tt + t * t / d, tc + t * c / d, tr + t * r / d
        cc, cr, rr = cc + c * c / d, cr + c * r / d, rr + r * r / d
        before_d, log_size = d, log_size + math.log(d)
    clean, change, variance = 0.0, 0.0, 0.0
    if clean_kw is not None:
        change = tr / rr if rise_ratio and rr > 0 else 0.0
        clean = known
    elif rise_ratio and (whole := cc * rr - cr * cr) > 1e-12 * cc * rr:
        clean, change, variance = (tc * rr - tr * cr) / whole, (cc * tr - tc * cr) / whole, rr / whole
    elif cc > 0:
        clean, variance = tc / cc, 1 / cc
    free = 0.0 if clean_kw is not None else clean
    squares = max(0.0, tt - free * tc - change * tr) * math.exp(log_size / len(pairs))
    return Candidate(share, squares, clean, variance, change, wandering)
