"""A cup's rim, which curves away from a tall stick, leaves nothing standing at the stick's ends.

Why: The rim of a cup is round: beside a tall stick it curves away, and what it never reaches grows into a horn that may
break off or run along the wheel.
Example: A rim of 5 mm on 80 mm never reaches 5 mm of a stick of 5 x 60 mm at its upper and lower end.
Helps: A lower stick, a wider one with more lanes, or a larger wheel.
"""

from gen.bounds.kit import Dress, Fault, Found, Units, bound

CRUMBLES = 0.5
"""mm. A horn that is thinner breaks off by itself; common practice, no source."""


@bound("horns")
def check(dress: Dress, units: Units) -> Found:
    across = float(dress.stick.section[0])
    for wheel in dress.wheels:
        width = wheel.horn
        if width <= CRUMBLES:
            continue
        whole = width >= across - CRUMBLES
        what = "never reaches the ends of the stick" if whole else f"leaves {units.mm(width)} of the stick standing"
        yield Fault(
            None,
            f"the rim of this cup curves away from a stick {units.mm(float(dress.stick.section[1]))} high and {what} "
            "at its upper and lower end, where horns grow with every dress; use a lower stick, or a wider one.",
            severity="error" if whole else "warning",
            amount=width,
        )
