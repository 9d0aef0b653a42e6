"""The approach to the wheel is no faster than the dresser can run and the top of the band allows.

Why: On its way to the wheel the stick may meet it sooner than the registers say.
Example: The stick is brought to the wheel at 900 mm/min; at this wheel speed the band ends at 360 mm/min.
Helps: Leave approach_feed out, and the approach follows the band.

A stick that is longer than the registers say, such as a new one whose length
nobody entered, is met on this way.
"""

from gen.base.quantities import plain
from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Plunge, Units, Wear, Wheel, bound
from gen.bounds.rounding import feed_slack
from gen.bounds.rules.cutting.feed import plunging
from gen.physics.contact import aggressiveness, peripheral_speed


@bound("plunge-feed")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    dresser = dress.dresser
    high, stated = float(dresser.feed_limits[1]), dresser.stated_approach
    for index, move, met in plunging(block, dress, contacts):
        if met is not None or move.rate is None:
            continue
        ahead = next((plunge for plunge in contacts.plunges if plunge.enters > index), None)
        most, why = high, f"this {dresser.kind} allows"
        if stated is not None:
            most, why = min(high, float(stated)), "the machine file allows"
        elif ahead is not None and (top := _top(dress, wear, ahead)) is not None and top < high:
            most, why = top, "at this wheel speed the band ends at"
        # no measure: it runs at its limit by design, and a margin of nothing would tell maintenance nothing
        if move.rate > most + feed_slack(block, most):
            said = f"the stick is brought to the wheel at {units.feed(move.rate)}; {why} {units.feed(most)}."
            yield Fault(move.line, said, amount=move.rate / most)
        if stated is not None and ahead is not None:
            yield from _forgotten(block, dress, wear, units, move.line, move.rate, ahead)


def _top(dress: Dress, wear: Wear, plunge: Plunge) -> float | None:
    """The feed at the top of the band at the speed of ``plunge``, mm/min; None where that is not known."""
    wheel = dress.wheels[plunge.wheel]
    return wheel.top_feed(wear.size_of(wheel), plunge.rpm) if plunge.rpm else None


def _forgotten(
    block: DressBlock, dress: Dress, wear: Wear, units: Units, line: int, rate: float, plunge: Plunge
) -> Found:
    """What a new stick would meet whose length nobody entered, the registers still at the shortest one."""
    wheel, top = dress.wheels[plunge.wheel], _top(dress, wear, plunge)
    if top is None or not plunge.rpm or rate <= top + feed_slack(block, top):
        return
    shortest, new = (float(length) for length in dress.length_range)
    deep, number = new - shortest - float(dress.dresser.gap), _aggressiveness(wheel, wear, rate, plunge.rpm)
    if deep > 0:
        yield Fault(
            line,
            f"the machine file lets the stick come at {units.feed(rate)}, and at this wheel speed the band ends at "
            f"{units.feed(top)}; a new stick whose length was not entered would meet the wheel at an aggressiveness "
            f"of {plain(number, 0)}, up to {units.mm(deep)} deep.",
            severity="warning",
            amount=rate / top,
        )


def _aggressiveness(wheel: Wheel, wear: Wear, rate: float, rpm: float) -> float:
    """The number of a feed of ``rate`` mm/min where the wheel works slowest."""
    slowest = wheel.nominal_diameter(wear.size_of(wheel)) * wheel.slowest_share
    return aggressiveness(rate, peripheral_speed(slowest, rpm), float(wheel.angle))
