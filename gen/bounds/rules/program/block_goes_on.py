"""A block does not end the program that it stands in.

Why: The part would be left half ground.
Example: M30 stands at the end of a block.
Helps: Take the end out, or generate it as a program.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound
from gen.plan.step import End


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    steps = reading.steps
    if marks.form == "block" and marks.ours and steps:
        last = steps[-1]
        # with the stick used up at a later passage its own guard stops it
        if isinstance(last, End) and block.has(last.line) and reading.end != "refused":
            yield Fault(last.line, "the heading calls this a block, and the program ends here, in the midst of it.")
