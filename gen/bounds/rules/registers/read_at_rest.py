"""Registers are read only when motion has ended.

Why: A control works ahead of the motion, and may read a length before the last dress has written it.
Example: The stick's length is read behind a move without the word that waits.
Helps: Put the word that waits before the read.
"""

from gen.bounds.kit import Abilities, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.registers.writes import named, still_moving


@bound("register-order", needs="states")
def check(block: DressBlock, dress: Dress, words: Abilities) -> Found:
    names = dress.lasting_registers
    late = [read for read in block.reads if read.register in names and still_moving(block, words, read.step)]
    # what is read behind the same motion is behind the same missing wait
    for read in {read.step: read for read in reversed(late)}.values():
        yield Fault(
            read.line,
            f"{named(read, dress)} is read while motion may not have ended; put the word that waits before it.",
        )
