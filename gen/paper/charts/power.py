"""Power over parts: what was measured, the dresses, the fit and the limit."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Literal

from gen.base.languages import language as known
from gen.paper.charts import Chart
from gen.paper.charts.plot import FULL, Box, Line, Scale, Tick, legend, neat, round_step, short
from gen.power.answer import Answer
from gen.power.limit import Interval
from gen.power.rest import SURE


def power_chart(answer: Answer, title: str, language: str = "en") -> Chart:
    """The chart of what a power log answers; parts are counted from the first one of the log, from 1.

    ``parts`` are points, ``marks`` the dresses and truings, ``fits`` the line of each run that counts. ``forecast`` is
    the next run up to the recommended interval, empty where none is told; 9 of 10 of its parts lie within the outline
    ``band``. ``sets`` says what sets the interval: the limit, a log that tells of no longer run, or runs that were no
    longer.
    """
    begins = list(itertools.accumulate((run.ground for run in answer.runs), initial=1))
    places = [(begin + since, power) for run, begin in zip(answer.runs, begins, strict=False)
              for since, power in zip(run.since, run.powers, strict=True)]  # fmt: skip
    estimates = () if answer.interval is None else answer.interval.band
    forecast = [(begins[-1] + since, power.value) for since, power in enumerate(estimates)]
    upper = [(begins[-1] + since, power.above(SURE)) for since, power in enumerate(estimates)]
    lower = [(begins[-1] + since, power.below(SURE)) for since, power in enumerate(estimates)]
    far = [at for at, _ in places + upper]
    high = [power for _, power in places + upper] + [answer.limit_kw]
    size, type_ = FULL, FULL.type
    plot = Box(neat(3.6 * type_), neat(1.8 * type_), neat(0.66 * size.width), neat(size.height - 3 * type_))
    x = Scale(0, max(far) + 1, plot.left, plot.right)
    y = Scale(min(0.0, *high), 1.1 * max(high), plot.bottom, plot.top)
    fit, mark = answer.fit, known(language).marked
    return Chart(
        kind="power",
        size=size,
        plot=plot,
        x_ticks=_whole(x),
        y_ticks=y.ticks(6, lambda value: mark(short(value))),
        parts=tuple((x(at), y(power)) for at, power in places),
        marks=tuple(
            SimpleNamespace(x=x(begin - 0.5), trued=run.opening == "truing")
            for run, begin in zip(answer.runs, begins, strict=False)
            if run.opening != "log"
        ),
        fits=tuple(_fits(answer, begins, x, y)),
        forecast=tuple((x(at), y(power)) for at, power in forecast),
        band=tuple((x(at), y(max(y.low, power))) for at, power in [*upper, *reversed(lower)]),
        sets=_sets(answer.interval),
        limit=y(answer.limit_kw),
        limit_text=mark(f"{answer.limit_kw:.2f} kW"),
        baseline_text="" if answer.baseline is None else mark(f"{answer.baseline.now.value:.2f} kW"),
        rise_text="" if fit is None else mark(f"{fit.rise.value:.3f} kW"),
        every=0 if answer.interval is None else answer.interval.parts,
        at_least=answer.interval is not None and answer.interval.ground == "flat",
        verdict=answer.verdict,
        net=answer.log.idle_kw is not None,
        dot=neat(0.2 * type_),
        key=legend(plot.right + 1.2 * type_, plot.top, size, 11),
        title=title,
    )


def _whole(x: Scale) -> tuple[Tick, ...]:
    """Ticks at whole parts alone."""
    return x.ticks(max(1, min(8, int(x.high / round_step(1.0)))))


def _fits(answer: Answer, begins: list[int], x: Scale, y: Scale) -> Iterator[Line]:
    """The line of every run that the fit is about, from its first part to its last."""
    if answer.fit is None:
        return
    first: dict[int, int] = {id(run): begin for run, begin in zip(answer.runs, begins, strict=False)}
    for run, line in zip(answer.fit.runs, answer.fit.lines, strict=True):
        begin, last = first[id(run)], run.since[-1]
        yield Line(x(begin), y(line.at(0)), x(begin + last), y(line.at(last)))


def _sets(found: Interval | None) -> Literal["", "limit", "reach", "seen"]:
    """What sets the interval."""
    if found is None or not found.parts:
        return ""
    if not found.capped:
        return "limit"
    return "seen" if found.ground == "seen" else "reach"
