"""Nothing of the block moves in other units, by steps, or at a feed that is not a minute's.

Why: Numbers of a dress are absolute positions in the machine's units, and feeds are per minute.
Example: G91 stands before the move to parked.
Helps: State the machine's units, absolute distance and feed per minute; only a stroke goes in steps.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Machine, Reading, bound
from gen.plan.step import UNKNOWN, ModeChange


@bound("explicit-modes", intents=MOVING)
def check(reading: Reading, block: DressBlock, machine: Machine) -> Found:
    wanted = {"units": machine.units, "distance": "absolute", "feed_mode": "per-minute"}
    for place, change in enumerate(block.changes):
        # that nobody knows a mode any more is said of the word that did it
        if change.value in (wanted.get(change.group, change.value), UNKNOWN):
            continue
        if _moves_under(reading, block, machine, place, change):
            yield Fault(
                change.line,
                f"{change.group.replace('_', ' ')} is set to {change.value} here, and the block moves under it; "
                f"it must be {wanted[change.group]}.",
            )


def _moves_under(reading: Reading, block: DressBlock, machine: Machine, place: int, change: ModeChange) -> bool:
    """Whether anything moves, or might, before the group is set again; an incremental dresser's strokes may."""
    after = next((later for later in block.changes[place + 1 :] if later.group == change.group), None)
    stop = block.run.stop if after is None else after.step
    last_line = block.last if after is None else after.line
    strokes = change.group == "distance" and machine.dresser.moves_by_steps
    axis = machine.dresser.way
    moved = any(not (strokes and move.axes == (axis,)) for index, move in block.moves if change.step <= index < stop)
    return moved or any(change.line <= entry.line < last_line for entry in reading.unread)
