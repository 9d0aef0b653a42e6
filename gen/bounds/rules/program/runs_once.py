"""A program or subprogram that is one dress goes through it once."""

from gen.bounds.kit import ANY, DressBlock, Expected, Fault, Found, Machine, Reading, Seal, bound
from gen.bounds.marks import is_alone


@bound(
    "one-piece",
    scope="program",
    intents=ANY,
    why="A second pass takes as much stick again, and none of its modes and positions were proven.",
    example="GOTO 70 behind the end mark leads back to the way to parked.",
    helps="Generate the program again; to dress more often, ask for more plunges or call it more often.",
)
def check(reading: Reading, block: DressBlock, seals: tuple[Seal, ...], expected: Expected, machine: Machine) -> Found:
    if is_alone(reading, block, seals, expected) and len(block.visits) > 1:
        line = reading.steps[block.visits[1].start].line
        yield Fault(line, f"this {expected.edition.form} is one dress, and here it begins it a second time.")
