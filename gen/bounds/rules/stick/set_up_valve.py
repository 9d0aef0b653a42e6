"""A new stick lasts for the dresses of one set-up of a timed feeder, whose valve may run fast.

Why: At the fast end of its valve a feeder takes more stick than planned, and no program can tell.
Example: With the valve at its fast end 10 dresses take up to 66 mm of stick; a new one has 60 mm to give.
Helps: Fewer dresses_per_set_up, fewer plunges, or longer sticks.
"""

import math

from gen.bounds import changes
from gen.bounds.kit import Dress, Fault, Found, Units, bound


@bound("stick-length")
def check(dress: Dress, units: Units) -> Found:
    dresses = dress.dresser.per_set_up
    if (
        dresses is None
        or dress.dresser.valve is None
        or dress.stick.length - dress.stick_per_dress < dress.shortest_left
    ):
        return
    taken, possible = dress.stick_per_set_up, dress.stick.length - dress.shortest_left
    if taken <= possible:
        return
    said = f"{dresses} dresses between two set-ups take" if dresses > 1 else "a dress takes"
    yield Fault(
        None,
        f"with the valve at its fast end {said} up to {units.mm(float(taken))} of stick; a new one has "
        f"{units.mm(float(possible))} to give.",
        (
            *(changes.set_ups(int(dresses * possible / taken)) if dresses > 1 else ()),
            *changes.fewer_plunges(dress, math.floor(dress.settings.plunges * possible / taken)),
            *changes.new_stick(dress, dress.shortest_left + taken, "up"),
        ),
    )
