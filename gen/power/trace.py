"""A raw power trace, time and power in many rows a part, cut into parts by its idle gaps.

The power has two levels, idle and grinding; the line between them is where the two
means are equally far (found by going back and forth between line and means).
Stretches above it are parts. A gap that is short next to a part is none, and what
is too short or too long for a part, or runs into an end of the trace, is not cut
into one: it is told instead of guessed.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from statistics import median
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError

APART = 2.0
"""Times the idle power that grinding must take for a trace to be cut."""
_GAP = 0.08
"""A gap shorter than this share of a part is none."""
SHORT, LONG = 0.5, 1.6
"""What is shorter or longer than so many times the usual part is not one part."""
SPIKE = 0.1
"""What is shorter than this share of the longest stretch does not say how long a part is."""
LEAST_ROWS = 3
"""Rows of a part."""

Flaw: TypeAlias = Literal["too-short", "too-long", "cut-off"]


@dataclass(frozen=True, slots=True)
class GrindingStretch:
    """Rows ``first`` to ``last`` of a trace, above the line: ``mean_kw`` over time, ``peak_kw``, and how long.

    ``flaw`` says why it is no part; None for a part.
    """

    first: int
    last: int
    seconds: float
    mean_kw: float
    peak_kw: float
    flaw: Flaw | None = None


@dataclass(frozen=True)
class CutTrace:
    """A trace in ``stretches``, with the idle power and the line above which the wheel grinds, kW.

    ``usual_seconds`` is how long a part takes.
    """

    stretches: tuple[GrindingStretch, ...]
    idle_kw: float
    line_kw: float
    usual_seconds: float


def cut_trace(seconds: Sequence[float], powers: Sequence[float]) -> CutTrace:
    """The stretches of a trace; ``seconds`` ascend, ``powers`` are in kW.

    :class:`DressblockError` where there is no telling idle from grinding.
    """
    line, idle = _line(powers)
    raw = list(_above(powers, line))
    long = [(first, last) for first, last in raw if last - first + 1 >= LEAST_ROWS]
    if not long:
        raise DressblockError("no stretch of this trace above idle has three rows or more; log faster.")
    usual = _usual(seconds, long)
    merged = _merged(seconds, raw, _GAP * usual)
    usual = _usual(seconds, [one for one in merged if one[1] - one[0] + 1 >= LEAST_ROWS])
    return CutTrace(tuple(_stretch(seconds, powers, *one, usual) for one in merged), idle, line, usual)


def _line(powers: Sequence[float]) -> tuple[float, float]:
    """The power between idle and grinding, and the idle power, kW."""
    order = sorted(powers)
    # a spike or a slip at either end must not draw the line
    line = (order[len(order) // 50] + order[-1 - len(order) // 50]) / 2
    idle = grinding = math.nan
    for _ in range(100):
        below, above = [one for one in order if one <= line], [one for one in order if one > line]
        if not below or not above:
            break
        idle, grinding = median(below), median(above)
        before, line = line, (idle + grinding) / 2
        if line == before:
            break
    if -idle > abs(grinding):
        raise DressblockError(
            f"the power of this trace goes down to {idle:g} kW; grinding takes power, so look at the sign of the meter "
            "and at the idle power that is taken off."
        )
    if not grinding >= max(APART * idle, idle + 1e-6):
        raise DressblockError(
            "this trace has no idle gaps to cut it at: its power never falls to half of what grinding takes. "
            "Log with a column that counts parts, or take off the idle power with --idle."
        )
    return line, idle


def _above(powers: Sequence[float], line: float) -> Iterator[tuple[int, int]]:
    """First and last row of each stretch above ``line``."""
    for is_above, group in itertools.groupby(range(len(powers)), key=lambda at: powers[at] > line):
        rows = list(group)
        if is_above:
            yield rows[0], rows[-1]


def _usual(seconds: Sequence[float], stretches: Sequence[tuple[int, int]]) -> float:
    """How long the middle one of the stretches takes; spikes do not count."""
    times = sorted(seconds[last] - seconds[first] for first, last in stretches)
    return median([time for time in times if time >= SPIKE * times[-1]])


def _merged(seconds: Sequence[float], stretches: Sequence[tuple[int, int]], gap: float) -> list[tuple[int, int]]:
    found: list[tuple[int, int]] = []
    for first, last in stretches:
        if found and seconds[first] - seconds[found[-1][1]] < gap:
            found[-1] = (found[-1][0], last)
        else:
            found.append((first, last))
    return found


def _stretch(seconds: Sequence[float], powers: Sequence[float], first: int, last: int, usual: float) -> GrindingStretch:
    lasts = seconds[last] - seconds[first]
    energy = math.fsum((powers[at] + powers[at + 1]) / 2 * (seconds[at + 1] - seconds[at]) for at in range(first, last))
    mean = energy / lasts if lasts > 0 else powers[first]
    flaw: Flaw | None = None
    if first == 0 or last == len(powers) - 1:
        flaw = "cut-off"
    elif lasts < SHORT * usual:
        flaw = "too-short"
    elif lasts > LONG * usual:
        flaw = "too-long"
    return GrindingStretch(first, last, lasts, mean, max(powers[first : last + 1]), flaw)
