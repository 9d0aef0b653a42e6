"""While one wheel of a pack is dressed, no part of the stick comes near another.

Why: The longest part of the stick's end would be cut by a wheel at a speed and feed that were not meant for it.
Example: At the bottom of the plunge into wheel 2 the stick comes within 1 mm of wheel 1; 4 mm is wanted.
Helps: A smaller plunge, or lanes = "one" for the wheel that is dressed.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Expected, Found, Units, Wear, bound
from gen.bounds.rules.end_face.beside import dressed_beside, to_periphery, too_near
from gen.physics.end_face import EndFace


@bound("neighbour", intents=("dress", "gap-check"))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, expected: Expected, units: Units) -> Found:
    if dress.dresser.inclination:
        return  # it does not stand straight over the wheels
    beside = float(dress.dresser.side_clearance)
    for plunge, own, other in dressed_beside(block, dress, contacts, expected.edition.purpose):
        under, near = own.under(plunge.lateral, wear.size_of(own)), other.under(plunge.lateral, wear.size_of(other))
        after = plunge.end
        if plunge.wheel == own.index:
            after = after.cut(*under, (after.highest(*under) or 0.0) + plunge.depth)
        shorter = _highest(dress, after, near[0] - beside, near[1] + beside, wear.stick_length)
        if shorter is not None:
            room = to_periphery(dress, plunge, other) - (wear.stick_length - shorter)
            yield from too_near(dress, wear, units, plunge, own, other, "the stick", room)


def _highest(dress: Dress, end: EndFace, low: float, high: float, length: float) -> float | None:
    """How much shorter than its ``length`` the stick is at its longest between ``low`` and ``high``, mm.

    The map has a tapered wheel's lane as deep as it is at the wheel's large end; at the small end more stands, up to
    what stood there when the stick was new.
    """
    new = length - float(dress.stick.length)
    found = [end.highest(low, high)]
    for bite in dress.bites():
        geometry = dress.wheels[bite.wheel].geometry
        if not geometry.tapered:
            continue
        deepest = end.highest(max(low, bite.low), min(high, bite.high))
        if deepest is not None:
            found.append(max(new, deepest - geometry.bedding))
    return min((depth for depth in found if depth is not None), default=None)
