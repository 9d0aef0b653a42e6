"""Where the recipe wants coolant it flows before contact, for the whole coolant_wait.

Why: Dry contact heats the resin before the coolant has come through the pipe.
Example: The program waits 0.5 s for the coolant before the stick meets the wheel; coolant_wait is 2 s.
Helps: Switch the coolant on earlier, or dwell longer behind it.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.spindle.spin_up import too_short
from gen.plan.step import Coolant


@bound("coolant")
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    if not dress.settings.coolant:
        return
    needed = float(dress.dresser.coolant_wait)
    for plunge in contacts.plunges:
        told = list(block.steps(Coolant, range(block.run.start, plunge.enters)))
        if not told:
            yield Fault(plunge.line, "the stick meets the wheel, and nothing in the block has switched the coolant on.")
            continue
        if not told[-1][1].on:
            yield Fault(told[-1][1].line, "the coolant is switched off here, and then the stick meets the wheel.")
            continue
        while len(told) > 1 and told[-2][1].on:
            told.pop()
        begun, step = told[-1]
        yield from too_short(block, begun, step.line, plunge, needed, "the coolant", "coolant_wait")
