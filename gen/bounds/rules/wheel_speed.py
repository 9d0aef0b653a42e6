"""The wheel never turns faster than marked: its marked rpm, and its marked speed at the diameter it had when new."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds import changes
from gen.bounds.advice_speed import capped, wheel_speed_at
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Spindle
from gen.shop.wheel import Wheel


@rule("wheel-speed", intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    dress = case.known
    marked = dress.marked_rpm
    said = f"{math.floor(marked + 1e-9)} rpm"
    for _, step in case.steps(Spindle):
        if step.direction != "off" and step.rpm > marked + 1e-6:
            yield Fault(
                step.line,
                f"the wheel would turn at {step.rpm:g} rpm; its marking allows {said}, new or worn.",
                amount=step.rpm / marked,
            )
    for wheel in dress.wheels:
        yield from _asked(case, wheel, marked, said)


def _asked(case: Case, wheel: Wheel, marked: float, said: str) -> Iterator[Fault]:
    """What the recipe asks for, and what becomes of it where the marking caps it."""
    new = float(wheel.size_range[1])
    asked = wheel.asked_rpm(new)
    # half a revolution is rounding, and the program's speed is capped below the marking in any case
    if asked > marked + 0.5:
        yield Fault(
            None,
            f"the recipe asks for {asked:g} rpm with a new wheel ({case.speed(wheel_speed_at(wheel, new, asked))}); "
            f"its marking allows {said}.",
            tuple(changes.slower(wheel, wheel_speed_at(wheel, new, math.floor(marked + 1e-9)))),
        )
    elif marked < float(wheel.machine.spindle.speed[1]):
        yield from capped(case, wheel, marked, "its marking allows no more")
