"""While one wheel of a pack is dressed, an inclined stick and its holder do not lean into another.

Why: An inclined stick lies over the wheel beside the one that it dresses, and a larger one stands in its way.
Example: At the bottom of the plunge into wheel 2 the stick comes within 1 mm of wheel 1; 4 mm is wanted.
Helps: More distance between the wheels, the larger one on the side from which the stick leans away, or a smaller angle.
"""

import math

from gen.bounds.kit import Contacts, Dress, DressBlock, Expected, Found, Units, Wear, bound
from gen.bounds.rules.end_face.beside import dressed_beside, too_near
from gen.physics.lean import axial_place, nearest_radius


@bound("neighbour", intents=("dress", "gap-check"))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, expected: Expected, units: Units) -> Found:
    dresser, angle = dress.dresser, float(dress.dresser.inclination)
    if not angle or dresser.holder is None:
        return
    cosine, sine = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    wide, far = (float(value) for value in dresser.holder)
    beside, narrow = float(dresser.side_clearance), float(dress.stick.section[0])
    for plunge, own, other in dressed_beside(block, dress, contacts, expected.edition.purpose):
        if plunge.lateral is None or other.keys.lateral is None:
            continue
        lean, new = own.recentre_sign, float(other.size_range[1])
        middle = axial_place(float(other.keys.lateral), new, angle, lean)
        reach = float(other.keys.width) / 2 + beside
        seat = dresser.sign * (float(dresser.datum_position or 0) - plunge.reached)
        bodies = {
            # when it ends its plunge, the stick's end lies on the wheel
            "the stick": (narrow / 2, wear.size_of(own) / 2),
            # as if its front were cut off along the axis where its nearest corner is
            "the holder": (wide / 2, (seat - far) * cosine - wide / 2 * sine),
        }
        for what, (half, inner) in bodies.items():
            radii = inner, seat * cosine + half * sine
            near = nearest_radius(plunge.lateral, half, radii, (middle - reach, middle + reach), angle, lean)
            if near is not None:
                yield from too_near(dress, wear, units, plunge, own, other, what, near - new / 2)
