"""The feed in contact is stated, and within what the dresser can run.

Why: A slide that cannot run so fast lags behind, and one that cannot run so slowly jerks.
Example: 250 at 20 m/s wants 300 mm/min; this slide allows 240 mm/min.
Helps: Another wheel speed, or another target within the band.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from gen.base.quantities import plain
from gen.bounds import changes
from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Measure, Units, Wear, Wheel, bound
from gen.bounds.override_range import feed_range
from gen.bounds.rounding import feed_slack
from gen.physics.contact import feed_for
from gen.plan.step import Move


@bound("plunge-feed")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    dresser = dress.dresser
    low, high = (float(end) for end in dresser.feed_limits)
    for _, move, wheel in plunging(block, dress, contacts):
        if wheel is None:
            continue
        if move.rate is None:
            yield Fault(move.line, "the stick meets the wheel at a feed that nothing in this program states.")
            continue
        said = partial(_said, block, wheel, wear, units, move.rate)
        most = Measure(
            "feed",
            move.rate,
            high,
            "most",
            "feed",
            of=str(wheel.number or ""),
            slack=feed_slack(block, high),
            line=move.line,
            said=partial(said, "allows", high),
            helps=partial(changes.feed_within, wheel, feed_range(dress.machine)[1], "down"),
        )
        yield most
        yield replace(
            most,
            limit=low,
            side="least",
            slack=feed_slack(block, low),
            said=partial(said, "runs at no less than", low),
            helps=partial(changes.feed_within, wheel, low, "up"),
        )


def plunging(block: DressBlock, dress: Dress, contacts: Contacts) -> Iterator[tuple[int, Move, Wheel | None]]:
    """Every feed of the plunge axis by its step, and the wheel that it goes into; None where it is in air."""
    axis = dress.dresser.way
    entering = {plunge.enters: dress.wheels[plunge.wheel] for plunge in contacts.plunges}
    for index, move in block.moves:
        if axis not in move.axes or move.op == "rapid":
            continue
        gap = contacts.after[index].gap
        inside = index in entering or (gap is not None and gap < 0)
        yield index, move, entering.get(index, dress.first) if inside else None


def _said(block: DressBlock, wheel: Wheel, wear: Wear, units: Units, rate: float, does: str, end: float) -> str:
    limit = f"; this {wheel.machine.dresser.kind} {does} {units.feed(end)}."
    size = wear.size_of(wheel)
    wanted = feed_for(float(wheel.settings.aggressiveness), wheel.dress_speed(size), float(wheel.angle))
    if abs(wanted - rate) > feed_slack(block, wanted):
        return f"the plunge runs at {units.feed(rate)}{limit}"
    target = plain(wheel.settings.aggressiveness, 2, strip=True)
    return f"{target} at {units.speed(wheel.dress_speed(size))} wants {units.feed(wanted)}{limit}"
