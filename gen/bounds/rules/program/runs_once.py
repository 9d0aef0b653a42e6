"""A program or subprogram that is one dress goes through it once.

Why: A second pass takes as much stick again, and none of its modes and positions were proven.
Example: GOTO 70 behind the end mark leads back to the way to parked.
Helps: Generate the program again; to dress more often, ask for more plunges or call it more often.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    if marks.alone and len(block.visits) > 1:
        line = reading.steps[block.visits[1].start].line
        yield Fault(line, f"this {marks.form} is one dress, and here it begins it a second time.")
