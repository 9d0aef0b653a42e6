"""What the log says about the dresses: good, too gentle, true the wheel, or nothing certain."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple, TypeAlias

from gen.power.baseline import LEAST_FOR_SHAPE, Baseline
from gen.power.estimate import Estimate
from gen.power.fit import Fit
from gen.power.recovery import CLEAR, Dress

Verdict: TypeAlias = Literal["good", "too-gentle", "true-the-wheel", "unknown"]

LOW = 0.7
"""A dress that takes away less of the rise is too gentle; the project's own line, no source."""
LEAST_DRESSES = 2
"""Dresses whose share is known, for any verdict."""


class Judged(NamedTuple):
    """A verdict and the sentence that gives its ground."""

    verdict: Verdict
    why: str


def judge(fit: Fit, base: Baseline, share: Estimate | None, dresses: Sequence[Dress]) -> Judged:
    """The verdict on ``fit``'s dresses; ``share`` is what they took together."""
    if fit.rise.interval()[0] <= 0:
        return Judged("unknown", "the power does not measurably rise from part to part: there is nothing to take away.")
    known = [dress for dress in dresses if dress.share is not None]
    if share is None or len(known) < LEAST_DRESSES:
        return Judged("unknown", _too_little(fit, dresses))
    low, high = share.interval()
    creeping = "" if base.creep is None else f"{1000 * base.creep.value:.0f} W a dress"
    match base.trend:
        case "falls":
            return Judged(
                "unknown",
                f"the power after a dress falls by {creeping.lstrip('-')}: a machine that warms up, lighter work, or a "
                "wheel that is still clearing; log again once it has settled.",
            )
        case "levels-off":
            return Judged(
                "too-gentle",
                "the power after a dress has crept up and levelled off: each dress leaves a part of the loading, until "
                "so much is there that the dress takes off what a run adds.",
            )
        case "creeps" if share.value >= LOW:
            return _worn(base, creeping, len(fit.runs))
        case "creeps":
            return Judged(
                "too-gentle",
                f"the dresses take too little of the rise away, and what they leave adds up by {creeping}.",
            )
        case "steady":
            if low >= LOW:
                return Judged("good", "each dress takes away what the run added, and the power after a dress stays.")
            if high < LOW:
                return Judged("too-gentle", "the dresses take too little of the rise away.")
    return Judged(
        "unknown",
        f"the dresses took between {100 * low:.0f} and {100 * high:.0f} % of the rise, as well as this log can tell, "
        "and less than 70 % would be too gentle; log more parts.",
    )


def _worn(base: Baseline, creeping: str, runs: int) -> Judged:
    if runs < LEAST_FOR_SHAPE:
        return Judged(
            "unknown",
            f"the power after a dress creeps up by {creeping}; {runs} runs do not tell a gentle dress, which levels "
            f"off, from a wheel that wants truing. Log {LEAST_FOR_SHAPE} or more.",
        )
    return Judged(
        "true-the-wheel",
        f"the dresses take the rise away, and yet the power after them keeps creeping up by {creeping}: what creeps is "
        "not loading, and no dress takes it away.",
    )


def _too_little(fit: Fit, dresses: Sequence[Dress]) -> str:
    if any(dress.silence == "in-the-noise" for dress in dresses):
        return (
            f"the rise of a run is less than {CLEAR:g} times the noise of {fit.noise_kw:.2f} kW from part to part, so "
            "what a dress takes away cannot be seen; log the same operation of the same part each time, or more traces "
            "a part."
        )
    return (
        f"there are {len(fit.runs)} runs after a dress; two dresses with a whole run before each, so three runs, are "
        "the least."
    )
