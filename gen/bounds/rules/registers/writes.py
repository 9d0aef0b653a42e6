"""The registers that a dress lives by: what a block writes to them, and whether motion has ended by then."""

from gen.bounds.kit import TOLERANCE, Abilities, Contacts, Dress, DressBlock, Fault, Found
from gen.plan.step import Aux, Move, RegisterRead, Write


def writes_of(block: DressBlock, dress: Dress) -> list[tuple[int, Write, str]]:
    """Every write of such a register, with its step number and name."""
    names = dress.lasting_registers
    return [(index, step, names[step.register]) for index, step in block.steps(Write) if step.register in names]


def in_use(block: DressBlock, dress: Dress) -> bool:
    """Whether the block reads or writes any of them."""
    names = dress.lasting_registers
    return any(read.register in names for read in block.reads) or bool(writes_of(block, dress))


def named(event: RegisterRead | Write, dress: Dress) -> str:
    """A register as findings name it."""
    return f"register {event.register} ({dress.lasting_registers[event.register].replace('_', ' ')})"


def still_moving(block: DressBlock, words: Abilities, step: int) -> bool:
    """Whether, before step number ``step``, anything has moved since the last wait for motion."""
    if not words.synchronise:
        return False
    for index in range(step - 1, -1, -1):
        earlier = block.reading.steps[index]
        if isinstance(earlier, Aux) and earlier.function == "synchronise":
            return False
        if isinstance(earlier, Move) or (isinstance(earlier, Aux) and earlier.function in ("feeder-on", "feeder-off")):
            return True
    return False


def early(block: DressBlock, dress: Dress, contacts: Contacts, words: Abilities, index: int, step: Write) -> Found:
    """Faults of a write that follows motion."""
    gap = contacts.after[index].gap
    if gap is not None and gap < float(dress.dresser.gap) - TOLERANCE:
        yield Fault(step.line, f"{named(step, dress)} is written before the stick is clear of the wheel.")
    elif still_moving(block, words, index):
        said = f"{named(step, dress)} is written while motion may not have ended; put the word that waits before it."
        yield Fault(step.line, said)
