"""A program ends, and a subprogram returns to the program that called it.

Why: A control that meets a return in a main program begins it again, and so dresses until the stick is gone.
Example: M99 stands where M30 should, in a program of an incremental slide.
Helps: Generate the program again.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound
from gen.plan.step import Refuse


@bound("one-piece", scope="program", intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    if not marks.alone or any(True for _ in block.steps(Refuse)):
        return
    if marks.form == "program" and reading.end == "return":
        said = "this program ends with a return, so that the control begins it again; it must end with a program end."
        yield Fault(block.last, said)
    elif marks.form == "subprogram" and reading.end == "end":
        said = "this subprogram ends the program that called it; it must end with a return."
        yield Fault(block.last, said)
