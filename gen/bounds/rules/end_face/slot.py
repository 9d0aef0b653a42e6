"""The slot that one lane leaves in the stick is no deeper than walls, rim and stand-off allow.

Why: Walls that stand too high for their width break off, and a rim that is not so deep meets the bottom.
Example: One lane cuts a slot that grows to 120 mm over the life of a stick; twice the wall of 5 mm is the most.
Helps: lanes = "all", so that the end stays flat, or a stick no wider than the wheel.
"""

from functools import partial

from gen.bounds.kit import TOLERANCE, Contacts, Dress, Found, Measure, Units, Wear, bound
from gen.bounds.rules.end_face.lanes import deepest_slot, everywhere


@bound("shoulder")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    if dress.shoulders or not dress.walls:
        return
    wall = min(dress.walls)
    most, why = deepest_slot(dress, wall, f"twice the wall of {units.mm(wall)} beside it")
    whole = float(dress.stick.length - dress.shortest_left)
    measured: list[tuple[float, int | None, str, str]] = [
        (whole, None, f"one lane cuts a slot that grows to {units.mm(whole)} over the life of a stick", "")
    ]
    if contacts.plunges:
        deep = float(dress.stick.length) - wear.stick_length + contacts.left.cut
        said = f"the slot in the stick becomes {units.mm(deep)} deep"
        measured.append((deep, contacts.plunges[-1].last_line, said, f" ({wear.here})"))
    for depth, line, said, where in measured:
        yield Measure(
            "slot",
            depth,
            most,
            "most",
            "length",
            slack=TOLERANCE,
            line=line,
            said=partial(str.format, "{}; {}, {}, is the most{}.", said, why, units.mm(most), where),
            helps=partial(everywhere, dress),
        )
