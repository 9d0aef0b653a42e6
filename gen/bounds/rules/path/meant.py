"""The plunges of a block, those it shows held off, or its gaps, each with the visit that the recipe means by it."""

from typing import NamedTuple

from gen.bounds.kit import Contacts, Dress, DressBlock
from gen.physics.visits import Bite
from gen.plan.step import Move
from gen.shop.edition import Purpose


class Meant(NamedTuple):
    """Step number ``step`` at ``line`` takes the stick in, for the visit ``bite``; ``said`` tells when that is."""

    step: int
    line: int
    bite: Bite
    said: str


def meant(
    block: DressBlock, dress: Dress, contacts: Contacts, purpose: Purpose, turn: int | None = None
) -> list[Meant]:
    """In the order of the block; a plunge too many begins the recipe's visits again.

    ``turn`` is that of a dress which visits one lane.
    """
    bites = dress.bites(turn=turn)
    if purpose == "gap-check":
        bites = tuple({bite.wheel: bite for bite in reversed(bites)}[wheel.index] for wheel in dress.wheels)
        found = [(index, move.line, "the gap is measured") for index, move in held_off(block, dress, contacts)]
    elif purpose == "prove-out":
        found = [(index, move.line, "this plunge is shown") for index, move in held_off(block, dress, contacts)]
    else:
        found = [(plunge.enters, plunge.line, "the stick meets the wheel") for plunge in contacts.plunges]
    return [Meant(index, line, bites[count % len(bites)], said) for count, (index, line, said) in enumerate(found)]


def held_off(block: DressBlock, dress: Dress, contacts: Contacts) -> list[tuple[int, Move]]:
    """A prove-out's feeds that stand for plunges; the last one of an incremental slide goes to the stand-off."""
    axis, sign = dress.dresser.way, dress.dresser.sign
    feeds = [
        (index, move)
        for index, move in block.moves
        if move.op == "feed" and move.axes == (axis,) and (contacts.advance(index, sign) or 0) > 0
    ]
    return feeds[:-1] if dress.dresser.moves_by_steps else feeds
