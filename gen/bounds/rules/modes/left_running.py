"""Neither spindle nor coolant runs when the block is over, unless the program around it switches them.

Why: Somebody may open the guard after a dress, and nobody expects the wheel to turn.
Example: M5 is missing at the end of the block.
Helps: Switch spindle and coolant off at the end of the block.
"""

from itertools import chain, takewhile

from gen.bounds.kit import MOVING, DressBlock, Expected, Fault, Found, Reading, bound
from gen.plan.step import Coolant, Move, Spindle, Step


@bound("modes-restored", intents=MOVING, needs="recipe")
def check(reading: Reading, block: DressBlock, expected: Expected) -> Found:
    if not expected.leaves or not block.run:
        return
    for spindle in [step for _, step in block.steps(Spindle)][-1:]:
        if spindle.direction != "off" and not _switched_around(reading, block, Spindle):
            yield Fault(spindle.line, f"the spindle still turns {spindle.direction} when the block is over.")
    for coolant in [step for _, step in block.steps(Coolant)][-1:]:
        if coolant.on and not _switched_around(reading, block, Coolant):
            yield Fault(coolant.line, "the coolant is still on when the block is over.")


def _switched_around(reading: Reading, block: DressBlock, kind: type[Step]) -> bool:
    """Whether a step of ``kind`` comes before the block, or behind it before anything moves."""
    before = (step for _, step in reading.standing(range(block.run.start)))
    behind = takewhile(lambda step: not isinstance(step, Move), reading.starting(block.run.stop))
    return any(isinstance(step, kind) for step in chain(before, behind))
