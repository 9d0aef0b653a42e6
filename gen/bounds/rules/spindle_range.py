"""The spindle can turn at the speed that the recipe asks for, over the whole wear of the wheel."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds import changes
from gen.bounds.advice_speed import capped, wheel_speed_at
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Spindle
from gen.shop.wheel import Wheel


@rule("spindle-range", needs=("machine",), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    low, high = (float(end) for end in case.machine.spindle.speed)
    for _, step in case.steps(Spindle):
        if step.direction != "off" and not low <= step.rpm <= high:
            yield Fault(
                step.line,
                f"the spindle is told to turn at {step.rpm:g} rpm; it can do {low:g} to {high:g} rpm.",
                amount=max(low / max(step.rpm, 1.0), step.rpm / high),
            )
    for wheel in () if case.dress is None else case.dress.wheels:
        yield from _asked(case, wheel, low, high)


def _asked(case: Case, wheel: Wheel, low: float, high: float) -> Iterator[Fault]:
    """What the recipe asks for, and what becomes of it where the spindle caps it."""
    new = float(wheel.size_range[1])
    asked = wheel.asked_rpm(new)
    if asked > high + 0.5:
        yield Fault(
            None,
            f"the recipe asks for {asked:g} rpm with a new wheel; the spindle does no more than {high:g} rpm.",
            tuple(changes.slower(wheel, wheel_speed_at(wheel, new, high))),
        )
    elif asked < low - 0.5:
        yield Fault(
            None,
            f"the recipe asks for {asked:g} rpm with a new wheel; the spindle does no less than {low:g} rpm.",
            tuple(changes.faster(wheel, wheel_speed_at(wheel, new, low))),
        )
    elif high <= case.known.marked_rpm:
        yield from capped(case, wheel, high, "the spindle does no more")
