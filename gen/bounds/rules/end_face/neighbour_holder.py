"""While one wheel of a pack is dressed, the holder does not come near another.

Why: A holder that meets a wheel breaks it.
Example: At the bottom of the plunge into wheel 2 the holder comes within 2 mm of wheel 1; 4 mm is wanted.
Helps: A smaller plunge, or a longer min_stick.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Expected, Found, Units, Wear, bound
from gen.bounds.rules.end_face.beside import dressed_beside, to_periphery, too_near


@bound("neighbour", intents=("dress", "gap-check"))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, expected: Expected, units: Units) -> Found:
    dresser = dress.dresser
    if dresser.holder is None or dresser.inclination:
        return
    width, reach = (float(value) for value in dresser.holder)
    for plunge, own, other in dressed_beside(block, dress, contacts, expected.edition.purpose):
        low, high = other.under(plunge.lateral, wear.size_of(other))
        if max(low, -high) - width / 2 < float(dresser.side_clearance) - TOLERANCE:
            room = to_periphery(dress, plunge, other) - reach
            yield from too_near(dress, wear, units, plunge, own, other, "the holder", room)
