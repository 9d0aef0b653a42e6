"""A program or subprogram of ours has an end or return of its own."""

from gen.bounds.kit import ANY, DressBlock, Expected, Fault, Found, Machine, Reading, Seal, bound
from gen.bounds.marks import marked


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="The control would run on into whatever follows in its memory.",
    example="M99 is missing behind a subprogram.",
    helps="Generate the program again.",
)
def check(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine) -> Found:
    if expected.edition.form == "block" or reading.end != "text" or not marked(block, seals):
        return
    said = f"this {expected.edition.form} has no end of its own, and the control would run on behind it."
    yield Fault(block.last_line, said)
