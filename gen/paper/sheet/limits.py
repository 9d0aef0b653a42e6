"""Every value that has a limit, with that limit and the margin between the two."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gen.bounds.advice_valve import aggressiveness_ends
from gen.bounds.clearance import clearance_needed
from gen.bounds.override_range import feeds
from gen.paper.dressing import Dressing
from gen.paper.extremes import NOTHING, marked_speed, plunge_depths, slot, visited
from gen.paper.shown import Shown, span
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel


@dataclass(frozen=True, slots=True)
class Limit:
    """One row. ``kind`` names what is limited; the rest is text for people.

    ``axis`` is the axis of a position, or the number of a wheel in a pack.
    """

    kind: str
    value: str
    limit: str
    margin: str
    holds: bool
    axis: str = ""


def limits(dress: Dress, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    """The rows for what happens in ``dresses``, the ends of wear and stick."""
    yield from _feed(dress, dresses, shown)
    yield from _spindle(dress, dresses, shown)
    for one in dress.wheels:
        yield from _aggressiveness(one, [dress.wheels[one.index] for dress in dresses], shown)
    yield from _positions(dress, dresses, shown)
    yield from _stick(dress, shown)
    yield from _depth(dress, shown)
    yield from _load(dress, dresses, shown)


def _row(kind: str, value: str, limit: str, margin: float, text: str, axis: str = "") -> Limit:
    return Limit(kind, value, limit, text, margin >= -NOTHING, axis)


def _feed(dress: Dress, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    if dress.dresser.valve is not None:
        return
    made = [wheel.feed for dress in dresses for wheel in dress.wheels]
    low, high = feeds(dress.machine)
    margin = min(min(made) - low, high - max(made))
    yield _row(
        "feed",
        span(shown.feed(min(made)), shown.feed(max(made))),
        span(shown.feed(low), shown.feed(high)),
        margin,
        shown.feed(margin),
    )


def _spindle(dress: Dress, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    speeds = [wheel.rpm for dress in dresses for wheel in dress.wheels]
    low, high = (float(speed) for speed in dress.machine.spindle.speed)
    value = span(shown.rpm(min(speeds)), shown.rpm(max(speeds)))
    margin = min(min(speeds) - low, high - max(speeds))
    yield _row("spindle", value, span(shown.rpm(low), shown.rpm(high)), margin, shown.rpm(margin))
    marked = marked_speed(dress)
    margin = marked - max(speeds)
    yield _row("marking", shown.rpm(max(speeds)), shown.rpm(marked), margin, shown.rpm(margin))


def _aggressiveness(wheel: Wheel, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    low, high = (float(end) for end in wheel.settings.band)
    band = f"{shown.number(low)} – {shown.number(high)}"
    valve = wheel.machine.dresser.valve
    if valve is not None:
        ends = [end for dress in dresses for end in aggressiveness_ends(wheel, valve, dress.size, dress.rpm)]
        margin = min(min(ends) - low, high - max(ends))
        value = span(shown.number(min(ends), 0), shown.number(max(ends), 0))
        yield _row("aggressiveness", value, band, margin, shown.number(margin, 0))
        return
    kinds = ("aggressiveness", "inside-edge")
    for kind, numbers in zip(kinds, zip(*(dress.aggressiveness for dress in dresses), strict=True), strict=False):
        margin = min(min(numbers) - low, high - max(numbers))
        value = span(*(shown.number(end, 0) for end in (min(numbers), max(numbers))))
        yield _row(kind, value, band, margin, shown.number(margin, 0), str(wheel.number or ""))


def _positions(dress: Dress, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    """Each axis as far as it goes; the plunge axis each way, since they mean different things."""
    dresser = dress.machine.dresser
    for axis, places in visited(dresses).items():
        low, high = (float(end) for end in dress.machine.axes[axis].travel)
        room = {"low": (min(places), low, min(places) - low), "high": (max(places), high, high - max(places))}
        if axis == dresser.axis:
            forward, back = ("high", "low") if dresser.sign > 0 else ("low", "high")
            for kind, end in (("forward", forward), ("back", back)):
                value, limit, margin = room[end]
                value_text, limit_text = shown.place(axis, value), shown.place(axis, limit)
                yield _row(kind, value_text, limit_text, margin, shown.place(axis, margin), axis)
        else:
            margin = min(room["low"][2], room["high"][2])
            value_text = span(shown.place(axis, min(places)), shown.place(axis, max(places)))
            limit_text = span(shown.place(axis, low), shown.place(axis, high))
            yield _row("position", value_text, limit_text, margin, shown.place(axis, margin), axis)


def _stick(dress: Dress, shown: Shown) -> Iterator[Limit]:
    left = dress.stick.length - dress.dresses_per_stick * dress.stick_per_dress
    margin = left - dress.shortest_left
    yield _row("stick-left", shown.length(left), shown.length(dress.shortest_left), float(margin), shown.length(margin))


def _depth(dress: Dress, shown: Shown) -> Iterator[Limit]:
    dresser = dress.machine.dresser
    least, most = plunge_depths(dress)
    if dresser.max_plunge is not None:
        margin = float(dresser.max_plunge - most)
        yield _row("depth", shown.length(most), shown.length(dresser.max_plunge), margin, shown.length(margin))
    bedding = dress.first.geometry.bedding
    if bedding:
        margin = float(least) - bedding
        yield _row("bedding", shown.length(least), shown.length(bedding), margin, shown.length(margin))
    needed = clearance_needed(dress)
    margin = float(dresser.gap) - needed
    kind = dresser.gap_key.replace("_", "-")
    yield _row(kind, shown.length(dresser.gap), shown.length(needed), margin, shown.length(margin))
    cut = slot(dress)
    if cut is not None:
        deepest, most_deep = cut
        margin = most_deep - deepest
        yield _row("slot", shown.length(deepest), shown.length(most_deep), margin, shown.length(margin))


def _load(dress: Dress, dresses: Sequence[Dressing], shown: Shown) -> Iterator[Limit]:
    dresser = dress.machine.dresser
    if dresser.max_removal is not None:
        rate = max(wheel.wheel.removal(wheel.feed) for dress in dresses for wheel in dress.wheels)
        margin = float(dresser.max_removal) - rate
        yield _row("removal", shown.removal(rate), shown.removal(dresser.max_removal), margin, shown.removal(margin))
    if dresser.max_overhang is not None:
        out = dress.overhang
        margin = float(dresser.max_overhang - out)
        yield _row("overhang", shown.length(out), shown.length(dresser.max_overhang), margin, shown.length(margin))
