"""A stick that nothing guides does not stand out more than six times its height.

Why: A slender stick may chatter or break; how slender, depends on force and clamp.
Example: A new stick of 10 x 10 mm stands 120 mm out of its clamp, and nothing guides it.
Helps: Look for chatter; give max_overhang or guided in the machine file. It is a warning only.

Six is a judgement without a source: a stick so slender may break or chatter, which depends on force and clamp.
"""

from gen.bounds.kit import Dress, Fault, Found, Units, bound

SLENDER = 6
"""Times the stick's height that it may stand out unguided before a warning."""


@bound("overhang")
def check(dress: Dress, units: Units) -> Found:
    dresser, out, height = dress.dresser, float(dress.overhang), dress.first.geometry.stick_height
    if dresser.max_overhang is None and not dresser.guided and out > SLENDER * height:
        yield Fault(
            None,
            f"a new stick stands {units.mm(out)} out of its clamp, more than {SLENDER} times its height of "
            f"{units.mm(height)}, and nothing guides it (a judgement, not a limit of the dresser); "
            "look for chatter, or give max_overhang or guided in the machine file.",
            severity="warning",
        )
