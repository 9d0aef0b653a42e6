"""The counter of parts starts anew after the last plunge, where the machine counts them.

Why: A counter that is not set back asks for the next dress at once, and one set back early forgets a dress.
Example: The block ends without having zeroed the counter of parts.
Helps: Set the counter back behind the last plunge.
"""

from gen.bounds.kit import Abilities, Contacts, Dress, DressBlock, Expected, Fault, Found, bound
from gen.bounds.rules.registers.writes import early, in_use, writes_of


@bound("register-order")
def check(block: DressBlock, dress: Dress, contacts: Contacts, words: Abilities, expected: Expected) -> Found:
    plunges, table = contacts.plunges, dress.machine.registers
    if not words.synchronise or not plunges or table is None or table.parts_since_dress is None:
        return
    if not in_use(block, dress):
        return
    # a block that counts the parts has the one that comes now in its count already
    first = int(expected.edition.counts)
    counts = [(index, step) for index, step, name in writes_of(block, dress) if name == "parts_since_dress"]
    for index, step in counts:
        if step.value != first:
            said = f"the counter of parts is set to {step.value:g}; after this dress it starts at {first}."
            yield Fault(step.line, said)
        elif index < plunges[-1].enters:
            yield Fault(step.line, "the counter of parts is zeroed before the last plunge.")
        else:
            yield from early(block, dress, contacts, words, index, step)
    if not counts:
        yield Fault(block.last_line, "the block ends without having zeroed the counter of parts.")
