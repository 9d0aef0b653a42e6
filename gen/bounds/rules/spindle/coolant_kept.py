"""Coolant is not switched off until the stick is clear.

Why: The last of a plunge is as hot as its beginning.
Example: M9 stands between the plunge and the retract.
Helps: Draw the stick back first.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, bound
from gen.plan.step import Coolant


@bound("coolant")
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    if not dress.settings.coolant:
        return
    for plunge in contacts.plunges:
        end = block.run.stop if plunge.leaves is None else plunge.leaves
        for _, step in block.steps(Coolant, range(plunge.enters, end)):
            if not step.on:
                yield Fault(step.line, "the coolant is switched off while the stick is in contact; draw it back first.")
