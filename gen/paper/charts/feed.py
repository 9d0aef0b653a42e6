"""Feed against wheel speed: the band, what the machine can do, and where the dress is run."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from types import SimpleNamespace

from gen.base.quantities import plain, unit
from gen.bounds.override_range import feed_range
from gen.paper.charts import Chart
from gen.paper.charts.plot import Box, DrawingSize, Line, Scale, Tick, hatch, legend, neat, path, short
from gen.paper.shown import Shown, span
from gen.physics.contact import feed_for, peripheral_speed
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel

_FAR = 3.4
"""Times the operating point's speed or feed that a drawing reaches; what lies beyond is told in words."""


def feed_chart(dress: Dress, size: DrawingSize, language: str = "en") -> Chart:
    """The chart for every wheel of ``dress``; the band shown is the first wheel's.

    ``marked`` is where the wheel's marking ends, None: beyond. ``feeds`` are the window's, of a timed feeder the
    valve's ends.
    """
    system = dress.machine.units
    shown = Shown(system, language)
    ends = [(one, diameter) for one in dress.wheels for diameter in _diameters(one)]
    largest, smallest = max(ends, key=lambda end: end[1]), min(ends, key=lambda end: end[1])
    # of wheels on one spindle the slowest marking holds for all
    marked = peripheral_speed(largest[1], dress.marked_rpm)
    low, high = feed_range(dress.machine)
    speeds = [_speed(one) for one in dress.wheels]
    rates = [one.nominal_feed(float(one.size_range[1])) for one in dress.wheels]
    fastest = peripheral_speed(largest[1], dress.rpm_cap)
    plot, key = _layout(size)
    x = Scale(0, _end(max(speeds), fastest, marked), plot.left, plot.right)
    y = Scale(0, _end(max(rates), high), plot.bottom, plot.top)
    angle = float(dress.first.angle)
    band = [feed_for(float(edge), x.high, angle) for edge in dress.first.settings.band]
    wedge = [(x(at), y(rate)) for at, rate in _wedge(x.high, y.high, *band)]
    return Chart(
        kind="feed",
        size=size,
        plot=plot,
        x_ticks=_ticks(x, "peripheral", shown),
        y_ticks=_ticks(y, "feed", shown),
        x_unit=shown.speed(0).partition(" ")[2],
        y_unit=unit("feed", system),
        band=path(wedge),
        hatching=hatch(wedge, 0.75 * size.type),
        targets=tuple(_targets(dress, x, y)),
        windows=tuple(_windows(dress, [largest[1], smallest[1]], x, y, (low, high), shown)),
        marked=x(marked) if x.holds(marked) else None,
        marked_text=shown.speed(marked),
        points=_labelled([_point(one, x, y, shown) for one in dress.wheels], 1.6 * size.type),
        feeds=span(shown.feed(low), shown.feed(high)),
        key=key,
        title=dress.recipe.title,
        timed=dress.dresser.valve is not None,
    )


def _diameters(wheel: Wheel) -> list[float]:
    """The diameters at which the target holds, new and worn."""
    worn, new = wheel.size_range
    return list(dict.fromkeys(wheel.nominal_diameter(float(size)) for size in (new, worn)))


def _speed(wheel: Wheel) -> float:
    new = float(wheel.size_range[1])
    return wheel.speed_at(new, wheel.rpm(new))


KEY_ROWS = 7


def _layout(size: DrawingSize) -> tuple[Box, SimpleNamespace]:
    """The plot, and its key beside it, or below it where the drawing is narrow."""
    type_ = size.type
    left, top = neat(3.6 * type_), neat(1.6 * type_)
    if size.width > 40 * type_:
        plot = Box(left, top, neat(0.5 * size.width), neat(size.height - 3 * type_))
        return plot, legend(plot.right + 1.4 * type_, 0.2 * type_, size, KEY_ROWS)
    plot = Box(left, top, neat(size.width - type_), neat(size.height - 3.2 * type_ - KEY_ROWS * size.row))
    return plot, legend(0.2 * type_, plot.bottom + 3 * type_, size, KEY_ROWS)


def _end(run: float, *limits: float) -> float:
    """Where an axis ends: a little past what is run and past every limit that is not too far off."""
    return 1.08 * max(1.4 * run, *(limit for limit in limits if limit <= _FAR * run), 0.0)


def _ticks(scale: Scale, kind: str, shown: Shown) -> tuple[Tick, ...]:
    """Round numbers in the shop's own unit."""
    per_unit = 0.3048 / 60 if kind == "peripheral" else 25.4
    factor = per_unit if shown.system == "inch" else 1.0
    shop = Scale(scale.low / factor, scale.high / factor, scale.start, scale.end)
    return shop.ticks(5 if kind == "feed" else 6 if factor == 1 else 4, lambda value: shown.marked(short(value)))


