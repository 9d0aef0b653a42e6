"""In a gap check the stick comes no nearer to any wheel than the gap, stops only there or parked, and ends parked.

Why: A stick that is pressed against a wheel at a stand breaks, or marks the wheel.
Example: The stick comes within 0.5 mm of the wheel; a gap check stays 1 mm away.
Helps: Generate the gap check again.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, Wear, bound, stands_at
from gen.bounds.rules.gap_check.at_the_gap import gap_of
from gen.plan.step import Stop


@bound("gap-check", intents=("gap-check",))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    wanted, axis = min(gap_of(dress, wheel) for wheel in dress.wheels), dress.dresser.way
    for index, move in block.moves:
        gap = contacts.after[index].gap
        if axis in move.axes and gap is not None and gap < wanted - TOLERANCE:
            yield Fault(
                move.line,
                f"the stick {units.near(gap)}; a gap check stays {units.mm(wanted)} away ({wear.here}).",
                amount=1e3 + wanted - gap,  # says more than that the gap is another one
            )
    for index, stop in block.steps(Stop):
        gap = contacts.after[index].gap
        if gap is None or gap < wanted - TOLERANCE:
            yield Fault(stop.line, "a gap check stops only where the stick is known to be clear of the wheel.")
    parked, end = dress.dresser.parked_at, contacts.left.position if block.run else None
    if parked is not None and block.run and not stands_at(parked, end):
        said = (
            f"the block ends with {axis} at {units.place(axis, end)}; it must be parked at {units.mm(float(parked))}."
        )
        yield Fault(block.last_line, said)
