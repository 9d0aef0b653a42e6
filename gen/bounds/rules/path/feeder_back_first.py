"""A timed feeder is back before anything moves, turns or presses.

Why: After an interruption nobody knows where the feeder was left.
Example: The spindle starts before the feeder was switched off and waited for.
Helps: Switch the feeder off and wait for it at the top of the block.
"""

from gen.bounds.feeding import feeder
from gen.bounds.kit import MOVING, Contacts, Dress, DressBlock, Fault, Found, Reading, bound
from gen.plan.step import Move, Spindle


@bound("approach-path", intents=MOVING)
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    if dress.dresser.axis is not None:
        return
    for index in block.run:
        step = reading.steps[index]
        turns = isinstance(step, Spindle) and step.direction != "off"
        if isinstance(step, Move) or turns or feeder(step, "feeder-on"):
            if contacts.place_before(index) is None:
                yield Fault(
                    step.line,
                    "the feeder may still stand in the wheel; before anything else the block must switch it off and "
                    "wait until it is back.",
                )
            return
