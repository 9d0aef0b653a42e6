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
from gen.power.said import Said, say
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
    why: Said
    notes: tuple[Said, ...]

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


def _nothing(groups: list[tuple[Run, ...]]) -> Said:
    if not groups:
        return say("no-mark")
    return say("few-parts", parts=str(sum(len(run.parts) for run in groups[-1])), runs=str(len(groups[-1])))


def _notes(runs: tuple[Run, ...], groups: list[tuple[Run, ...]], fitted: Fit, base: Baseline) -> Iterator[Said]:
    if runs[0].opening == "log":
        yield say("before-mark", parts=str(len(runs[0].parts)))
    if len(groups) > 1:
        yield say("since-truing", part=str(fitted.runs[0].parts[0].number))
    if fitted.slope_scatter > 0:
        slopes = [line.rise_kw for line, run in zip(fitted.lines, fitted.runs, strict=True) if len(run.parts) > 2]
        yield say("rise-differs", least=f"{1000 * min(slopes):.0f}", most=f"{1000 * max(slopes):.0f}")
    if base.trend in ("creeps", "levels-off", "falls"):
        yield say("latest-baseline")
    if base.scatter is None:
        yield say("single-run")
    elif len(fitted.runs) <= FEW:
        yield say("few-runs", runs=str(len(fitted.runs)))
