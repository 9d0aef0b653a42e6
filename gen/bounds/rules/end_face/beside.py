"""Which wheels of a pack stand beside the one that is dressed, and how near stick and holder come to them.

Beside a wheel they keep ``side_clearance``; where they cannot, they stay ``clearance`` off its periphery, taken
as it is when new, since every wheel of a pack wears by itself."""

from collections.abc import Iterator

from gen.bounds import changes
from gen.bounds.kit import TOLERANCE, Change, Contacts, Dress, DressBlock, Fault, Found, Plunge, Units, Wear, Wheel
from gen.bounds.rules.path.meant import meant
from gen.shop.edition import Purpose


def dressed_beside(
    block: DressBlock, dress: Dress, contacts: Contacts, purpose: Purpose
) -> Iterator[tuple[Plunge, Wheel, Wheel]]:
    """Every plunge with the wheel it is meant for and each of the other wheels that stands at the same positions.

    A gap check has none; what comes nearest to a wheel there stands for it.
    """
    if len(dress.wheels) == 1:
        return
    meeting = contacts.plunges if purpose == "dress" else _at_gaps(block, dress, contacts)
    for plunge, one in zip(meeting, meant(block, dress, contacts, purpose), strict=True):
        own = dress.wheels[one.bite.wheel]
        for other in dress.wheels:
            if other is not own and other.at == own.at:
                yield plunge, own, other


def _at_gaps(block: DressBlock, dress: Dress, contacts: Contacts) -> Iterator[Plunge]:
    """The places at which a gap check stops before a wheel, as plunges that cut nothing."""
    for one in meant(block, dress, contacts, "gap-check"):
        place, places = contacts.after[one.step].position, contacts.after[one.step].places
        assert place is not None
        yield Plunge(
            enters=one.step,
            line=one.line,
            last_line=one.line,
            contact=place,
            reached=place,
            wheel=one.bite.wheel,
            lateral=places.get(dress.dresser.lateral_axis or ""),
            end=contacts.end,
        )


def to_periphery(dress: Dress, plunge: Plunge, other: Wheel) -> float:
    """From the seat to the periphery of the new wheel ``other`` at the bottom of ``plunge``, mm."""
    dresser = dress.dresser
    return dresser.sign * (float(dresser.datum_position or 0) - plunge.reached) - float(other.size_range[1]) / 2


def too_near(
    dress: Dress, wear: Wear, units: Units, plunge: Plunge, own: Wheel, other: Wheel, what: str, room: float
) -> Found:
    """The fault of ``what`` with ``room`` mm to the periphery of ``other``, if that is less than the clearance."""
    gap, beside = float(dress.dresser.gap), float(dress.dresser.side_clearance)
    if room >= gap - TOLERANCE:
        return
    reach = f"comes within {units.mm(room)} of" if room >= 0 else f"goes {units.mm(-room)} deep beside the periphery of"
    where = "at the bottom of this plunge into" if plunge.depth else "at the gap before"
    yield Fault(
        plunge.last_line,
        f"{where} wheel {own.index + 1} {what} {reach} wheel {other.index + 1}; "
        f"{units.mm(gap)} is wanted, or {units.mm(beside)} beside it ({wear.here}).",
        tuple(_changes(dress, own, gap - room)),
        amount=gap - room,
    )


def _changes(dress: Dress, own: Wheel, missing: float) -> Iterator[Change]:
    yield from changes.plunge(dress, float(dress.settings.plunge) - missing)
    if own.settings.lanes == "all" and len(own.lanes.offsets) > 1:
        key = own.key("dress.lanes") if own.count == 1 else f"wheel[{own.index}].lanes"
        yield Change("recipe", key, "one", f'With lanes = "one" wheel {own.index + 1} keeps clear.')
