"""The first feed move behind the dress runs at the host's own feed.

Why: The feed of a plunge is many times that of a cut, or a fraction of it.
Example: G1 X10 behind the dress still moves at 300 mm/min; it was 60 mm/min before it.
Helps: State the feed behind the dress; splice does that.
"""

from gen.bounds.kit import MOVING, DressBlock, Fault, Found, Reading, Units, bound
from gen.bounds.rules.program.behind import ground
from gen.plan.step import UNKNOWN


@bound("host-continues", scope="program", intents=MOVING, needs="states")
def check(reading: Reading, block: DressBlock, units: Units) -> Found:
    cut = ground(block)
    if cut is None:
        return
    index, move = cut
    said, was = reading.last_stated("feed", index), block.before.stated("feed")
    if said is not None and block.has(said.line) and said.value != was:
        ours, theirs = (_told(units, value) for value in (said.value, was))
        yield Fault(
            move.line,
            f"this still moves at the feed of the dress, {ours}; "
            + (f"it was {theirs} before it." if was else "state one."),
        )


def _told(units: Units, feed: str) -> str:
    return units.feed(float(feed)) if feed and feed != UNKNOWN else "one that is not known"
