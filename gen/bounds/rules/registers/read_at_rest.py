"""Registers are read only when motion has ended."""

from gen.bounds.kit import Contacts, ControlWords, Dress, DressBlock, Fault, Found, Reading, bound
from gen.bounds.rules.registers.motion import still_moving
from gen.bounds.rules.registers.names import named


@bound(
    "register-order",
    why="A control works ahead of the motion, and may read a length before the last dress has written it.",
    example="The stick's length is read behind a move without the word that waits.",
    helps="Put the word that waits before the read.",
)
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts, words: ControlWords) -> Found:
    names = dress.lasting_registers
    late = [read for read in block.reads if read.register in names and still_moving(reading, words, read.step)]
    # what is read behind the same motion is behind the same missing wait
    for read in {read.step: read for read in reversed(late)}.values():
        yield Fault(
            read.line,
            f"{named(read, names[read.register])} is read while motion may not have ended; "
            "put the word that waits before it.",
        )
