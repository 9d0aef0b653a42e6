"""What each target of a trial clears, with its interval, and what a part costs there."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, ClassVar

from gen.base.dataclass import dataclass
from gen.paper.charts.plot import Box, DrawingSize, Scale, Tick, neat, path, short
from gen.power.trial.answer import TrialAnswer


@dataclass(frozen=True, slots=True)
class Axes:
    """A field to plot in, with its ticks."""

    plot: Box
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """A rung: its value at ``y``, its interval from ``top`` to ``bottom``; ``marked`` is the one to dress at."""

    x: float
    y: float
    top: float
    bottom: float
    marked: bool


@dataclass(frozen=True, slots=True)
class TrialChart:
    """Everything placed. ``costs`` is None where the costs are not known; ``told`` is for the text alternative."""

    kind: ClassVar[str] = "trial"
    size: DrawingSize
    clears: Axes
    costs: Axes | None
    bars: tuple[Bar, ...]
    dots: tuple[Bar, ...]
    line: str
    dot: float
    chosen: bool
    title: str
    currency: str
    told: tuple[dict[str, Any], ...]


def trial_chart(answer: TrialAnswer, title: str, size: DrawingSize, decimal: str = ".") -> TrialChart:
    """The chart of ``answer``; two fields side by side where the costs are known, else one."""
    costs = [one.cost for one in answer.rungs if one.cost is not None]
    type_ = size.type
    edge, top, bottom = neat(3.6 * type_), neat(2.4 * type_), neat(size.height - 3 * type_)
    half = size.width / 2 if costs else size.width
    left = Box(edge, top, neat(half - 1.5 * type_), bottom)
    right = Box(neat(half + 4.6 * type_), top, neat(size.width - 1.2 * type_), bottom)
    targets = answer.targets or (0.0, 1.0)
    room = 0.12 * (targets[-1] - targets[0]) or 1.0
    best = answer.choice.so_far

    def text(value: float) -> str:
        return short(value).replace(".", decimal)

    def across(box: Box) -> Scale:
        return Scale(targets[0] - room, targets[-1] + room, box.left, box.right)

    def ticks(scale: Scale) -> tuple[Tick, ...]:
        return tuple(Tick(scale(target), text(target)) for target in targets)

    x, y = across(left), Scale(0, 100, left.bottom, left.top)
    bars = tuple(
        Bar(
            x(one.target),
            y(100 * one.cleared),
            y(100 * one.cleared_interval[1]),
            y(100 * one.cleared_interval[0]),
            at == best,
        )
        for at, one in enumerate(answer.rungs)
    )
    field: Axes | None = None
    dots: tuple[Bar, ...] = ()
    if costs:
        money_x, money_y = across(right), Scale(0, 1.15 * max(costs), right.bottom, right.top)
        field = Axes(right, ticks(money_x), money_y.ticks(5, text))
        dots = tuple(
            Bar(money_x(one.target), money_y(one.cost), 0, 0, at == best)
            for at, one in enumerate(answer.rungs)
            if one.cost is not None
        )
    return TrialChart(
        size=size,
        clears=Axes(left, ticks(x), y.ticks(5, text)),
        costs=field,
        bars=bars,
        dots=dots,
        line=path((one.x, one.y) for one in dots),
        dot=neat(0.3 * type_),
        chosen=answer.choice.best is not None,
        title=title,
        currency=answer.currency,
        told=tuple(_told(answer, decimal)),
    )


def _told(answer: TrialAnswer, decimal: str) -> Iterator[dict[str, Any]]:
    for one in answer.rungs:
        low, high = one.cleared_interval
        yield {
            "target": f"{one.target:g}",
            "cleared": f"{100 * one.cleared:.0f}",
            "low": f"{100 * low:.0f} %",
            "high": f"{100 * high:.0f} %",
            "cost": "" if one.cost is None else f"{one.cost:.3g} {answer.currency}".replace(".", decimal).strip(),
        }
