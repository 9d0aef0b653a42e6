"""What the log says about the dresses: good, too gentle, true the wheel, or nothing certain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple, TypeAlias

from gen.power.baseline import LEAST_FOR_SHAPE, Baseline
from gen.power.estimate import Estimate
from gen.power.fit import Fit
from gen.power.recovery import CLEAR, Dress
from gen.power.said import Said, say

Verdict: TypeAlias = Literal["good", "too-gentle", "true-the-wheel", "unknown"]

LOW = 0.7
"""A dress that takes away less of the rise is too gentle; the project's own line, no source."""
LEAST_DRESSES = 2
"""Dresses whose share is known, for any verdict."""


class Judged(NamedTuple):
    """A verdict and the sentence that gives its ground."""

    verdict: Verdict
    why: Said


def judge(fit: Fit, base: Baseline, share: Estimate | None, dresses: Sequence[Dress]) -> Judged:
    """The verdict on ``fit``'s dresses; ``share`` is what they took together."""
    if fit.rise.interval()[0] <= 0:
        return Judged("unknown", say("no-rise"))
    known = [dress for dress in dresses if dress.share is not None]
    if share is None or len(known) < LEAST_DRESSES:
        return Judged("unknown", _too_little(fit, dresses))
    low, high = share.interval()
    creep = "" if base.creep is None else f"{1000 * abs(base.creep.value):.0f}"
    match base.trend:
        case "falls":
            return Judged("unknown", say("falls", watts=creep))
        case "levels-off":
            return Judged("too-gentle", say("levels-off"))
        case "creeps" if share.value >= LOW:
            return _worn(creep, len(fit.runs))
        case "creeps":
            return Judged("too-gentle", say("adds-up", watts=creep))
        case "steady":
            if low >= LOW:
                return Judged("good", say("takes-it-away"))
            if high < LOW:
                return Judged("too-gentle", say("takes-too-little"))
    return Judged("unknown", say("between", low=f"{100 * low:.0f}", high=f"{100 * high:.0f}", line=f"{100 * LOW:.0f}"))


def _worn(creep: str, runs: int) -> Judged:
    if runs < LEAST_FOR_SHAPE:
        return Judged("unknown", say("creeps-few", watts=creep, runs=str(runs), least=str(LEAST_FOR_SHAPE)))
    return Judged("true-the-wheel", say("creeps", watts=creep))


def _too_little(fit: Fit, dresses: Sequence[Dress]) -> Said:
    if any(dress.silence == "in-the-noise" for dress in dresses):
        return say("in-the-noise", times=f"{CLEAR:g}", noise=f"{fit.noise_kw:.2f}")
    return say("few-dresses", runs=str(len(fit.runs)))
