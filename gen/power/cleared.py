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
from dataclasses import dataclass
from functools import cached_property

from gen.power.student import f_quantile, t_quantile

STEPS = 40
"""Shares that are tried, evenly from 1/STEPS to 1, before the best is looked for between them."""
CLOSER = tuple(0.0004 * 2**step for step in range(7))
"""How far from the best one more shares are tried, to either side, so that a narrow interval has its ends."""
WANDERING = (0.0, 0.25, 0.5, 0.75, 1.0)
"""Parts that dresses of different success may have in the variance of a residual."""
TOLD = 0.6
"""A 95 % interval of the share that is wider tells too little to name a share."""
_LEAST_SQUARE = 1e-18
"""kW²: a residual sum of squares below it is rounding."""


@dataclass(frozen=True, slots=True)
class MatchedPair:
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
        shares = [one.share for one in self.candidates]
        widths = [high - low for low, high in zip([shares[0], *shares], [*shares[1:], shares[-1]], strict=False)]
        sizes = [width * math.exp(log - most) for width, log in zip(widths, logs, strict=True)]
        whole = math.fsum(sizes)
        return [(size / whole, one) for size, one in zip(sizes, self.candidates, strict=True)]

    def residuals(self, pairs: Sequence[MatchedPair]) -> list[float]:
        """What the best share and clean power leave of each pair, kW."""
        return [
            pair.after_kw - self.clean_kw - _left(self.share, pair) * (pair.before_kw - self.clean_kw) for pair in pairs
        ]


def _left(share: float, pair: MatchedPair) -> float:
    """What of the loading is left after the dresses of ``pair``."""
    return 0.0 if math.isinf(pair.dresses) else (1 - share) ** pair.dresses


def _crossing(outside: tuple[float, float], inside: tuple[float, float], level: float) -> float:
    (out_at, out_value), (in_at, in_value) = outside, inside
    return in_at + (out_at - in_at) * (level - in_value) / (out_value - in_value)


def cleared_share(
    pairs: Sequence[MatchedPair], *, clean_kw: float | None = None, rise_ratio: float = 0.0
) -> Cleared | None:
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

    def fitted(share: float, wandering: float) -> Candidate:
        return _fitted(pairs, share, wandering, clean_kw, rise_ratio, None)[0]

    def best_at(share: float) -> Candidate:
        return min((fitted(share, one) for one in WANDERING), key=lambda one: one.squares)

    tried = [best_at(step / STEPS) for step in range(1, STEPS + 1)]
    best = min(tried, key=lambda one: one.squares)
    share = _searched(lambda share: fitted(share, best.wandering).squares, best.share, 1 / STEPS, 15)
    best = best_at(share)
    near = [share + sign * step for step in CLOSER for sign in (1, -1)]
    tried += [best, *(best_at(one) for one in near if 1 / STEPS < one < 1)]
    return Cleared(best, tuple(sorted(tried, key=lambda one: one.share)), dof)


@dataclass(frozen=True, slots=True)
class Explained:
    """Pairs explained by share, clean power and ``change_kw`` times a shape over the runs.

    ``left`` are the weighted residuals, which are independent of each other if the model is true.
    """

    squares: float
    change_kw: float
    left: tuple[float, ...]


def explained(
    pairs: Sequence[MatchedPair],
    shape: Sequence[tuple[float, float]] | None,
    *,
    clean_kw: float | None = None,
    rise_ratio: float = 0.0,
) -> Explained:
    """How well ``pairs`` agree if the power also changes as ``shape`` does, whatever the share.

    ``shape`` has a value for the run before and one for the run after each pair; None is no change.
    """

    def squares(share: float, wandering: float) -> float:
        return _fitted(pairs, share, wandering, clean_kw, rise_ratio, shape)[0].squares

    _, share, wandering = min((squares(share, one), share, one) for share in _COARSE for one in _COARSE_WANDERING)
    share = _searched(lambda share: squares(share, wandering), share, _COARSE[0], 10)
    candidate, change, left = _fitted(pairs, share, wandering, clean_kw, rise_ratio, shape)
    return Explained(candidate.squares, change, left)


