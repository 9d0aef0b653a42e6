"""No rapid goes beyond the envelope, or nearer than the clearance to where the stick may meet the wheel.

Why: A wrong register or a forgotten new stick then costs stick at a feed, and is no crash at a rapid.
Example: U goes as a rapid to 47 mm, and a new stick may meet a new wheel at 47.5 mm.
Helps: End rapids at the envelope and go on at a feed.
"""

from gen.bounds.kit import MOVING, TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, Wear, bound


@bound("rapid-clearance", intents=MOVING)
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    dresser = dress.dresser
    axis = dresser.way
    for index, move in block.moves:
        if move.op != "rapid" or axis not in move.axes:
            continue
        advance = contacts.advance(index, dresser.sign)
        if advance is not None and advance <= 0:
            continue
        room = _room(dress, contacts, index)
        if room is not None and room < -TOLERANCE:
            gap, where = contacts.after[index].gap, contacts.after[index].position or 0.0
            reach = (
                f"{units.mm(-gap)} into the wheel" if gap is not None and gap < 0 else "beyond where rapids must end"
            )
            nearest = units.mm(where + dresser.sign * room)
            yield Fault(
                move.line,
                f"a rapid takes {axis} to {units.mm(where)}, {reach}; it may go no nearer than {nearest} "
                f"({wear.here}).",
                amount=-room,
            )


def _room(dress: Dress, contacts: Contacts, index: int) -> float | None:
    """How much further the rapid of step ``index`` might have gone, mm; below 0 it went too far."""
    dresser, (place, gap, *_) = dress.dresser, contacts.after[index]
    earliest = dress.earliest_contact
    if earliest is None or dresser.rapids_by_state:
        return None if gap is None else gap - float(dresser.gap)
    return None if place is None else dresser.sign * (earliest - place) - float(dresser.gap)
