"""A subprogram does not have the numbers of one wheel and one stick.

Why: It is called again and again, and the stick is shorter after each dress.
Example: --form subprogram together with --resolve.
Helps: Use registers or a dresser set to a stand-off, or generate anew before each dress.
"""

from gen.bounds.kit import Dress, DressBlock, Expected, Fault, Found, Units, bound
from gen.bounds.rules.counting.every_parts import INSTEAD


@bound("right-once")
def check(block: DressBlock, dress: Dress, expected: Expected, units: Units) -> Found:
    if expected.edition.form == "subprogram" and dress.dresser.needs_length and not block.reads:
        shorter = units.mm(float(dress.stick_per_dress))
        yield Fault(
            None,
            "a subprogram is called again and again, and this one has the numbers of one wheel and one stick, which "
            f"is {shorter} shorter after each dress; {INSTEAD}.",
        )
