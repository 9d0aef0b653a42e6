"""The lane of the next dress is written once, after the last plunge, where every dress visits one lane.

Why: The next dress would meet a lane that is cut already, or one that stands higher than the length says.
Example: After lane 3 of 6 the next one is 4, and 5 is written.
Helps: Count the lane once, behind the last plunge.
"""

from gen.bounds.kit import Abilities, Contacts, Dress, DressBlock, Fault, Found, Wear, bound
from gen.bounds.rules.registers.writes import early, in_use, writes_of


@bound("register-order")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, words: Abilities) -> Found:
    turn, plunges = wear.turn, contacts.plunges
    if turn is None or not plunges or not in_use(block, dress):
        return
    comes = (turn + 1) % len(dress.turns) + 1
    written = [(index, step) for index, step, name in writes_of(block, dress) if name == "next_lane"]
    for index, step in written:
        if step.value != comes:
            said = (
                f"after lane {turn + 1} of {len(dress.turns)} the next one is {comes}, and {step.value:g} is written."
            )
            yield Fault(step.line, said)
        elif index < plunges[-1].enters:
            yield Fault(step.line, "the next lane is counted before the last plunge.")
        else:
            yield from early(block, dress, contacts, words, index, step)
    if len(written) != 1:
        said = "more than once" if written else "never"
        yield Fault(written[-1][1].line if written else block.last_line, f"the next lane is counted {said}.")
