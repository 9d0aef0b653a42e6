"""Axes beside the plunge axis move one at a time, as a rapid, and only with the stick parked or at its stand-off.

Why: With the stick near the wheel any other motion drags one across the other.
Example: X and Z go to their places in one line, or Z moves while U stands at 40 mm.
Helps: Move one axis a line, each a rapid, with the plunge axis parked.
"""

from gen.bounds.kit import MOVING, TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, bound, stands_at


@bound("approach-path", intents=MOVING)
def check(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    dresser, gap = dress.dresser, float(dress.dresser.gap)
    axis = dresser.way
    for index, move in block.moves:
        if move.axes == (axis,):
            continue
        other = next((letter for letter in move.axes if letter != axis), axis)
        if len(move.axes) > 1:
            yield Fault(move.line, f"axes {', '.join(move.axes)} move together; in a dress one axis moves at a time.")
        elif other not in (*dress.ways.axes, dresser.lateral_axis):
            yield Fault(move.line, f"axis {other} moves; neither machine file nor recipe gives it a place in a dress.")
        elif move.op != "rapid":
            yield Fault(move.line, f"axis {other} moves at a feed; only the plunge is a feed move.")
        elif dresser.parked_at is not None:
            place = contacts.after[index].position
            if not stands_at(dresser.parked_at, place):
                at, parked = units.place(axis, place), units.mm(float(dresser.parked_at))
                yield Fault(move.line, f"axis {other} moves while {axis} is at {at}; it must be parked at {parked}.")
        else:
            room = contacts.after[index].gap
            if room is not None and room < gap - TOLERANCE:
                yield Fault(
                    move.line,
                    f"axis {other} moves while the stick is {units.mm(room)} from the wheel; {units.mm(gap)} is "
                    "wanted.",
                )
