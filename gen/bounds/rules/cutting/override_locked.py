"""Feed and speed overrides are locked during the dress where the control can, and freed afterwards.

Why: A knob left at 150 % from the prove-out of another job would take the dress out of its band.
Example: M49 is missing before the plunge.
Helps: Lock the overrides before the first plunge, and free them at the end of the block.
"""

from gen.bounds.kit import Abilities, Contacts, DressBlock, Expected, Fault, Found, bound
from gen.plan.step import Aux


@bound("override")
def check(block: DressBlock, contacts: Contacts, words: Abilities, expected: Expected) -> Found:
    if not words.override_lock:
        return
    plunges = contacts.plunges
    names = ("override-lock", "override-free")
    switched = [(index, step) for index, step in block.steps(Aux) if step.function in names]
    for plunge in plunges:
        before = [step for index, step in switched if index < plunge.enters]
        if not before or before[-1].function != "override-lock":
            yield Fault(plunge.line, "the overrides are not locked when the stick meets the wheel.")
    kept = (expected.leaves or {}).get("override") == "lock"
    if plunges and switched and switched[-1][1].function == "override-lock" and not kept:
        yield Fault(switched[-1][1].line, "the overrides are locked here and never freed again.")
