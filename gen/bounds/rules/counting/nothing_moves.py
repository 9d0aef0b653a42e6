"""A block that counts parts moves nothing until a dress is due.

Why: It runs with every part; a dress that is not due costs stick and time.
Example: No dress is due after 3 parts, and yet the spindle is switched.
Helps: Keep the branch that only counts as generated.
"""

from gen.bounds.feeding import feeder
from gen.bounds.kit import DressBlock, Fault, Found, Reading, Wear, bound
from gen.plan.step import Coolant, Move, Spindle


@bound("part-counter", intents=("idle",))
def check(reading: Reading, block: DressBlock, wear: Wear) -> Found:
    for index in block.run:
        step = reading.steps[index]
        if isinstance(step, Move | Spindle | Coolant) or feeder(step, "feeder-on"):
            parts = wear.value("parts_since_dress") or 0.0
            yield Fault(step.line, f"no dress is due after {parts:g} parts, and yet something moves.")
            return
