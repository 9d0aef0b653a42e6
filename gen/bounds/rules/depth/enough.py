"""A plunge is deep enough for what rounding does to it not to show.

Why: A plunge of a few hundredths opens nothing, and rounding is a large part of it.
Example: plunge = "0.05 mm"
Helps: A deeper plunge.
"""

from gen.bounds import changes
from gen.bounds.kit import Dress, Fault, Found, Units, bound
from gen.bounds.rules.depth.as_often import LEAST


@bound("plunge-depth")
def check(dress: Dress, units: Units) -> Found:
    if dress.dresser.valve is None and dress.settings.plunge < LEAST:
        yield Fault(
            None,
            f"a plunge of less than {units.mm(float(LEAST))} opens nothing, and what rounding does to it would show.",
            tuple(changes.plunge(dress, LEAST, "up")),
        )
