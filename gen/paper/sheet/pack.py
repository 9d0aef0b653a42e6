"""The wheels of a pack, one row each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from types import SimpleNamespace

from gen.control.draft import Program
from gen.paper.dressing import Dressing
from gen.paper.shown import Shown, change, span
from gen.shop.wheel import Wheel


def pack(program: Program, here: Dressing, dresses: Sequence[Dressing], shown: Shown) -> tuple[SimpleNamespace, ...]:
    """The rows for the dress ``here``, and the last of wear among ``dresses``; none where there is only one wheel."""
    dress = program.dress
    if len(dress.wheels) == 1:
        return ()
    worn = [min((dress.wheels[one.index] for dress in dresses), key=lambda dress: dress.size) for one in dress.wheels]
    return tuple(_row(program, one, here.wheels[one.index], worn[one.index], shown) for one in dress.wheels)


def _row(program: Program, wheel: Wheel, here: Dressing, worn: Dressing, shown: Shown) -> SimpleNamespace:
    """One wheel, in the order dressed; ``rpm`` and ``feed`` go from new to worn where the program reads its size.

    ``register`` holds its diameter, empty without; ``must_be`` is what that may be. ``marked`` is what it may turn at
    most; ``plunges`` are those of one dress, ``lanes`` their lateral positions. ``taper`` is empty for a cylinder.
    ``at`` are positions of its own, ``via`` the points on its way.
    """
    lateral, read = wheel.keys.lateral or 0, program.by_registers
    return SimpleNamespace(
        number=wheel.index + 1,
        name=wheel.keys.name,
        shape=wheel.keys.shape,
        grit=wheel.keys.grit,
        concentration=shown.number(wheel.keys.concentration),
        width=shown.length(wheel.keys.width),
        taper=shown.angle(wheel.keys.taper) if wheel.keys.taper else "",
        marked=", ".join(_marked(wheel, shown)),
        register=str(program.plan.registers.get(wheel.size_name, "")),
        must_be=span(*(shown.length(size) for size in wheel.size_range)) if read else shown.length(here.size),
        rpm=change(shown.rpm(here.rpm), shown.rpm(worn.rpm)) if read else shown.rpm(here.rpm),
        feed=change(shown.feed(here.feed), shown.feed(worn.feed)) if read else shown.feed(here.feed),
        depth=shown.length(wheel.settings.plunge),
        plunges=len(here.contacts.plunges),
        target=shown.number(wheel.settings.aggressiveness),
        band=span(*(shown.number(edge) for edge in wheel.settings.band)),
        lanes=tuple(shown.length(float(lateral) + wheel.lateral_sign * offset) for offset in wheel.lanes.offsets),
        at=shown.places(wheel.at) if wheel.keys.at else (),
        via=tuple(", ".join(shown.places(point)) for point in wheel.keys.via),
    )


def _marked(wheel: Wheel, shown: Shown) -> Iterator[str]:
    keys = wheel.keys
    if keys.max_speed is not None:
        yield shown.speed(keys.max_speed)
    if keys.max_rpm is not None:
        yield shown.rpm(keys.max_rpm)
