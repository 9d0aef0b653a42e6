"""What each target of a trial clears, with its interval, and what a part costs there."""

from __future__ import annotations

from types import SimpleNamespace

from gen.base.languages import language as known
from gen.paper.charts import Chart
from gen.paper.charts.plot import FULL, Box, Scale, Tick, neat, path, short
from gen.power.trial.answer import TrialAnswer
from gen.power.trial.telling import rung_told


def trial_chart(answer: TrialAnswer, title: str, language: str = "en") -> Chart:
    """The chart of ``answer``; two fields side by side where the costs are known, else one: ``costs`` is then None.

    ``bars`` and ``dots`` are the rungs: the value at ``y``, its interval from ``top`` to ``bottom``; ``marked`` is the
    one to dress at. ``told`` is for the text alternative.
    """
    costs = [one.cost for one in answer.rungs if one.cost is not None]
    size, type_ = FULL, FULL.type
    edge, top, bottom = neat(3.6 * type_), neat(2.4 * type_), neat(size.height - 3 * type_)
    half = size.width / 2 if costs else size.width
    left = Box(edge, top, neat(half - 1.5 * type_), bottom)
    right = Box(neat(half + 4.6 * type_), top, neat(size.width - 1.2 * type_), bottom)
    targets = answer.targets or (0.0, 1.0)
    room = 0.12 * (targets[-1] - targets[0]) or 1.0
    best, mark = answer.choice.so_far, known(language).marked

    def text(value: float) -> str:
        return mark(short(value))

    def field(box: Box, most: float) -> tuple[SimpleNamespace, Scale, Scale]:
        x, y = Scale(targets[0] - room, targets[-1] + room, box.left, box.right), Scale(0, most, box.bottom, box.top)
        across = [Tick(x(target), text(target)) for target in targets]
        return SimpleNamespace(plot=box, x_ticks=across, y_ticks=y.ticks(5, text)), x, y

    clears, x, y = field(left, 100)
    bars = [
        SimpleNamespace(
            x=x(one.target),
            y=y(100 * one.cleared),
            top=y(100 * one.cleared_interval[1]),
            bottom=y(100 * one.cleared_interval[0]),
            marked=at == best,
        )
        for at, one in enumerate(answer.rungs)
    ]
    money, dots = None, []
    if costs:
        money, x, y = field(right, 1.15 * max(costs))
        dots = [
            SimpleNamespace(x=x(one.target), y=y(one.cost), marked=at == best)
            for at, one in enumerate(answer.rungs)
            if one.cost is not None
        ]
    told = [rung_told(one, answer, mark) for one in answer.rungs]
    return Chart(
        kind="trial",
        size=size,
        clears=clears,
        costs=money,
        bars=bars,
        dots=dots,
        line=path((one.x, one.y) for one in dots),
        dot=neat(0.3 * type_),
        chosen=answer.choice.best is not None,
        title=title,
        currency=answer.currency,
        told=[{**one, "low": f"{one['low']} %", "high": f"{one['high']} %"} for one in told],
    )
