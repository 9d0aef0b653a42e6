"""All wheels of a pack are dressed at the same positions, so that the places of their neighbours are known.

Why: The datum says where a wheel is with the other axes at its positions; where it is with them elsewhere, no file
says.
Example: Wheel 2 has X at 60 mm, the others at 20 mm.
Helps: One set of positions for the whole pack; else look at stick and holder beside every wheel in the prove-out.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, Dress, Fault, Found, bound


@bound("neighbour", intents=MOVING)
def check(dress: Dress) -> Found:
    for wheel in dress.wheels:
        others = [str(other.index + 1) for other in dress.wheels if other.at != wheel.at]
        if others:
            axes = [axis for axis in wheel.at if any(other.at.get(axis) != wheel.at[axis] for other in dress.wheels)]
            yield Fault(
                None,
                f"wheel {wheel.index + 1} is dressed with {listed(axes, 'and')} elsewhere than wheel "
                f"{listed(others, 'and')}; whether stick and holder keep clear of the others there is not known. Look "
                "at it in the prove-out.",
                severity="warning",
                certainty="unproven",
            )
            return
