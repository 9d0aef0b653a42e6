"""A block that only counts a part adds one to the count, once, writes nothing else, and goes on.

Why: A count that stands still or jumps brings the next dress never, or too soon.
Example: After 3 parts the count must go up to 4, once.
Helps: Keep the branch that only counts as generated.
"""

from gen.bounds.kit import Dress, DressBlock, Fault, Found, Reading, Wear, bound
from gen.plan.step import Write


@bound("part-counter", intents=("idle",))
def check(reading: Reading, block: DressBlock, dress: Dress, wear: Wear) -> Found:
    parts, table = wear.value("parts_since_dress") or 0.0, dress.machine.registers
    number = None if table is None else table.parts_since_dress
    written = [step for _, step in block.steps(Write) if step.register == number]
    if [step.value for step in written] != [parts + 1]:
        line = written[-1].line if written else block.last_line
        yield Fault(line, f"after {parts:g} parts the count must go up to {parts + 1:g}, once.")
    for _, step in block.steps(Write):
        if step.register != number:
            yield Fault(step.line, f"no dress is due, and yet register {step.register} is written.")
    if reading.end == "refused":
        yield Fault(block.last_line, "no dress is due, and yet the block refuses to go on.")
