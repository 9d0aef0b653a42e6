"""While one wheel of a pack is dressed, no part of stick or holder comes near another.

Beside it they keep ``side_clearance``; where they cannot, they stay
``clearance`` off its periphery, taken as it is when new, since every wheel of
a pack wears by itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Change, Fault
from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE, Plunge
from gen.bounds.registry import rule
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel


@rule("neighbour")
def check(case: Case) -> Iterator[Fault]:
    pack = case.known.wheels
    if len(pack) == 1:
        return
    meant = [bite.wheel for bite in case.known.bites()]
    for count, plunge in enumerate(case.contacts.plunges):
        own = pack[meant[count % len(meant)]]
        for other in pack:
            if other is not own:
                yield from _stick(case, plunge, own, other)
                yield from _holder(case, plunge, own, other)


def _stick(case: Case, plunge: Plunge, own: Wheel, other: Wheel) -> Iterator[Fault]:
    """The longest part of the stick that comes beside or over ``other`` at the bottom of the plunge."""
    beside = float(case.known.machine.dresser.side_clearance)
    under, near = own.under(plunge.lateral, case.size_of(own)), other.under(plunge.lateral, case.size_of(other))
    after = plunge.end
    if plunge.wheel == own.index:
        after = after.cut(*under, (after.highest(*under) or 0.0) + plunge.depth)
    shorter = after.highest(near[0] - beside, near[1] + beside)
    if shorter is not None:
        room = _to_axis(case, plunge) - (case.stick_length - shorter) - _radius(other)
        yield from _too_near(case, plunge, own, other, "the stick", room)


def _holder(case: Case, plunge: Plunge, own: Wheel, other: Wheel) -> Iterator[Fault]:
    dresser = case.known.machine.dresser
    if dresser.holder is None:
        return
    width, reach = (float(value) for value in dresser.holder)
    low, high = other.under(plunge.lateral, case.size_of(other))
    if max(low, -high) - width / 2 < float(dresser.side_clearance) - TOLERANCE:
        room = _to_axis(case, plunge) - reach - _radius(other)
        yield from _too_near(case, plunge, own, other, "the holder", room)


def _to_axis(case: Case, plunge: Plunge) -> float:
    """From the seat to the spindle's centre line at the bottom of ``plunge``, mm."""
    dresser = case.known.machine.dresser
    assert dresser.datum is not None
    return dresser.sign * (float(dresser.datum) - plunge.reached)


def _radius(other: Wheel) -> float:
    return float(other.size_range[1]) / 2


def _too_near(case: Case, plunge: Plunge, own: Wheel, other: Wheel, what: str, room: float) -> Iterator[Fault]:
    if room >= case.gap - TOLERANCE:
        return
    reach = f"comes within {case.mm(room)} of" if room >= 0 else f"goes {case.mm(-room)} deep beside the periphery of"
    yield Fault(
        plunge.last_line,
        f"at the bottom of this plunge into wheel {own.index + 1} {what} {reach} wheel {other.index + 1}; "
        f"{case.mm(case.gap)} is wanted, or {case.mm(float(case.known.machine.dresser.side_clearance))} beside it "
        f"({case.here}).",
        tuple(_changes(case.known, own, case.gap - room)),
        amount=case.gap - room,
    )


def _changes(dress: Dress, own: Wheel, missing: float) -> Iterator[Change]:
    yield from changes.plunge(dress, float(own.settings.plunge) - missing)
    if own.settings.lanes == "all" and len(own.lanes.offsets) > 1:
        key = "dress.lanes" if own.count == 1 else f"wheel[{own.index}].lanes"
        yield Change("recipe", key, "one", f'With lanes = "one" wheel {own.index + 1} keeps clear.')
