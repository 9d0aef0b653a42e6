"""The plunge axis goes out at a rapid, also where it touched nothing.

Why: A slow way out keeps the stick near the wheel, where an interruption leaves it.
Example: U goes back to parked at a feed.
Helps: Draw the stick back as a rapid.
"""

from gen.bounds.kit import MOVING, TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, bound


@bound("approach-path", intents=MOVING)
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    first = next(block.moves, None)
    if first is None:
        return
    axis, sign = dress.dresser.way, dress.dresser.sign
    # the first move and the way out of contact have checks of their own
    judged_elsewhere = {plunge.leaves for plunge in contacts.plunges} | {first[0]}
    for index, move in block.moves:
        if index in judged_elsewhere or move.op != "feed" or move.axes != (axis,):
            continue
        advance = contacts.advance(index, sign)
        if advance is not None and advance < -TOLERANCE:
            yield Fault(move.line, f"{axis} goes back at a feed; the way out must be a rapid move.")
