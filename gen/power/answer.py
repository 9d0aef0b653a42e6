"""What a power log answers: how often to dress, and whether the dresses are hard enough."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gen.power.baseline import Baseline, baseline
from gen.power.estimate import Estimate
from gen.power.fit import Fit, fit
from gen.power.limit import Interval, Truing, interval, truing
from gen.power.log import Log
from gen.power.recovery import Dress, dresses, together
from gen.power.runs import Run, cut, epochs
from gen.power.verdict import Judged, Verdict, judge

FEW = 3
"""Runs with which the scatter from dress to dress is hardly known."""


@dataclass(frozen=True)
class Answer:
    """Everything that the log says. ``limit_kw`` and all powers are net of ``log.idle_kw``.

    ``runs`` are all of the log, those of ``fit`` the ones since the last truing
    and after the first mark. What the log cannot tell is None, and ``why`` or
    ``notes`` say so.
    """

    log: Log
    limit_kw: float
    runs: tuple[Run, ...]
    dresses: tuple[Dress, ...]
    fit: Fit | None
    baseline: Baseline | None
    share: Estimate | None
    interval: Interval | None
    truing: Truing | None
    verdict: Verdict
    why: str
    notes: tuple[str, ...]

    @property
    def rises(self) -> bool:
        """Whether the power certainly rises from part to part."""
        return self.fit is not None and self.fit.rise.interval()[0] > 0


def answer(log: Log, limit_kw: float) -> Answer:
    """What ``log`` says about a limit as the machine shows it, idle power included."""
    limit = limit_kw - (log.idle_kw or 0.0)
    runs = cut(log.parts)
    groups = list(epochs(runs))
    marks = dresses(runs)
    fitted = fit(groups[-1]) if groups else None
    if fitted is None:
        why = _nothing(groups)
        return Answer(log, limit, runs, marks, None, None, None, None, None, "unknown", why, log.notes)
    base, share = baseline(fitted), together(fitted)
    rises = fitted.rise.interval()[0] > 0
    latest = marks[len(marks) - len(fitted.runs) :]
    judged: Judged = judge(fitted, base, share, latest)
    return Answer(
        log=log,
        limit_kw=limit,
        runs=runs,
        dresses=marks,
        fit=fitted,
        baseline=base,
        share=share,
        interval=interval(fitted, base, limit) if rises else None,
        truing=truing(fitted, base, limit) if judged.verdict == "true-the-wheel" else None,
        verdict=judged.verdict,
        why=judged.why,
        notes=(*log.notes, *_notes(runs, groups, fitted, base)),
    )


def _nothing(groups: list[tuple[Run, ...]]) -> str:
    if not groups:
        return (
            "no dress is marked in this log, so nothing tells where the power begins after one; put a 1 in the column "
            "of dresses on the first part after each."
        )
    parts = sum(len(run.parts) for run in groups[-1])
    return f"{parts} parts in {len(groups[-1])} runs after the first mark, or the last truing, are too few for a line."


def _notes(runs: tuple[Run, ...], groups: list[tuple[Run, ...]], fitted: Fit, base: Baseline) -> Iterator[str]:
    if runs[0].opening == "log":
        yield (
            f"the first {len(runs[0].parts)} parts, before the first mark, do not count: nothing tells how long ago "
            "the wheel was dressed."
        )
    if len(groups) > 1:
        yield f"the wheel was trued; what counts is since then, from part {fitted.runs[0].parts[0].number} on."
    if fitted.slope_scatter > 0:
        slopes = [line.rise_kw for line, run in zip(fitted.lines, fitted.runs, strict=True) if len(run.parts) > 2]
        yield (
            f"the rise differs from run to run, from {1000 * min(slopes):.0f} to {1000 * max(slopes):.0f} W a part, by "
            "more than the noise explains: the work, the coolant or the wheel changes."
        )
    if base.trend in ("creeps", "levels-off", "falls"):
        yield "the power after a dress is not the same throughout the log; the one told is the latest."
    if base.scatter is None:
        yield "with a single run nothing tells how much one dress differs from another, so no parts are told."
    elif len(fitted.runs) <= FEW:
        yield f"{len(fitted.runs)} runs tell little of how much dresses differ; more of them narrow all of this down."
