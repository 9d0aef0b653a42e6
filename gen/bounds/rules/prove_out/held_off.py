"""The feeds of a prove-out that stand for plunges."""

from gen.bounds.kit import Contacts, Dress, DressBlock
from gen.plan.step import Move


def held_off(block: DressBlock, dress: Dress, contacts: Contacts) -> list[tuple[int, Move]]:
    """A prove-out's feeds that stand for plunges; the last one of an incremental slide goes to the stand-off."""
    axis, sign = dress.dresser.way, dress.machine.dresser.sign
    feeds = [
        (index, move)
        for index, move in block.moves
        if move.op == "feed" and move.axes == (axis,) and (contacts.advance(index, sign) or 0) > 0
    ]
    return feeds[:-1] if dress.dresser.moves_by_steps else feeds
