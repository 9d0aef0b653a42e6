"""How much of the rise each dress took away.

Both from fitted ends: the rise of a run is its line's end less its start, and
what the dress took is that end less the next line's start. Nothing is clipped: a
dress that also clears what earlier ones left takes more than the rise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.power.estimate import Estimate, Variance
from gen.power.fit import Fit, fit
from gen.power.runs import Run, epochs

CLEAR = 2.0
"""A rise below so many times the noise of a single part says nothing about a dress."""

Silence: TypeAlias = Literal["nothing-before", "unknown-start", "truing", "lost-parts", "too-few-parts", "in-the-noise"]
"""Why a share is not known: no run before the dress, a run that began before the log, truing in place of a dress,
parts missing just before it, too few parts to fit, a rise below twice the noise."""


@dataclass(frozen=True, slots=True)
class LoggedDress:
    """One mark of the log: the first part after it, and the share of the rise that the dress took away."""

    part: int
    share: float | None
    silence: Silence | None = None


def dresses(runs: Sequence[Run]) -> tuple[LoggedDress, ...]:
    """What each mark of the log did, in order."""
    found = []
    for epoch in epochs(runs):
        fitted, first = fit(epoch), epoch[0]
        before: Silence = "nothing-before" if first is runs[0] else "unknown-start"
        shares: list[float | Silence] = ["truing" if first.opening == "truing" else before]
        shares += (_share(fitted, at, run) for at, run in enumerate(epoch[:-1]))
        for run, share in zip(epoch, shares, strict=True):
            part = run.parts[0].number
            found.append(LoggedDress(part, share) if isinstance(share, float) else LoggedDress(part, None, share))
    return tuple(found)


def _share(fitted: Fit | None, at: int, run: Run) -> float | Silence:
    """The share that the dress after ``run``, number ``at`` of ``fitted``, took of its rise."""
    if fitted is None:
        return "too-few-parts"
    line, after = fitted.lines[at], fitted.lines[at + 1]
    end = line.at(run.since[-1])
    rise = end - line.start_kw
    if run.parts_lost:
        return "lost-parts"
    if rise <= 0 or rise < CLEAR * fitted.noise_kw:
        return "in-the-noise"
    return (end - after.start_kw) / rise


def overall_share(fitted: Fit) -> Estimate | None:
    """The share that all dresses of ``fitted`` took together: 1 less what start gained over what the runs added.

    Its error is that of measuring these dresses, not of how others would go.
    None where nothing rose, or there was no dress.
    """
    if len(fitted.runs) < 2:
        return None
    rises = math.fsum(
        line.at(run.since[-1]) - line.start_kw for line, run in zip(fitted.lines[:-1], fitted.runs[:-1], strict=True)
    )
    if rises <= 0:
        return None
    first, last = fitted.runs[0], fitted.runs[-1]
    gained = fitted.lines[-1].start_kw - fitted.lines[0].start_kw
    share = gained / rises
    means = fitted.noise.value * (1 / len(first.parts) + 1 / len(last.parts)) / rises**2
    # by how much the share changes with the common rise, through where the lines start and through what they add
    apart = math.fsum(last.since) / len(last.parts) - math.fsum(first.since) / len(first.parts)
    slope = (apart + share * sum(run.since[-1] for run in fitted.runs[:-1])) / rises
    error = means + fitted.rise.variance.value * slope**2
    return Estimate(1 - share, Variance(error, min(fitted.noise.dof, fitted.rise.variance.dof)))
