"""After contact the stick is drawn straight back, as a rapid and far enough.

Why: What comes next (a lane, another axis, a register) counts on the stick being clear.
Example: The stick is drawn back to 1 mm from the wheel; 4 mm is wanted.
Helps: Draw the stick back as a rapid at least as far as the clearance.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, Fault, Found, Reading, Units, bound


@bound("retract")
def check(reading: Reading, dress: Dress, contacts: Contacts, units: Units) -> Found:
    if dress.dresser.axis is None:
        return
    wanted = float(dress.dresser.gap)
    for plunge in contacts.plunges:
        if plunge.leaves is None:
            yield Fault(plunge.last_line, "the stick is not drawn back after this plunge.", amount=1e9)
            continue
        move, gap = reading.steps[plunge.leaves], contacts.after[plunge.leaves].gap
        if gap is None or gap < wanted - TOLERANCE:
            yield Fault(
                move.line,
                f"the stick is drawn back to {units.mm(gap or 0.0)} from the wheel; {units.mm(wanted)} is wanted.",
                amount=wanted - (gap or 0.0),
            )
        elif move.op != "rapid":
            yield Fault(move.line, "the stick is drawn back at a feed; it must leave the wheel as a rapid move.")
