"""A prove-out stops to let the operator look, and only with the stick parked or at its stand-off.

Why: Somebody looks and measures while it stands.
Example: M0 stands where the stick is at the envelope.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Wear, bound, stands_at
from gen.plan.step import Stop


@bound("prove-out", intents=("prove-out",))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear) -> Found:
    stops = list(block.steps(Stop))
    for index, stop in stops:
        if not _stands_clear(dress, contacts, wear, index):
            yield Fault(stop.line, "a prove-out stops only with the stick parked, or at its stand-off.")
    if not stops:
        yield Fault(block.last_line, "a prove-out stops to let the operator look; this one does not.")


def _stands_clear(dress: Dress, contacts: Contacts, wear: Wear, index: int) -> bool:
    """Whether the plunge axis stands parked, or an incremental one where it began."""
    dresser = dress.dresser
    if dresser.axis is None:
        gap = contacts.after[index].gap
        return gap is not None and gap >= float(dresser.gap) - TOLERANCE
    home = wear.state.positions.get(dresser.axis) if dresser.moves_by_steps else dresser.parked_at
    return home is not None and stands_at(home, contacts.after[index].position)