def _wedge(x_end: float, y_end: float, low: float, high: float) -> Iterator[tuple[float, float]]:
    """The corners of what lies between two lines from the origin, within the drawing.

    ``low`` and ``high`` are the feeds of the two at the speed ``x_end``.
    """
    yield 0.0, 0.0
    yield (x_end, low) if low <= y_end else (x_end * y_end / low, y_end)
    if low < y_end < high:
        yield x_end, y_end
    yield (x_end, high) if high <= y_end else (x_end * y_end / high, y_end)


def _ray(x: Scale, y: Scale, feed: float) -> Line:
    """From the origin to where the line that has ``feed`` at the last speed leaves the drawing."""
    share = min(1.0, y.high / feed)
    return Line(x(0), y(0), x(share * x.high), y(share * feed))


def _targets(dress: Dress, x: Scale, y: Scale) -> Iterator[SimpleNamespace]:
    """The line along which it holds for each ``target`` that a wheel of the pack has.

    ``wheels`` are those that have it, none where there is only one wheel.
    """
    wheels: dict[tuple[Decimal, Decimal], list[Wheel]] = {}
    for wheel in dress.wheels:
        wheels.setdefault((wheel.settings.aggressiveness, wheel.angle), []).append(wheel)
    for (target, angle), same in wheels.items():
        ray = _ray(x, y, feed_for(float(target), x.high, float(angle)))
        numbers = tuple(wheel.number for wheel in same if wheel.number)
        yield SimpleNamespace(line=ray, target=plain(target, 6, strip=True), wheels=numbers)


def _labelled(points: Sequence[SimpleNamespace], near: float) -> Sequence[SimpleNamespace]:
    """``points`` with a ``label``: the numbers of all that lie closer than ``near`` at the first of them, else none."""
    groups: list[list[SimpleNamespace]] = []
    for point in points:
        group = next((one for one in groups if math.dist((one[0].x, one[0].y), (point.x, point.y)) < near), None)
        if group is None:
            groups.append([point])
        else:
            group.append(point)
    for group in groups:
        for point in group:
            first = point is group[0] and point.number
            point.label = ", ".join(str(one.number) for one in group) if first else ""
    return points


def _windows(
    dress: Dress, diameters: Sequence[float], x: Scale, y: Scale, rates: tuple[float, float], shown: Shown
) -> Iterator[SimpleNamespace]:
    """What the machine can do with each wheel of ``diameters``, its ``edges`` those within the drawing."""
    names = ("largest", "smallest") if len(dress.wheels) > 1 else ("new", "worn")
    least, most = float(dress.machine.spindle.speed[0]), dress.rpm_cap
    for name, diameter in zip(names, dict.fromkeys(diameters), strict=False):
        slow, fast = (peripheral_speed(diameter, rpm) for rpm in (least, most))
        corners = [(slow, rates[0]), (fast, rates[0]), (fast, rates[1]), (slow, rates[1])]
        yield SimpleNamespace(
            name=name if len(set(diameters)) > 1 else "any",
            edges=tuple(_edges(corners, x, y)),
            speeds=span(shown.speed(slow), shown.speed(fast)),
        )


def _edges(corners: Sequence[tuple[float, float]], x: Scale, y: Scale) -> Iterator[Line]:
    for (x1, y1), (x2, y2) in itertools.pairwise([*corners, corners[0]]):
        beside = not (x.holds(x1) or x.holds(x2)) or not (y.holds(y1) or y.holds(y2))
        if not beside:
            yield Line(x(min(x1, x.high)), y(min(y1, y.high)), x(min(x2, x.high)), y(min(y2, y.high)))


def _point(wheel: Wheel, x: Scale, y: Scale, shown: Shown) -> SimpleNamespace:
    """Where ``wheel`` is dressed when new. ``number`` 0: the only wheel; ``spread``: how far a valve may be off."""
    new = float(wheel.size_range[1])
    speed, feed = _speed(wheel), wheel.nominal_feed(new)
    at, valve = x(speed), wheel.machine.dresser.valve
    return SimpleNamespace(
        number=wheel.number,
        x=at,
        y=y(feed),
        speed=shown.speed(speed),
        feed=shown.feed(round(feed, 1)),
        target=shown.number(wheel.settings.aggressiveness),
        band=span(*(shown.number(edge) for edge in wheel.settings.band)),
        spread=None if valve is None else Line(at, y(float(valve.rates[0])), at, y(float(valve.rates[1]))),
    )
