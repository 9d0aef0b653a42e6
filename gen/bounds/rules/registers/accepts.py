"""A state within the limits is not refused.

Why: A block that refuses a good wheel or stick is worked around at the machine.
Example: The block refuses to dress a wheel of 110 mm, and the recipe is for 100 to 125 mm.
Helps: Correct the guard, or generate the block again.
"""

from gen.bounds.kit import MOVING, DressBlock, Expected, Fault, Found, Wear, bound
from gen.plan.step import Refuse


@bound("accept-only", always=True, intents=MOVING)
def check(block: DressBlock, wear: Wear, expected: Expected) -> Found:
    shortest, longest = wear.dress.length_range
    if not expected.accepted or (wear.dress.dresser.needs_length and shortest > longest):
        return  # no stick is within the limits, which stick-length says
    for index, refusal in list(block.steps(Refuse))[:1]:
        decided = [read.line for read in block.reads if read.step <= index]
        said = f'the block refuses to dress {wear.here}, which is within the limits ("{refusal.message}").'
        yield Fault(decided[-1] if decided else refusal.line, said)
