"""The spindle is told no speed that it cannot turn at.

Why: A spindle that is asked for more or less turns at some other speed, or stops with an alarm.
Example: The spindle is told to turn at 6500 rpm; it can do 500 to 6000 rpm.
Helps: A wheel speed that the spindle reaches with this wheel.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Machine, bound
from gen.plan.step import Spindle


@bound("spindle-range", intents=MOVING)
def check(block: DressBlock, machine: Machine) -> Found:
    low, high = (float(end) for end in machine.spindle.speed)
    for _, step in block.steps(Spindle):
        if step.direction != "off" and not low <= step.rpm <= high:
            yield Fault(
                step.line,
                f"the spindle is told to turn at {step.rpm:g} rpm; it can do {low:g} to {high:g} rpm.",
                amount=max(low / max(step.rpm, 1.0), step.rpm / high),
            )
