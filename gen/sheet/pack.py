"""The wheels of a pack, one row each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gen.facts import Facts
from gen.sheet.dresses import Dressing
from gen.sheet.shown import Shown, span


@dataclass(frozen=True, slots=True)
class PackWheel:
    """One wheel, in the order dressed; a span goes from new to worn.

    ``marked`` is what it may turn at most; ``lanes`` are lateral positions.
    """

    number: int
    name: str
    shape: str
    grit: str
    concentration: str
    width: str
    marked: str
    lateral: str
    diameter: str
    rpm: str
    feed: str
    aggressiveness: str
    lanes: tuple[str, ...]


def pack(facts: Facts, dresses: Sequence[Dressing], shown: Shown) -> tuple[PackWheel, ...]:
    """The rows for what happens in ``dresses``; none where there is only one wheel."""
    if len(facts.pack) == 1:
        return ()
    return tuple(_row(one, [dress.wheels[one.index] for dress in dresses], shown) for one in facts.pack)


def _row(facts: Facts, dresses: Sequence[Dressing], shown: Shown) -> PackWheel:
    lateral = facts.wheel.lateral or 0
    worn, new = facts.wheel.diameter
    speeds, feeds = [dress.rpm for dress in dresses], [dress.feed for dress in dresses]
    numbers = [dress.aggressiveness[0] for dress in dresses]
    return PackWheel(
        number=facts.index + 1,
        name=facts.wheel.name,
        shape=facts.wheel.shape,
        grit=facts.wheel.grit,
        concentration=shown.number(facts.wheel.concentration),
        width=shown.length(facts.wheel.width),
        marked=", ".join(_marked(facts, shown)),
        lateral=shown.length(lateral),
        diameter=span(shown.length(worn), shown.length(new)),
        rpm=span(shown.rpm(min(speeds)), shown.rpm(max(speeds))),
        feed=span(shown.feed(min(feeds)), shown.feed(max(feeds))),
        aggressiveness=span(shown.number(min(numbers), 0), shown.number(max(numbers), 0)),
        lanes=tuple(shown.length(float(lateral) + facts.lateral_sign * offset) for offset in facts.lanes.offsets),
    )


def _marked(facts: Facts, shown: Shown) -> Iterator[str]:
    wheel = facts.wheel
    if wheel.max_speed is not None:
        yield shown.speed(wheel.max_speed)
    if wheel.max_rpm is not None:
        yield shown.rpm(wheel.max_rpm)
