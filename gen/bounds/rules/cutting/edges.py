"""At the edges of a tall stick, which meet the wheel at a slant, aggressiveness does not fall below the band.

Why: The edges of a tall stick are cut more gently than its middle, and open the wheel less.
Example: Aggressiveness falls to 180 at the edges of a stick 60 mm high; the band begins at 200.
Helps: A stick that is less tall, or a higher target. It is a warning only.
"""

from gen.base.quantities import plain
from gen.bounds.kit import Contacts, Dress, Fault, Found, Units, Wear, bound
from gen.bounds.rounding import FEED_ROUNDING
from gen.physics.contact import aggressiveness, edge_share, peripheral_speed


@bound("aggressiveness")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    if dress.dresser.valve is not None:
        return
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        height, diameter = wheel.geometry.stick_height, wheel.diameter_at(wear.size_of(wheel))
        if wheel.face or height >= diameter or not plunge.rpm:
            continue
        speed, low, angle = peripheral_speed(diameter, plunge.rpm), float(wheel.settings.band[0]), float(wheel.angle)
        for line, feed in plunge.feeds:
            edge = aggressiveness(feed, speed, angle) * edge_share(height, diameter)
            if edge < low - aggressiveness(FEED_ROUNDING, speed, angle):
                yield Fault(
                    line,
                    f"aggressiveness falls to {plain(edge, 1, strip=True)} at the edges of a stick "
                    f"{units.mm(height)} high {wear.here}; the band begins at {plain(low, 1, strip=True)}.",
                    severity="warning",
                    amount=low / edge,
                )
