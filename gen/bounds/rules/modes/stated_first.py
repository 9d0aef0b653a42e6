"""No step of the block depends on a mode left from before: units, distance, feed mode, plane, motion.

Why: The same line goes to another place in inches or in steps, and what ran before decides which.
Example: The block moves to U0 without having said G90.
Helps: State units, distance, feed mode, plane and motion code before the first move.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, DressBlock, Fault, Found, bound

GROUPS = ("units", "distance", "feed_mode", "plane", "motion")


@bound("explicit-modes", intents=MOVING, needs="machine")
def check(block: DressBlock) -> Found:
    first = next(block.moves, None)
    if first is None:
        return
    index, move = first
    missing = [group for group in GROUPS if not stated(block, group, index, move.line)]
    if missing:
        said = listed((group.replace("_", " ") for group in missing), "and")
        yield Fault(move.line, f"the block moves here without having stated its {said}; whatever ran before decides.")


def stated(block: DressBlock, group: str, index: int, line: int, value: str = "") -> bool:
    """Whether the block has stated ``group``, as ``value`` if that is given, by step ``index`` on ``line``."""
    changes = (change for change in block.stated(group) if value in ("", change.value))
    return any(change.step < index or (change.step == index and change.line <= line) for change in changes)
