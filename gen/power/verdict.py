"""What the log says about the dresses: good, too gentle, true the wheel, or that it cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple, TypeAlias

from gen.power.baseline import Baseline
from gen.power.fit import Fit
from gen.power.pairs import Clearing
from gen.power.recovery import CLEAR, LoggedDress
from gen.power.said import Said, as_said
from gen.power.trend import LEAST_FOR_STEP

Verdict: TypeAlias = Literal["good", "too-gentle", "true-the-wheel", "steady", "unknown"]

_LOW = 0.7
"""A dress that clears less of the loading is too gentle; the project's own line, no source."""
ADDS_UP = 0.7
"""Share of a run's rise that stays after each dress, above which the dresses do next to nothing."""
_LEAST_RUNS = 3
"""Runs after a dress, for any verdict."""
LEAST_DRESSES = 2
"""Dresses whose share of the rise is known, for any verdict."""


class Judged(NamedTuple):
    """A verdict and the sentence that gives its ground."""

    verdict: Verdict
    why: Said


def verdict_of(fit: Fit, base: Baseline, clearing: Clearing | None, dresses: Sequence[LoggedDress]) -> Judged:
    """The verdict on ``fit``'s dresses; ``clearing`` is what they clear, however little the log tells of it."""
    if fit.rise.interval()[0] <= 0:
        return Judged("unknown", as_said("no-rise"))
    known = [dress for dress in dresses if dress.share is not None]
    if len(fit.runs) < _LEAST_RUNS or len(known) < LEAST_DRESSES:
        return Judged("unknown", _too_little(fit, dresses))
    if base.trend.doubtful and clearing is not None and clearing.cleared.is_told:
        return Judged("unknown", as_said("may-change"))
    return _changing(fit, base) or _steady(clearing)


def _changing(fit: Fit, base: Baseline) -> Judged | None:
    """What the power after a dress says where it changes from dress to dress; None where it does not."""
    watts = "" if base.creep is None else f"{1000 * abs(base.creep.value):.0f}"
    match base.trend.course:
        case "steady":
            return None
        case "creeps":
            run = fit.rise.value * fit.mean_length
            if base.creep is not None and base.creep.value > ADDS_UP * run:
                return Judged("too-gentle", as_said("adds-up", watts=watts))
            if len(fit.runs) < LEAST_FOR_STEP:
                least = str(LEAST_FOR_STEP)
                return Judged("unknown", as_said("creeps-few", watts=watts, runs=str(len(fit.runs)), least=least))
            return Judged("true-the-wheel", as_said("creeps", watts=watts))
        case "steps":
            at = 0 if base.trend.at is None else base.trend.at
            return Judged("unknown", as_said("steps", part=str(fit.runs[at].parts[0].number)))
        case "falls":
            return Judged("unknown", as_said("falls", watts=watts))
        case course:
            return Judged("unknown", as_said(course))


def _steady(clearing: Clearing | None) -> Judged:
    if clearing is None or not (clearing.begins_clean or clearing.cleared.is_told):
        return Judged("steady", as_said("steady"))
    low, high = clearing.cleared.interval()
    ends = {"low": f"{100 * low:.0f}", "high": f"{100 * high:.0f}", "line": f"{100 * _LOW:.0f}"}
    if low >= _LOW:
        return Judged("good", as_said("clears-enough", **ends))
    if high < _LOW:
        return Judged("too-gentle", as_said("clears-too-little", **ends))
    return Judged("unknown", as_said("between-clean" if clearing.begins_clean else "between", **ends))


def _too_little(fit: Fit, dresses: Sequence[LoggedDress]) -> Said:
    if any(dress.silence == "in-the-noise" for dress in dresses):
        return as_said("in-the-noise", times=f"{CLEAR:g}", noise=f"{fit.noise_kw:.2f}")
    return as_said("few-dresses", runs=str(len(fit.runs)))
