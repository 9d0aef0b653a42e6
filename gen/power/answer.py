"""What a power log answers: how often to dress, and whether the dresses are hard enough."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.power.aside import Aside
from gen.power.baseline import Baseline, baseline, matters_kw
from gen.power.cleared import Cleared
from gen.power.estimate import Estimate
from gen.power.fit import DIFFER, Fit, fit
from gen.power.forecast import Forecast
from gen.power.limit import Interval, Truing, as_seen, foretold, not_rising, truing
from gen.power.log import Log
from gen.power.pairs import Clearing, clearing_of
from gen.power.recovery import LoggedDress, dresses, overall_share
from gen.power.runs import Run, cut, epochs, without
from gen.power.said import Said, as_said
from gen.power.shape import Bend, bend_of
from gen.power.strays import strays
from gen.power.student import f_above
from gen.power.trend import Trend, trend_of
from gen.power.verdict import Judged, Verdict, verdict_of

_MOST_RUNS = 200
"""Runs that count, the latest ones; what was longer ago says little of the next dress."""
FEW = 3
"""Runs with which the scatter from dress to dress is hardly known."""


@dataclass(frozen=True)
class Answer:
    """Everything that the log says. ``limit_kw`` and all powers are net of ``log.idle_kw``.

    ``runs`` are all of the log less the rows of ``set_aside``, those of ``fit`` the
    ones since the last truing and after the first mark. What the log cannot tell
    is None, and ``why`` or ``notes`` say so.
    """

    log: Log
    limit_kw: float
    set_aside: tuple[Aside, ...]
    runs: tuple[Run, ...]
    dresses: tuple[LoggedDress, ...]
    fit: Fit | None
    bend: Bend | None
    baseline: Baseline | None
    share: Estimate | None
    clearing: Clearing | None
    interval: Interval | None
    truing: Truing | None
    verdict: Verdict
    why: Said
    notes: tuple[Said, ...]

    @property
    def cleared(self) -> Cleared | None:
        """What a dress clears of the loading; None where the log cannot tell."""
        return None if self.clearing is None else self.clearing.cleared


def answer(log: Log, limit_kw: float, clean_kw: float | None = None) -> Answer:
    """What ``log`` says about a limit.

    ``limit_kw``, and ``clean_kw``, the power of the first parts after truing and
    its opening, are as the machine shows them, idle power included.
    :class:`DressblockError` where idle power that is taken off leaves nothing of one.
    """
    idle = log.idle_kw or 0.0
    limit, clean = limit_kw - idle, None if clean_kw is None else clean_kw - idle
    for name, kw in (("limit", limit), ("clean power", clean)):
        if idle and kw is not None and kw <= 0:
            raise DressblockError(
                f"the {name} of {kw + idle:g} kW is not above the idle power of {idle:g} kW that is taken off; give "
                "both as the machine shows them."
            )
    runs = without(cut(log.parts), {one.line for one in log.set_aside})
    far = strays(runs)
    runs = without(runs, {one.line for one in far})
    aside = tuple(sorted((*log.set_aside, *far), key=lambda one: one.line))
    groups = [group[-_MOST_RUNS:] for group in epochs(runs)]
    marks = dresses(runs)
    fitted = fit(groups[-1]) if groups else None
    why = None if fitted is None else _says_nothing(log, fitted)
    if fitted is None or why is not None:
        why = why or _nothing(groups)
        nothing = (None,) * 7
        return Answer(log, limit, aside, runs, marks, *nothing, "unknown", why, log.notes)
    bend = bend_of(fitted)
    tried = clearing_of(fitted, bend, clean) if fitted.rise.interval()[0] > 0 else None
    # a wheel without loading takes power all the same
    is_told = tried is not None and tried.cleared.is_told and tried.cleared.clean_kw > 0
    clearing = tried if is_told else None
    base = baseline(fitted, _trend(fitted, tried))
    latest = marks[len(marks) - len(fitted.runs) :]
    judged: Judged = verdict_of(fitted, base, tried, latest)
    creeps = base.trend.course == "creeps"
    return Answer(
        log=log,
        limit_kw=limit,
        set_aside=aside,
        runs=runs,
        dresses=marks,
        fit=fitted,
        bend=bend,
        baseline=base,
        share=overall_share(fitted),
        clearing=clearing,
        interval=_interval(fitted, bend, base, clearing, limit),
        truing=truing(fitted, base, limit) if creeps and judged.verdict != "too-gentle" else None,
        verdict=judged.verdict,
        why=judged.why,
        notes=(*log.notes, *_notes(runs, groups, fitted, bend, doubtful=base.trend.doubtful)),
    )


def _trend(fitted: Fit, clearing: Clearing | None) -> Trend:
    """What the power after a dress does, beside what loading and dresses explain where these are known.

    A log that neither begins clean nor has double dresses is at rest, or else something changes.
    """
    matters = matters_kw(fitted)
    seen = trend_of(fitted.levels, matters)
    if clearing is None or (clearing.begins_clean and not clearing.cleared.is_told):
        # what builds up or warms up is then no part of a power that stays as it is
        return seen
    if seen.course != "steady" and len({run.dresses for run in fitted.runs}) == 1:
        return seen
    return clearing.trend(matters) or seen


def _interval(fitted: Fit, bend: Bend, base: Baseline, clearing: Clearing | None, limit_kw: float) -> Interval | None:
    """The interval, where the power after a dress stays as it is."""
    if base.trend.course != "steady" or base.trend.doubtful:
        return None
    if fitted.rise.interval()[0] <= 0:
        return not_rising(fitted, base, limit_kw)
    if clearing is not None and bend.shape == "straight":
        found = foretold(Forecast(fitted, clearing, bend), limit_kw)
        if clearing.clean_kw is not None or found.parts >= fitted.usual:
            return found
        # a spindle that warms up looks like loading that builds up, and then shorter runs would help less than foretold
        latest = as_seen(fitted, baseline(fitted, Trend("settles")), limit_kw, straight=True)
        return found if latest is None or latest.parts >= found.parts else latest
    return as_seen(fitted, base, limit_kw, straight=bend.shape == "straight")


def _nothing(groups: list[tuple[Run, ...]]) -> Said:
    if not groups:
        return as_said("no-mark")
    return as_said("few-parts", parts=str(sum(len(run.parts) for run in groups[-1])), runs=str(len(groups[-1])))


def _says_nothing(log: Log, fitted: Fit) -> Said | None:
    """Why powers that have a line say nothing all the same; None where they may."""
    if len({power for run in fitted.runs for power in run.powers}) == 1:
        return as_said("frozen")
    rows = log.scatter_of_means
    # what rows scatter by chance, their means scatter too
    if rows is not None and f_above(rows.value / max(fitted.noise.value, 1e-12), rows.dof, fitted.noise.dof) < DIFFER:
        return as_said("rows-differ")
    return None


def _notes(
    runs: tuple[Run, ...], groups: list[tuple[Run, ...]], fitted: Fit, bend: Bend, *, doubtful: bool
) -> Iterator[Said]:
    if runs[0].opening == "log":
        yield as_said("before-mark", parts=str(len(runs[0].parts)))
    if len(fitted.runs) == _MOST_RUNS:
        yield as_said("latest-runs", runs=str(_MOST_RUNS), part=str(fitted.runs[0].parts[0].number))
    if len(groups) > 1:
        yield as_said("since-truing", part=str(fitted.runs[0].parts[0].number))
    if fitted.slope_scatter > 0:
        slopes = [line.rise_kw for line, run in zip(fitted.lines, fitted.runs, strict=True) if len(run.parts) > 2]
        yield as_said("rise-differs", least=f"{1000 * min(slopes):.0f}", most=f"{1000 * max(slopes):.0f}")
    if bend.shape != "straight":
        yield as_said(bend.shape)
    if doubtful:
        yield as_said("doubtful")
    if len(fitted.runs) == 1:
        yield as_said("single-run")
    elif len(fitted.runs) <= FEW:
        yield as_said("few-runs", runs=str(len(fitted.runs)))
