"""A dress reads no register that nobody has given a value.

Why: A register outside the machine file holds whatever was left in it, and so decides by chance.
Example: The plunge ends at #520, and neither program nor machine file gives #520 a value.
Helps: Use a register of the machine file, or give the register its value in the block.
"""

from gen.bounds.kit import ANY, Dress, DressBlock, Fault, Found, Reading, bound


@bound("nothing-else", intents=ANY)
def check(reading: Reading, block: DressBlock, dress: Dress) -> Found:
    own = set(dress.register_numbers.values())
    for read in block.reads:
        if read.register in reading.unset and read.register not in own:
            yield Fault(
                read.line,
                f"register {read.register} is read here, and nothing has given it a value; what the block does "
                "depends on whatever was left in it.",
                certainty="unproven",
            )
