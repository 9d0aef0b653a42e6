"""A timed feeder is let out in a dress, and nowhere else in the program.

Why: Outside the dress nobody knows where the wheel is, whether it turns, and who draws the stick back.
Example: M71 G4 X5. stands before the begin mark.
Helps: Take the word out; the dress lets the feeder out by itself.
"""

from gen.bounds.feeding import feeder
from gen.bounds.kit import ANY, Dress, DressBlock, Fault, Found, Marks, Reading, bound
from gen.plan.step import Aux


@bound("one-piece", scope="program", always=True, intents=ANY)
def check(reading: Reading, block: DressBlock, marks: Marks, dress: Dress) -> Found:
    if dress.dresser.axis is not None:
        return
    others = [range(seal.first, seal.last + 1) for seal in marks.seals]
    for _, step in reading.by_kind(range(len(reading.steps))).get(Aux, []):
        if feeder(step, "feeder-on") and not block.has(step.line) and not any(step.line in one for one in others):
            yield Fault(step.line, "the feeder is let out here, outside the dress.")
