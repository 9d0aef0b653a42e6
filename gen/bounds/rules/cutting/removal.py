"""Stick is removed no faster than the dresser's max_removal.

Why: Clamp, slide and extraction bear so much removal and no more.
Example: The plunge removes 75 cm3/min of stick; this dresser's max_removal is 60 cm3/min.
Helps: A lower feed: another wheel speed or another target within the band.
"""

from functools import partial

from gen.bounds.advice_feed import feed_within
from gen.bounds.kit import Contacts, Dress, DressBlock, Found, Measure, Units, bound
from gen.bounds.rounding import feed_slack


@bound("removal")
def check(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    most = dress.dresser.max_removal
    if most is None:
        return
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        for line, feed in plunge.feeds:
            yield Measure(
                "removal",
                wheel.removal(feed),
                float(most),
                "most",
                "removal",
                of=str(wheel.number or ""),
                slack=wheel.removal(feed_slack(block, feed)),
                line=line,
                said=partial(_said, units, wheel.removal(feed), float(most)),
                helps=partial(feed_within, wheel, float(most) / wheel.removal(1.0), "down"),
            )


def _said(units: Units, rate: float, most: float) -> str:
    return f"the plunge removes {units.removal(rate)} of stick; this dresser's max_removal is {units.removal(most)}."
