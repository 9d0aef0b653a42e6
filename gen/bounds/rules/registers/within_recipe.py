"""Wheel and stick that a block in numbers is worked out for are within the recipe.

Why: A block in numbers has no guard that would stop it.
Example: The wheel diameter is 130 mm; the recipe is for no more than 125 mm.
Helps: Name the wheel and stick that are on the machine.
"""

from gen.bounds.kit import MOVING, TOLERANCE, Dress, Expected, Fault, Found, Units, Wear, bound


@bound("accept-only", always=True, intents=MOVING)
def check(dress: Dress, wear: Wear, expected: Expected, units: Units) -> Found:
    if not expected.accepted:
        return
    limits = {name: (float(low), float(high)) for name, (low, high) in dress.sizes.items()}
    if dress.dresser.needs_length:
        limits["stick_length"] = 0.0, float(dress.stick.length)  # a stick too short has a check of its own
    for name, (low, high) in limits.items():
        value = wear.value(name)
        if value is not None and not low - TOLERANCE <= value <= high + TOLERANCE:
            limit = f"no more than {units.mm(high)}" if value > high else f"no less than {units.mm(low)}"
            said = f"the {name.replace('_', ' ')} is {units.mm(value)}; the recipe is for {limit}."
            yield Fault(None, said, amount=max(low - value, value - high))
