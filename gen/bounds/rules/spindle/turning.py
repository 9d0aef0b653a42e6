"""No contact unless the wheel turns the right way, at the dress speed.

Why: Against a wheel that stands or turns backwards the stick is pulled out of its clamp or breaks.
Example: The spindle turns ccw; this machine dresses cw.
Helps: Start the spindle in the machine's direction, at the speed of the dress, before the plunge.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Wear, bound
from gen.plan.step import Spindle

ROUNDING = 1.0
"""rpm: the speed is rounded, or rounded down, to whole rpm."""


@bound("spindle-running")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear) -> Found:
    direction = dress.machine.spindle.direction
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        wanted = wheel.rpm(wear.size_of(wheel))
        told = [step for _, step in block.steps(Spindle, range(block.run.start, plunge.enters))]
        if not told:
            yield Fault(plunge.line, "the stick meets the wheel, and nothing in the block has started the spindle.")
            continue
        step = told[-1]
        if step.direction == "off":
            yield Fault(step.line, "the spindle is stopped here, and then the stick meets the wheel.")
        elif step.direction != direction:
            yield Fault(
                step.line,
                f"the spindle turns {step.direction}; this machine dresses {direction}, the way that presses "
                "the stick onto its support.",
            )
        elif abs(step.rpm - wanted) > ROUNDING:
            yield Fault(
                step.line,
                f"the spindle is told to turn at {step.rpm:g} rpm; the dress wants {wanted:g} rpm ({wear.here}).",
                amount=abs(step.rpm - wanted),
            )
