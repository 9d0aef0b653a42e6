"""A prove-out never touches: its deepest point stays off the envelope by clearance and tolerance.

Why: It is run with registers and datum that nobody has seen at work yet.
Example: The stick comes within 2 mm of the wheel; a prove-out stays 8.5 mm away.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, Wear, bound


@bound("prove-out", intents=("prove-out",))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    dresser = dress.dresser
    envelopes = 0 if dress.earliest_contact is None else 1
    wanted = float(dresser.keeps_clear * (1 + envelopes) + dresser.stick_tolerance)
    # an incremental slide ends where it began, at its stand-off: its last move is no plunge
    plunging = [index for index, move in block.moves if dresser.way in move.axes]
    forward = plunging if dresser.moves_by_steps else []
    for index, move in block.moves:
        if dresser.way not in move.axes or index in forward[-1:]:
            continue
        gap = contacts.after[index].gap
        if gap is not None and gap < wanted - TOLERANCE:
            yield Fault(
                move.line,
                f"the stick {units.near(gap)}; a prove-out stays {units.mm(wanted)} away ({wear.here}).",
                amount=wanted - gap,
            )
