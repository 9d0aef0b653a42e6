"""Motion is reached only from states inside the limits; every other one ends in a message that nothing passes.

Why: A mistyped register sends the stick into the wheel, and an unset one reads 0.
Example: The wheel diameter of 90 mm is outside 100 to 125 mm, and yet the block goes on to dress.
Helps: Keep the guards as generated: motion by a jump where the value is between its limits, else message and end.
"""

from collections.abc import Callable
from itertools import takewhile

from gen.bounds.kit import MOVING, Dress, DressBlock, Expected, Fault, Found, Reading, Units, Wear, bound
from gen.bounds.rules.registers.outside import acts, compared_at, outside
from gen.plan.step import End, Move, Refuse, Stop


@bound("accept-only", always=True, intents=MOVING)
def check(reading: Reading, block: DressBlock, dress: Dress, wear: Wear, expected: Expected, units: Units) -> Found:
    if expected.accepted:
        return
    refusals = list(block.steps(Refuse))

    def what() -> str:
        unset = outside(dress, wear, expected.edition, units)
        return unset.said if unset else "this state is outside the limits"

    for index in block.run:
        step = reading.steps[index]
        if acts(dress, step):
            unset = outside(dress, wear, expected.edition, units)
            when = " when cycle start is pressed again" if refusals and refusals[0][0] < index else ""
            at = compared_at(block, dress, index, unset) or step.line
            yield Fault(at, f"{what()}, and yet the block goes on to dress{when} ({wear.here}).")
            return
    yield from _behind(reading, block, dress, what)
    shown = [(index, step) for index, step in refusals if index < reading.first_halt.step]
    if not shown and reading.first_halt.ending != "refused":
        line = reading.steps[block.run.stop - 1].line if block.run else block.first
        yield Fault(line, f"{what()}, and the block ends without a message.")
    elif shown and not _over(reading, shown[-1][0]):
        yield Fault(
            shown[-1][1].line,
            "after this message the program goes on; it must end here, so that cycle start cannot pass.",
        )


def _behind(reading: Reading, block: DressBlock, dress: Dress, what: Callable[[], str]) -> Found:
    """Nothing moves once the block was reached, be it anywhere in the program and past every stop but an end."""
    ends = (index for index in block.run if isinstance(reading.steps[index], End))
    last = next(ends, block.run.stop)
    for step in takewhile(lambda step: not isinstance(step, End), reading.starting(last)):
        if isinstance(step, Move) and (not block.has(step.line) or acts(dress, step)):
            yield Fault(step.line, f"{what()}, and yet this moves after the block should have ended the program.")
            return


def _over(reading: Reading, refusal: int) -> bool:
    """Whether nothing but the end follows the message; a stop that cycle start passes is none."""
    ending, stop, _ = reading.first_halt
    rest = reading.steps[refusal + 1 : stop]
    return (
        ending == "refused"
        or (bool(rest) and isinstance(rest[0], End))
        or (ending == "end" and not any(isinstance(step, (Stop, Move)) for step in rest))
    )
