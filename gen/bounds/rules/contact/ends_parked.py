"""After the last plunge the plunge axis ends parked or at its stand-off; others move only by the wheel's points.

Why: Grinding goes on beside the stick, and the next dress of a slide without datum counts on the stand-off.
Example: The block ends with U at 20 mm; it must be parked at 0 mm.
Helps: End the block with the stick parked, or at its stand-off.
"""

import math

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, bound, stands_at


@bound("retract")
def check(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    if dress.dresser.axis is None or not contacts.plunges:
        return
    dresser, last = dress.dresser, contacts.plunges[-1]
    axis, wanted = dresser.way, float(dresser.gap)
    end, out, back = last.line, {point.axis for point in dress.ways.out}, last.enters
    for index, move in block.moves:
        if index > last.enters:
            end, back = move.line, index if axis in move.axes else back
            others = [letter for letter in move.axes if letter != axis and letter not in out]
            if others:
                yield Fault(move.line, f"axis {others[0]} moves after the last plunge; only {axis} may, to park.")
    place, gap = contacts.left.position, contacts.after[back].gap
    if dresser.parked_at is not None:
        if not stands_at(dresser.parked_at, place):
            at, parked = units.place(axis, place), units.mm(float(dresser.parked_at))
            yield Fault(end, f"the block ends with {axis} at {at}; it must be parked at {parked}.")
    elif gap is not None and abs(gap - wanted) > TOLERANCE:
        where = f"{units.mm(gap)} from the wheel" if math.isfinite(gap) else "beside the wheel"
        yield Fault(
            end,
            f"the block ends with the stick {where}; the stand-off is {units.mm(wanted)}, "
            "and the next dress counts on it.",
        )
