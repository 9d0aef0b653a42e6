"""The wheels of a pack, one row each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gen.paper.dressing import Dressing
from gen.paper.shown import Shown, span
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel


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


def pack(dress: Dress, here: Dressing, dresses: Sequence[Dressing], shown: Shown) -> tuple[PackWheel, ...]:
    """The rows for the dress ``here``, and the last of wear among ``dresses``; none where there is only one wheel."""
    if len(dress.wheels) == 1:
        return ()
    worn = [min((dress.wheels[one.index] for dress in dresses), key=lambda dress: dress.size) for one in dress.wheels]
    return tuple(_row(one, here.wheels[one.index], worn[one.index], shown) for one in dress.wheels)


def _row(wheel: Wheel, here: Dressing, worn: Dressing, shown: Shown) -> PackWheel:
    lateral = wheel.keys.lateral or 0
    return PackWheel(
        number=wheel.index + 1,
        name=wheel.keys.name,
        shape=wheel.keys.shape,
        grit=wheel.keys.grit,
        concentration=shown.number(wheel.keys.concentration),
        width=shown.length(wheel.keys.width),
        marked=", ".join(_marked(wheel, shown)),
        set_size=shown.length(here.size),
        worn_size=shown.length(worn.size),
        set_rpm=shown.rpm(here.rpm),
        worn_rpm=shown.rpm(worn.rpm),
        set_feed=shown.feed(here.feed),
        worn_feed=shown.feed(worn.feed),
        depth=shown.length(wheel.settings.plunge),
        plunges=len(here.contacts.plunges),
        target=shown.number(wheel.settings.aggressiveness),
        band=span(*(shown.number(edge) for edge in wheel.settings.band)),
        lanes=tuple(shown.length(float(lateral) + wheel.lateral_sign * offset) for offset in wheel.lanes.offsets),
    )


def _marked(wheel: Wheel, shown: Shown) -> Iterator[str]:
    keys = wheel.keys
    if keys.max_speed is not None:
        yield shown.speed(keys.max_speed)
    if keys.max_rpm is not None:
        yield shown.rpm(keys.max_rpm)
