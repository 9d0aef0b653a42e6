"""A program or subprogram of ours has an end or return of its own.

Why: The control would run on into whatever follows in its memory.
Example: M99 is missing behind a subprogram.
Helps: Generate the program again.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    if marks.form == "block" or reading.end != "text" or not marks.ours:
        return
    said = f"this {marks.form} has no end of its own, and the control would run on behind it."
    yield Fault(block.last_line, said)
