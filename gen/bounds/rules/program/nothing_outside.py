"""A program or subprogram that is one dress does nothing outside its marks but end.

Why: Nothing is proven of what stands there, and the modes it leaves reach the next pass.
Example: G0 U60 stands between the end mark of a subprogram and its M99, or #502 = 150 behind the end mark.
Helps: Generate the program again; what a shop wants around a dress belongs into a program that calls it.

Moves, switches, waits, stops, modes, registers, calls and words that nobody knows all count, before the dress and
behind it, and also where the dress is refused.
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound
from gen.plan.step import UNKNOWN, End


@bound("one-piece", scope="program", always=True, intents=ANY, needs="machine")
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    if not marks.one_dress:
        return
    what = f"this {marks.form} is one dress, and here"
    first, last = block.first, block.last  # between which nearly everything stands, and what does is not asked about
    for index, step in enumerate(reading.steps):
        if not first <= step.line <= last and not isinstance(step, End) and marks.owns(step.line, index):
            yield Fault(step.line, f"{what} it acts outside it, where nothing is proven.", amount=2)
    for change in reading.changes:
        if not first <= change.line <= last and change.value != UNKNOWN and marks.owns(change.line, change.step):
            said = f"{change.group.replace('_', ' ')} is set to {change.value} outside it, where nothing is proven."
            yield Fault(change.line, f"{what} {said}", amount=1)
    for read in reading.reads:
        if not first <= read.line <= last and marks.owns(read.line, read.step):
            yield Fault(read.line, f"{what} register {read.register} is read outside it, where nothing is proven.")
    for at, line in reading.calls:
        if marks.owns(line, at):
            yield Fault(line, f"{what} a subprogram is called outside it, where nothing is proven.")
