"""The in-progress register is set before the first plunge and cleared by the last write of all.

Why: After an interruption the stick is shorter than its register says, and only this flag tells.
Example: The stick meets the wheel before the in-progress register is set.
Helps: Set the flag before the first plunge; clear it behind the last write.
"""

from gen.bounds.kit import Abilities, Contacts, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.registers.writes import early, in_use, writes_of


@bound("register-order")
def check(block: DressBlock, dress: Dress, contacts: Contacts, words: Abilities) -> Found:
    plunges = contacts.plunges
    if not words.synchronise or not plunges or not in_use(block, dress):
        return
    writes = writes_of(block, dress)
    flags = [(index, step) for index, step, name in writes if name == "in_progress"]
    if not any(index < plunges[0].enters and step.value != 0 for index, step in flags):
        yield Fault(plunges[0].line, "the stick meets the wheel before the in-progress register is set.")
    ends = [(index, step) for index, step in flags if step.value == 0]
    for index, step in ends:
        if index < plunges[-1].enters or any(later > index for later, _, name in writes if name != "in_progress"):
            said = "the in-progress register is cleared too early; it is the last thing a dress writes."
            yield Fault(step.line, said)
        else:
            yield from early(block, dress, contacts, words, index, step)
    if not ends or flags[-1][1].value != 0:
        yield Fault(block.last_line, "the block ends without having cleared the in-progress register.")
