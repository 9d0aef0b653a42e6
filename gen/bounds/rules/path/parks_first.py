"""The first motion is the plunge axis alone to parked, as a rapid.

Why: After a reset in mid-plunge the stick still stands in the wheel, and any other motion would break it.
Example: X goes to its place before U has gone to parked.
Helps: Move the plunge axis alone to parked before anything else.
"""

from gen.bounds.kit import MOVING, Dress, DressBlock, Fault, Found, Units, bound, stands_at


@bound("approach-path", intents=MOVING)
def check(block: DressBlock, dress: Dress, units: Units) -> Found:
    first = next(block.moves, None)
    dresser = dress.dresser
    if first is None or dresser.parked_at is None:
        return
    move, axis, parked = first[1], dresser.way, float(dresser.parked_at)
    if move.axes != (axis,) or not stands_at(parked, move.to.get(axis)):
        yield Fault(
            move.line,
            f"the first motion must be {axis} alone to {units.mm(parked)}, where it is parked; the stick may "
            "still stand in the wheel.",
            amount=1e9,
        )
    elif move.op != "rapid":
        yield Fault(move.line, f"{axis} is parked at a feed; the way out must be a rapid move.")
