"""The wheels of a pack, one row each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gen.paper.dressing import Dressing
from gen.paper.shown import Shown, span
from gen.shop.facts import Facts


@dataclass(frozen=True, slots=True)
class PackWheel:
    """One wheel, in the order dressed. ``set_…`` is at the sheet's own state, ``worn_…`` at the end of wear.

    ``marked`` is what it may turn at most; ``plunges`` are those of one dress,
    ``lanes`` their lateral positions.
    """

    number: int
    name: str
    shape: str
    grit: str
    concentration: str
    width: str
    marked: str
    set_size: str
    worn_size: str
    set_rpm: str
    worn_rpm: str
    set_feed: str
    worn_feed: str
    depth: str
    plunges: int
    target: str
    band: str
    lanes: tuple[str, ...]


def pack(facts: Facts, here: Dressing, dresses: Sequence[Dressing], shown: Shown) -> tuple[PackWheel, ...]:
    """The rows for the dress ``here``, and the last of wear among ``dresses``; none where there is only one wheel."""
    if len(facts.pack) == 1:
        return ()
    worn = [min((dress.wheels[one.index] for dress in dresses), key=lambda dress: dress.size) for one in facts.pack]
    return tuple(_row(one, here.wheels[one.index], worn[one.index], shown) for one in facts.pack)


def _row(facts: Facts, here: Dressing, worn: Dressing, shown: Shown) -> PackWheel:
    lateral = facts.wheel.lateral or 0
    return PackWheel(
        number=facts.index + 1,
        name=facts.wheel.name,
        shape=facts.wheel.shape,
        grit=facts.wheel.grit,
        concentration=shown.number(facts.wheel.concentration),
        width=shown.length(facts.wheel.width),
        marked=", ".join(_marked(facts, shown)),
        set_size=shown.length(here.size),
        worn_size=shown.length(worn.size),
        set_rpm=shown.rpm(here.rpm),
        worn_rpm=shown.rpm(worn.rpm),
        set_feed=shown.feed(here.feed),
        worn_feed=shown.feed(worn.feed),
        depth=shown.length(facts.dress.plunge),
        plunges=len(here.contacts.plunges),
        target=shown.number(facts.dress.aggressiveness),
        band=span(*(shown.number(edge) for edge in facts.dress.band)),
        lanes=tuple(shown.length(float(lateral) + facts.lateral_sign * offset) for offset in facts.lanes.offsets),
    )


def _marked(facts: Facts, shown: Shown) -> Iterator[str]:
    wheel = facts.wheel
    if wheel.max_speed is not None:
        yield shown.speed(wheel.max_speed)
    if wheel.max_rpm is not None:
        yield shown.rpm(wheel.max_rpm)
