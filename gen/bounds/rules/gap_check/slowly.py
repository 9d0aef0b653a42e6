"""In a gap check the stick goes toward a wheel only at the slow feed, never as a rapid.

Why: With a wrong datum the wheel is met before the gap, and only a slow feed leaves time for feed hold.
Example: The stick goes to the gap at 300 mm/min; the gap check's feed is 60 mm/min.
Helps: Generate the gap check again; another feed belongs into the machine file as check_feed.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Units, bound
from gen.bounds.rounding import feed_slack


@bound("gap-check", intents=("gap-check",))
def check(block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    dresser = dress.dresser
    most = float(dresser.gap_check_feed(dress.machine.axis_feed))
    for index, move in block.moves:
        advance = contacts.advance(index, dresser.sign) if dresser.way in move.axes else None
        # the first move goes to parked, from wherever a reset left the stick
        if advance is None or advance <= TOLERANCE or index == next(block.moves)[0]:
            continue
        if move.rate is None:
            yield Fault(move.line, "the stick goes toward the wheel as a rapid; in a gap check it goes at a slow feed.")
        elif move.rate > most + feed_slack(block, most):
            said = f"the stick goes in at {units.feed(move.rate)}; the gap check's feed is {units.feed(most)}."
            yield Fault(move.line, said, amount=move.rate - most)
