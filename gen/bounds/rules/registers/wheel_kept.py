"""A dress writes no wheel's size.

Why: Opening takes resin and hardly any diameter; the size is measured after truing and entered by hand.
Example: Register 501 (wheel diameter) is written.
Helps: Leave the wheel's register alone.
"""

from gen.bounds.kit import Abilities, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.registers.writes import named, writes_of


@bound("register-order", needs="states")
def check(block: DressBlock, dress: Dress, words: Abilities) -> Found:
    for _, step, name in writes_of(block, dress) if words.synchronise else ():
        if name in dress.sizes:
            yield Fault(step.line, f"{named(step, dress)} is written; a dress leaves the wheel as it is.")
