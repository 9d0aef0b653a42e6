"""While one wheel of a pack is dressed, no part of the stick comes near another."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import Expected
from gen.bounds.contacts import Contacts
from gen.bounds.registry import bound
from gen.bounds.rules.end_face.beside import dressed_beside, to_periphery, too_near
from gen.bounds.units import Units
from gen.bounds.wear import Wear
from gen.shop.dress import Dress


@bound(
    "neighbour",
    intents=("dress", "gap-check"),
    why="The longest part of the stick's end would be cut by a wheel at a speed and feed that were not meant for it.",
    example="At the bottom of the plunge into wheel 2 the stick comes within 1 mm of wheel 1; 4 mm is wanted.",
    helps='A smaller plunge, or lanes = "one" for the wheel that is dressed.',
)
def check(
    block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, expected: Expected, units: Units
) -> Iterator[Fault]:
    beside = float(dress.machine.dresser.side_clearance)
    for plunge, own, other in dressed_beside(block, dress, contacts, expected.edition.purpose):
        under, near = own.under(plunge.lateral, wear.size_of(own)), other.under(plunge.lateral, wear.size_of(other))
        after = plunge.end
        if plunge.wheel == own.index:
            after = after.cut(*under, (after.highest(*under) or 0.0) + plunge.depth)
        shorter = after.highest(near[0] - beside, near[1] + beside)
        if shorter is not None:
            room = to_periphery(dress, plunge, other) - (wear.stick_length - shorter)
            yield from too_near(dress, wear, units, plunge, own, other, "the stick", room)
