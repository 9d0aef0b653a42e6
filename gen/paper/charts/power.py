"""Power over parts: what was measured, the dresses, the fit and the limit."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from gen.paper.charts.plot import Box, Key, Line, Scale, Size, Tick, key, neat, round_step, short
from gen.power.answer import Answer


@dataclass(frozen=True, slots=True)
class Mark:
    """A dress, or a ``trued`` wheel, before the part at ``x``."""

    x: float
    trued: bool


@dataclass(frozen=True, slots=True)
class PowerChart:
    """Everything placed; ``trace`` are the parts as points, ``fits`` the line of each run that counts.

    ``forecast`` is the next run up to the recommended interval, None where none is told.
    """

    kind: ClassVar[str] = "power"
    size: Size
    plot: Box
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    parts: tuple[tuple[float, float], ...]
    marks: tuple[Mark, ...]
    fits: tuple[Line, ...]
    forecast: Line | None
    limit: float
    limit_text: str
    baseline_text: str
    rise_text: str
    every: int
    verdict: str
    net: bool
    dot: float
    key: Key
    title: str


def power_chart(answer: Answer, title: str, size: Size, decimal: str = ".") -> PowerChart:
    """The chart of what a power log answers; parts are counted from the first one of the log, from 1."""
    begins = list(itertools.accumulate((run.length + run.parts_lost for run in answer.runs), initial=1))
    places = [(begin + since, power) for run, begin in zip(answer.runs, begins, strict=False)
              for since, power in zip(run.since, run.powers, strict=True)]  # fmt: skip
    forecast = _forecast(answer, begins[-1])
    far = [at for at, _ in places] + ([forecast[1][0]] if forecast else [])
    high = [power for _, power in places] + [answer.limit_kw] + ([forecast[1][1]] if forecast else [])
    type_ = size.type
    plot = Box(neat(3.6 * type_), neat(1.8 * type_), neat(0.66 * size.width), neat(size.height - 3 * type_))
    x = Scale(0, max(far) + 1, plot.left, plot.right)
    y = Scale(min(0.0, *high), 1.1 * max(high), plot.bottom, plot.top)
    fit = answer.fit
    return PowerChart(
        size=size,
        plot=plot,
        x_ticks=_whole(x),
        y_ticks=y.ticks(6, lambda value: short(value).replace(".", decimal)),
        parts=tuple((x(at), y(power)) for at, power in places),
        marks=tuple(
            Mark(x(begin - 0.5), run.opening == "truing")
            for run, begin in zip(answer.runs, begins, strict=False)
            if run.opening != "log"
        ),
        fits=tuple(_fits(answer, begins, x, y)),
        forecast=None
        if forecast is None
        else Line(*(f(v) for end in forecast for f, v in zip((x, y), end, strict=True))),
        limit=y(answer.limit_kw),
        limit_text=f"{answer.limit_kw:.2f} kW".replace(".", decimal),
        baseline_text="" if answer.baseline is None else f"{answer.baseline.now.value:.2f} kW".replace(".", decimal),
        rise_text="" if fit is None else f"{fit.rise.value:.3f} kW".replace(".", decimal),
        every=0 if answer.interval is None else answer.interval.parts,
        verdict=answer.verdict,
        net=answer.log.idle_kw is not None,
        dot=neat(0.2 * type_),
        key=key(plot.right + 1.2 * type_, plot.top, size, 9),
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


def _forecast(answer: Answer, begin: int) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """The line expected of the run that the next dress opens, over the parts until the one after it."""
    fit, base, found = answer.fit, answer.baseline, answer.interval
    if fit is None or base is None or found is None or found.parts < 2:
        return None
    level = base.next_level.value - fit.rise.value * fit.centre
    return (begin, level), (begin + found.parts - 1, level + fit.rise.value * (found.parts - 1))
