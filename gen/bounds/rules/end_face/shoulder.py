"""No wheel meets a shoulder that another one left in the stick's end.

Why: A wheel's corner that meets a shoulder is cut where nobody planned it, and hard.
Example: Wheel 2 of a pack uses a lane that wheel 1 covers in half.
Helps: A lane of its own for each wheel, or every lane for all of them.
"""

from gen.base.errors import listed
from gen.bounds.kit import Dress, Fault, Found, bound
from gen.bounds.rules.end_face.lanes import elsewhere


@bound("shoulder")
def check(dress: Dress) -> Found:
    met = sorted({visit.bite.wheel for visit in dress.shoulders})
    if met:
        wheels = f"wheel{'s' if len(met) > 1 else ''} {listed((str(number + 1) for number in met), 'and')}"
        yield Fault(
            None,
            f"{wheels} would meet a shoulder that the others leave in the stick's end; each wheel needs a lane "
            "of its own there, or all of them every lane.",
            tuple(elsewhere(dress, met)),
            amount=1e9,
        )
