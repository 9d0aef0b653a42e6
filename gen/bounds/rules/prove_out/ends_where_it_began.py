"""A prove-out of an incremental slide ends where it began.

Why: The next dress counts its depth from there.
Example: The slide is left at 18 mm; a prove-out ends at its stand-off at 20 mm.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Units, Wear, bound, stands_at


@bound("prove-out", intents=("prove-out",))
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    if not dress.dresser.moves_by_steps or not block.run:
        return
    began = wear.state.positions.get(dress.dresser.way)
    ends = contacts.left.position
    if began is None or not stands_at(began, ends):
        at = units.place(dress.dresser.way, ends)
        began_at = "its stand-off" if began is None else f"its stand-off at {units.mm(began)}"
        yield Fault(block.last_line, f"the slide is left at {at}; a prove-out ends at {began_at}.")
