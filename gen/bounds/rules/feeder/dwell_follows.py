"""The dwell of a timed feeder follows its word at once, in one line where single block could part the two.

Why: The dwell alone decides how far the feeder goes.
Example: M71 lets the feeder out in one line, and its dwell stands in the next.
Helps: Write feeder-on and its dwell in one line.
"""

from gen.bounds.feeding import feeder
from gen.bounds.kit import MOVING, Dress, DressBlock, Fault, Found, Reading, bound
from gen.plan.step import Aux, Dwell


@bound("feeder", intents=MOVING, needs="states")
def check(reading: Reading, block: DressBlock, dress: Dress) -> Found:
    for index, on in block.steps(Aux):
        if not feeder(on, "feeder-on"):
            continue
        after = reading.steps[index + 1] if index + 1 < block.run.stop else None
        if not isinstance(after, Dwell):
            yield Fault(on.line, "the feeder is let out here, and its dwell does not follow; how far it goes is open.")
        elif dress.dresser.one_line and after.line != on.line:
            yield Fault(
                on.line,
                "feeder-on and its dwell stand in two lines, and single block stops between them with the stick in "
                "the wheel; write them in one line.",
            )
