"""The gap of a gap check is more than what a groove worn by a smaller wheel brings the stick's edges nearer.

Why: The edges of a stick that a worn wheel has grooved meet a new wheel before its middle does.
Example: The edges of a stick 60 mm high come 1.9 mm nearer, and the gap is 1 mm.
Helps: A greater check_gap in the machine file.
"""

from gen.bounds import changes
from gen.bounds.kit import Dress, Fault, Found, Units, bound
from gen.physics.contact import along_plunge

TO_SPARE = 0.3
"""mm that are left to the edges, so that a feeler gauge still goes in (a judgement, no source)."""


@bound("gap-check", intents=("gap-check",))
def check(dress: Dress, units: Units) -> Found:
    gap = dress.dresser.measured_gap
    if gap is None or dress.first.face:
        return
    largest = max(wheel.diameter[1] for wheel in dress.recipe.wheels)
    # as the gap is measured, square to the face
    nearer = (dress.groove - dress.groove_of(largest)) / along_plunge(dress.first.geometry, 1.0)
    least = nearer + TO_SPARE
    if float(gap) < least:
        yield Fault(
            None,
            f"on a new wheel the edges of a stick that a worn one has grooved come {units.mm(nearer)} nearer than its "
            f"middle; a gap of {units.mm(float(gap))} leaves less than {units.mm(TO_SPARE)} there.",
            tuple(changes.machine_length(dress.machine.units, "dresser.check_gap", least, "up")),
        )
