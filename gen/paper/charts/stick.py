"""The stick's end as the wheels see it: where each visit of a dress lies, and the end that one dress leaves."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace

from gen.paper.charts import Chart
from gen.paper.charts.plot import Box, DrawingSize, Line, Scale, hatch, neat, path
from gen.paper.shown import Shown
from gen.physics.end_face import EndFace
from gen.physics.visits import Visit, visited
from gen.shop.dress import Dress

_WORDS = 0.6
"""Share of the drawing's width that is left for words."""

LEAST_END = 4
"""Rows of text that the end's picture has in height at least."""


def stick_chart(dress: Dress, size: DrawingSize, language: str = "en") -> Chart:
    """The end of a new stick to scale, and one dress of it; the drawing is no higher than it must be.

    ``lanes`` are the places that a wheel visits, so many ``visits`` each: a bar from ``x1`` to ``x2`` about ``y``;
    ``wheel`` 0 is the only one, ``place`` may be empty. ``in_turn``: every dress visits the next lane, all of which are
    drawn. ``walls`` are what no wheel ever cuts; ``after`` is the end one dress later, seen from above. ``width`` and
    ``height`` are those of the end, ``lost`` what one dress takes; ``words`` is the room for words.
    """
    visits, left = visited(EndFace.flat(dress.first.geometry.footprint), dress.bites())
    footprint, height = dress.first.geometry.footprint, float(dress.stick.section[1])
    places = tuple(_places(dress, visits))
    low = min(-footprint / 2, *(visit.bite.low for visit in visits))
    high = max(footprint / 2, *(visit.bite.high for visit in visits))
    row = size.row
    below = row * (len(places) + 4.4)
    span_ = neat(_WORDS * size.width), neat(size.width - 0.5 * size.type)
    room = size.height - 0.6 * size.type - below
    per_mm = min((span_[1] - span_[0]) / (high - low), max(room, LEAST_END * row) / height)
    size = replace(size, height=neat(0.6 * size.type + height * per_mm + below))
    middle = (span_[0] + span_[1]) / 2
    x = Scale(low, high, middle - (high - low) * per_mm / 2, middle + (high - low) * per_mm / 2)
    top = neat(0.6 * size.type)
    end = Box(x(-footprint / 2), top, x(footprint / 2), neat(top + height * per_mm))
    shown = Shown(dress.machine.units, language)
    first = end.bottom + row
    lanes = tuple(
        SimpleNamespace(
            number=number,
            wheel=visit.bite.wheel + 1 if len(dress.wheels) > 1 else 0,
            x1=x(visit.bite.low),
            x2=x(visit.bite.high),
            y=neat(first + row * (number - 1)),
            place=_lateral(dress, visit, shown),
            visits=count,
            depth=shown.length(visit.bite.depth),
        )
        for number, (visit, count) in enumerate(places, 1)
    )
    walls = tuple(_walls(dress, x, end))
    level = neat(first + row * (len(places) + 0.2))
    deep = 1.5 * row / max(left.deepest, 1e-9)
    return Chart(
        kind="stick",
        size=size,
        end=end,
        lanes=lanes,
        walls=walls,
        wall_hatching=tuple(line for wall in walls for line in hatch(_corners(wall), 0.6 * size.type)),
        seams=tuple(sorted({edge for lane in lanes for edge in (lane.x1, lane.x2) if end.left < edge < end.right})),
        after=path(_profile(left, x, level, deep, neat(level + 2.6 * row))),
        before=Line(end.left, level, end.right, level),
        end_row=neat(end.top + 0.5 * row),
        after_row=neat(level + row),
        words=neat(span_[0] - size.type),
        bottom=neat(level + 2.6 * row),
        width=shown.length(footprint),
        height=shown.length(height),
        lost=shown.length(dress.stick_per_dress),
        bar=neat(0.62 * size.type),
        text_at=neat(0.4 * size.type),
        stations=not dress.first.lanes.stick_is_wider and len(dress.first.lanes.offsets) > 1,
        pack=len(dress.wheels) > 1,
        in_turn=bool(dress.turns),
        title=dress.recipe.title,
    )


def _places(dress: Dress, visits: tuple[Visit, ...]) -> Iterator[tuple[Visit, int]]:
    """The first visit of each place, and how often a dress comes there."""
    seen: dict[tuple[int, int], list[Visit]] = {}
    for visit in visits:
        seen.setdefault((visit.bite.wheel, visit.bite.lane), []).append(visit)
    for same in seen.values():
        yield same[0], len(same)


def _lateral(dress: Dress, visit: Visit, shown: Shown) -> str:
    """Where the lateral axis stands for ``visit``; empty without one."""
    one = dress.wheels[visit.bite.wheel]
    place = one.place(visit.bite.lane, float(one.size_range[1]))
    return "" if place is None else f"{dress.machine.dresser.lateral_axis} {shown.length(place)}"


def _walls(dress: Dress, x: Scale, end: Box) -> Iterator[Box]:
    """What stands between the lanes for good, on the end's picture."""
    if dress.walls:
        # a stick that has lost length keeps its walls at the height of a new one
        for low, high, depth in dress.end_face(float(dress.stick.length) - 1).stretches:
            if depth < 0:
                yield Box(x(low), end.top, x(high), end.bottom)


def _corners(box: Box) -> list[tuple[float, float]]:
    return [(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)]


def _profile(left: EndFace, x: Scale, level: float, deep: float, bottom: float) -> Iterator[tuple[float, float]]:
    """The end from above: what one dress took off hangs from ``level``, ``deep`` points a millimetre."""
    yield x(left.stretches[0][0]), bottom
    for low, high, depth in left.stretches:
        yield x(low), level + deep * depth
        yield x(high), level + deep * depth
    yield x(left.stretches[-1][1]), bottom
