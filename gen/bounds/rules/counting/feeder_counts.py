"""A block that dresses by itself whenever a dress is due has a feeder that keeps its stand-off.

Why: Each dress leaves the stand-off of any other feeder greater for the next one, which then touches nothing.
Example: every_parts = 6 with a feeder whose stand-off is set by hand.
Helps: A self-adjusting feeder, or no dress.every_parts: one dress a call.
"""

from gen.bounds.kit import Change, Dress, Expected, Fault, Found, Units, bound


@bound("right-once")
def check(dress: Dress, expected: Expected, units: Units) -> Found:
    valve = dress.dresser.valve
    if valve is not None and expected.edition.counts and not valve.self_adjusting:
        yield Fault(
            None,
            f"this block counts the parts and dresses again by itself, and each dress leaves the stand-off "
            f"{units.mm(float(dress.stick_per_dress))} greater for the next one; only a self-adjusting feeder keeps "
            "it.",
            (Change("recipe", "dress.every_parts", None, "Without dress.every_parts, one dress a call, it fits."),),
            amount=1e9,
        )
