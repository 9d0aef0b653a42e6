"""A dress every few parts with a stand-off that is set by hand after each one is no dress for a cell without people.

Why: Left alone, the second dress plunges less deep than the first, and a later one touches nothing.
Example: every_parts = 8 with a feeder whose stand-off is set by hand.
Helps: A self-adjusting feeder, or somebody who sets the stand-off after every dress. It is a warning only.
"""

from gen.bounds.kit import Dress, Expected, Fault, Found, Units, bound


@bound("right-once")
def check(dress: Dress, expected: Expected, units: Units) -> Found:
    valve, parts = dress.dresser.valve, dress.settings.every_parts
    by_hand = valve is not None and not valve.self_adjusting
    if by_hand and parts is not None and not expected.edition.counts:
        yield Fault(
            None,
            f"dress.every_parts asks for a dress every {parts} parts, and this feeder's stand-off grows by "
            f"{units.mm(float(dress.stick_per_dress))} in each: somebody has to set it again after every dress. It is "
            "no dress for a cell without people; a self-adjusting feeder is.",
            severity="warning",
        )
