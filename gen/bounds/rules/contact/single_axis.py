"""While the stick is in contact the plunge axis moves alone, straight and at a feed.

Why: A sideways move breaks the stick off or throws it; a rapid into the wheel does worse.
Example: Z moves while the stick stands 3 mm in the wheel.
Helps: Draw the stick back before any other axis moves.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, bound
from gen.plan.step import Move


@bound("single-axis-plunge")
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    axis = dress.dresser.axis
    for plunge in contacts.plunges:
        end = block.run.stop if plunge.leaves is None else plunge.leaves + 1
        for index, move in block.steps(Move, range(plunge.enters, end)):
            others = [letter for letter in move.axes if letter != axis]
            if others:
                may = "none may" if axis is None else f"only {axis} may"
                yield Fault(move.line, f"axis {others[0]} moves while the stick is in contact; {may}.")
            elif move.op == "arc":
                yield Fault(move.line, "the stick is moved along an arc while in contact; it may only go straight.")
            elif move.op == "rapid" and index != plunge.leaves:
                yield Fault(move.line, "the stick goes into the wheel as a rapid move; a plunge is a feed move.")
