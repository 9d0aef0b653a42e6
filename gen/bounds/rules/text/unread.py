"""Every word of the program is one that the control is known to have, and the program is read to its end.

Why: Nobody can say where the stick is after a word that nobody understands.
Example: G999 stands in the block.
Helps: Take the word out, or name it in the control's folder or under known in the machine file's [host].
"""

from gen.bounds.kit import ANY, DressBlock, Fault, Found, Marks, Reading, bound
from gen.reader.reading import UNFINISHED


@bound("unread", scope="program", always=True, intents=ANY)
def check(reading: Reading, block: DressBlock, marks: Marks) -> Found:
    # going round a repeated stop exhausts any budget, as it should
    ending, _, unread = reading.first_halt
    # a run that has left the block has shown all that it does
    lost = ending in UNFINISHED and not block.run
    for entry in unread:
        inside = block.has(entry.line) or marks.owns(entry.line) or lost
        text = f'"{entry.text.strip()}": ' if entry.text.strip() else ""
        yield Fault(
            entry.line,
            f"{text}{entry.why}.",
            severity="error" if inside else "warning",
            certainty="unproven",
        )
