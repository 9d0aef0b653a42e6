"""Stick is removed no faster than the dresser's max_removal, by a timed feeder with its valve at the fast end too.

Why: Clamp, slide and extraction bear so much removal and no more.
Example: The plunge removes 75 cm3/min of stick; this dresser's max_removal is 60 cm3/min.
Helps: A lower feed: another wheel speed or another target within the band; of a timed feeder another setting of its
valve, or one that keeps closer to it.
"""

from collections.abc import Iterator
from functools import partial

from gen.bounds import changes
from gen.bounds.advice_valve import closer_valve, valve_set
from gen.bounds.kit import NOISE, Change, Contacts, Dress, DressBlock, Found, Measure, Units, Wheel, bound
from gen.bounds.rounding import feed_slack


@bound("removal")
def check(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    most, valve = dress.dresser.max_removal, dress.dresser.valve
    if most is None:
        return
    for plunge in contacts.plunges:
        wheel = dress.wheels[plunge.wheel]
        for line, feed in plunge.feeds:
            fastest = feed if valve is None else float(valve.rates[1])
            yield Measure(
                "removal",
                wheel.removal(fastest),
                float(most),
                "most",
                "removal",
                of=str(wheel.number or ""),
                slack=wheel.removal(feed_slack(block, feed)) if valve is None else NOISE,
                line=line,
                said=partial(_said, dress, units, wheel.removal(fastest), float(most)),
                helps=partial(_helps, wheel, float(most) / wheel.removal(1.0)),
            )


def _said(dress: Dress, units: Units, rate: float, most: float) -> str:
    what = "the plunge" if dress.dresser.valve is None else "with its valve at the fast end the feeder"
    return f"{what} removes {units.removal(rate)} of stick; this dresser's max_removal is {units.removal(most)}."


def _helps(wheel: Wheel, fastest: float) -> Iterator[Change]:
    """Changes after which the stick goes in at no more than ``fastest`` mm/min."""
    valve = wheel.machine.dresser.valve
    if valve is None:
        yield from changes.feed_within(wheel, fastest, "down")
        return
    yield from valve_set(wheel, fastest / float(1 + valve.tolerance))
    yield from closer_valve(valve, fastest / float(valve.rate) - 1)
