"""A recipe that asks for a dress every so many parts does not get numbers that are right for the first.

Why: The stick is shorter after each dress, and numbers do not follow it.
Example: every_parts = 6 on a control without variables.
Helps: Use registers or a dresser set to a stand-off, or generate anew before each dress. It is a warning only.
"""

from gen.bounds.kit import Dress, DressBlock, Expected, Fault, Found, Units, bound

INSTEAD = "use registers or a dresser set to a stand-off, or generate anew before each dress"


@bound("right-once")
def check(block: DressBlock, dress: Dress, expected: Expected, units: Units) -> Found:
    parts = dress.settings.every_parts
    if parts is None or expected.edition.form == "subprogram" or not dress.dresser.needs_length or block.reads:
        return
    shorter = units.mm(float(dress.stick_per_dress))
    yield Fault(
        None,
        f"dress.every_parts asks for a dress every {parts} parts, and the numbers here are "
        f"right for the first: the stick is {shorter} shorter after each dress; {INSTEAD}.",
        severity="warning",
    )