_COARSE = tuple(step / 10 for step in range(1, 11))
_COARSE_WANDERING = (0.0, 0.75)


def _searched(squares: Callable[[float], float], best: float, step: float, times: int) -> float:
    """The share with the least ``squares`` less than ``step`` from ``best``, by golden section."""
    low, high = max(1e-3, best - step), min(1.0, best + step)
    ratio = (math.sqrt(5) - 1) / 2
    left, right = high - ratio * (high - low), low + ratio * (high - low)
    at_left, at_right = squares(left), squares(right)
    for _ in range(times):
        if at_left <= at_right:
            high, right, at_right = right, left, at_left
            left = high - ratio * (high - low)
            at_left = squares(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + ratio * (high - low)
            at_right = squares(right)
    return min((squares(share), share) for share in (best, left, right, 1.0 if high >= 1.0 else best))[1]


def _fitted(
    pairs: Sequence[MatchedPair],
    share: float,
    wandering: float,
    clean_kw: float | None,
    rise_ratio: float,
    shape: Sequence[tuple[float, float]] | None,
) -> tuple[Candidate, float, tuple[float, ...]]:
    """The best clean power for one share, with the change along ``shape`` and the weighted residuals.

    Least squares, whitened by the Cholesky factor of the residuals' tridiagonal covariance.
    """
    known = clean_kw or 0.0
    free = clean_kw is None
    rows: list[list[float]] = []
    before_d, log_size = 1.0, 0.0
    row = [0.0] * (1 + free + bool(rise_ratio) + (shape is not None))
    for at, pair in enumerate(pairs):
        left = _left(share, pair)
        d = (1 - wandering) * (1 + left * left) + wandering
        link = -(1 - wandering) * left / before_d if pair.follows else 0.0
        d -= link * link * before_d
        plain = [pair.after_kw - known - left * (pair.before_kw - known)]
        if free:
            plain.append(1 - left)
        if rise_ratio:
            plain.append(left * pair.before_parts - pair.after_parts)
        if shape is not None:
            plain.append(shape[at][1] - left * shape[at][0])
        row = [value - link * before for value, before in zip(plain, row, strict=True)]
        size = math.sqrt(d)
        rows.append([value / size for value in row])
        before_d, log_size = d, log_size + math.log(d)
    if rise_ratio:
        # what the runs themselves say of the rise is one more observation of it
        own = [0.0] * len(row)
        own[1 + free] = 1 / math.sqrt(rise_ratio)
        rows.append(own)
    values, variance = _least_squares(rows)
    left_over = tuple(one[0] - math.fsum(x * v for x, v in zip(one[1:], values, strict=True)) for one in rows)
    squares = math.fsum(one * one for one in left_over) * math.exp(log_size / len(pairs))
    clean = values[0] if free else known
    candidate = Candidate(share, squares, clean, variance if free else 0.0, wandering)
    return candidate, values[-1] if shape is not None else 0.0, left_over[: len(pairs)]


def _least_squares(rows: Sequence[Sequence[float]]) -> tuple[list[float], float]:
    """The values for the columns behind the first that leave least of it, and the variance of the first value."""
    count = len(rows[0]) - 1
    if count == 0:
        return [], 0.0
    # normal equations with one more right-hand side, which gives the first variance; solved by Gauss and Jordan
    table = [
        [math.fsum(row[i] * row[j] for row in rows) for j in (*range(1, count + 1), 0)] + [float(i == 1)]
        for i in range(1, count + 1)
    ]
    for at in range(count):
        pivot = table[at][at]
        if pivot <= 1e-12 * max(1e-300, math.fsum(row[at + 1] ** 2 for row in rows)):
            # a column that says nothing, or nothing of its own
            table[at] = [0.0] * (count + 2)
            for line in table:
                line[at] = 0.0
            continue
        table[at] = [value / pivot for value in table[at]]
        for other in range(count):
            if other != at and (factor := table[other][at]):
                table[other] = [value - factor * own for value, own in zip(table[other], table[at], strict=True)]
    return [line[count] for line in table], max(0.0, table[0][count + 1])
