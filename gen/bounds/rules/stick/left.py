"""After the last plunge the stick is at least min_stick long, and the jaw keeps its clearance.

Why: A stick that is too short comes out of its clamp, or the jaw meets the wheel.
Example: 26 mm of the stick would be left; min_stick is 30 mm.
Helps: Fewer or smaller plunges, or longer sticks.
"""

from decimal import Decimal

from gen.bounds.kit import TOLERANCE, Contacts, Dress, Found, Measure, Units, Wear, bound
from gen.bounds.rules.stick.least import least_said, longer_left


@bound("stick-length")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    if not contacts.plunges:
        return
    remains, least = wear.stick_length - contacts.left.cut, float(dress.shortest_left)
    yield Measure(
        "stick-left, guard",
        remains,
        least,
        "least",
        "length",
        slack=TOLERANCE,
        line=contacts.plunges[-1].last_line,
        told=False,  # at the shortest stick that the guards accept nothing is ever left over
        said=lambda: f"{units.mm(remains)} of the stick would be left; {least_said(dress, units)} ({wear.here}).",
        helps=lambda: longer_left(dress, Decimal(repr(least - remains))),
    )
