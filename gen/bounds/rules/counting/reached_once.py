"""A block in numbers, or one of a feeder whose stand-off grows, is reached once in a program.

Why: The second time the stick is shorter than the numbers say, or the stand-off longer.
Example: A loop of the host reaches the block twice.
Helps: Use registers, a self-adjusting feeder or a slide set to a stand-off.
"""

from gen.bounds.kit import Dress, DressBlock, Fault, Found, Reading, Units, bound
from gen.bounds.units import times_told


@bound("right-once", needs="states")
def check(reading: Reading, block: DressBlock, dress: Dress, units: Units) -> Found:
    count = len(block.visits)
    if count < 2:
        return
    again = reading.steps[block.visits[1].start].line
    valve = dress.dresser.valve
    if valve is not None and not valve.self_adjusting:
        yield Fault(
            again,
            f"the block is reached {times_told(count)}; after a dress the stand-off is "
            f"{units.mm(float(dress.stick_per_dress))} more, and has to be set anew.",
        )
    elif dress.dresser.needs_length and not block.reads:
        yield Fault(
            again,
            f"the block is reached {times_told(count)}; worked out in numbers it is right once, "
            "since the stick is shorter afterwards.",
        )
