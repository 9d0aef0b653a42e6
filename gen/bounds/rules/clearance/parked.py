"""A new stick, parked, stands clear of a new wheel.

Why: Everything that is not a plunge happens with the stick parked.
Example: Parked at 50 mm a new stick of 150 mm stands 2.5 mm inside a new wheel.
Helps: Park further back, or use shorter sticks.
"""

from decimal import Decimal

from gen.bounds import changes
from gen.bounds.kit import MOVING, TOLERANCE, Dress, Fault, Found, Units, bound


@bound("rapid-clearance", always=True, intents=MOVING)
def check(dress: Dress, units: Units) -> Found:
    dresser, away = dress.dresser, dress.room_when_parked
    gap = float(dresser.gap)
    if away is None or dresser.parked_at is None or away >= gap - TOLERANCE:
        return
    place, excess = float(dresser.parked_at), gap - away
    said = f"{units.mm(away)} from" if away >= 0 else f"{units.mm(-away)} inside"
    side: changes.RoundTo = "down" if dresser.sign > 0 else "up"
    yield Fault(
        None,
        f"parked at {dresser.way} {units.mm(place)}, a new stick of "
        f"{units.mm(float(dress.stick.length))} stands {said} a new wheel; {units.mm(gap)} is wanted.",
        (
            *changes.new_stick(dress, dress.stick.length - Decimal(repr(excess)), "down"),
            *changes.machine_length(dress.machine.units, "dresser.parked", place - dresser.sign * excess, side),
        ),
    )
