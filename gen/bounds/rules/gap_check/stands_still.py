"""In a gap check spindle and coolant are off before anything moves and stay off, and the wheel comes to a stand.

Why: Somebody puts a hand between stick and wheel to measure the gap.
Example: M3 stands in a gap check, or the stick goes in before the wheel has had time to come to a stand.
Helps: Generate the gap check again.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.path.meant import held_off
from gen.plan.step import Coolant, Dwell, Spindle


@bound("gap-check", intents=("gap-check",))
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    spindle, coolant = list(block.steps(Spindle)), list(block.steps(Coolant))
    for _, turned in spindle:
        if turned.direction != "off":
            yield Fault(turned.line, "the spindle is switched on; in a gap check it stays off.", amount=1e9)
    for _, flood in coolant:
        if flood.on:
            yield Fault(flood.line, "the coolant is switched on; in a gap check it stays off.")
    first, shown = next(block.moves, None), held_off(block, dress, contacts)
    if first is None:
        return
    off = next((index for index, turned in spindle if turned.direction == "off"), None)
    for what, found in (("spindle", off), ("coolant", next((index for index, one in coolant if not one.on), None))):
        if found is None or found > first[0]:
            yield Fault(first[1].line, f"the {what} is not switched off before this move.")
    if off is not None and shown:
        waits = [(index, wait) for index, wait in block.steps(Dwell, range(off, shown[0][0]))]
        waited, wanted = sum(wait.seconds for _, wait in waits), float(dress.machine.spindle.spin_up)
        if waited < wanted - 1e-9:
            yield Fault(
                shown[0][1].line,
                f"the stick goes in {waited:g} s after the spindle was switched off; the wheel needs {wanted:g} s.",
            )
