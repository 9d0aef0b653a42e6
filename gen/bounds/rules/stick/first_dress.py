"""A new stick is long enough for one dress.

Why: A stick that is too short for its first dress is refused by the guards whatever its register says.
Example: A new stick of 40 mm less 24 mm a dress leaves 16 mm; min_stick is 30 mm.
Helps: Fewer or smaller plunges, or longer sticks.
"""

from gen.bounds.kit import Dress, Found, Measure, Units, bound
from gen.bounds.rules.stick.least import least_said, longer_left


@bound("stick-length", always=True)
def check(dress: Dress, units: Units) -> Found:
    length, taken, least = dress.stick.length, dress.stick_per_dress, dress.shortest_left
    left = length - taken
    yield Measure(
        "stick-left",
        float(dress.left_at_last),
        float(least),
        "least",
        "length",
        said=lambda: (
            f"a new stick of {units.mm(float(length))} less {units.mm(float(taken))} a dress leaves "
            f"{units.mm(float(left))}; {least_said(dress, units)}."
        ),
        helps=lambda: longer_left(dress, least - left),
    )
