"""Whether motion has ended where a register is read or written."""

from gen.bounds.kit import TOLERANCE, Contacts, ControlWords, Dress, Fault, Found, Reading
from gen.bounds.rules.registers.names import named
from gen.plan.step import Aux, Move, Write


def still_moving(reading: Reading, words: ControlWords, step: int) -> bool:
    """Whether, before step number ``step``, anything has moved since the last wait for motion."""
    if not words.synchronise:
        return False
    for index in range(step - 1, -1, -1):
        earlier = reading.steps[index]
        if isinstance(earlier, Aux) and earlier.function == "synchronise":
            return False
        if isinstance(earlier, Move) or (isinstance(earlier, Aux) and earlier.function in ("feeder-on", "feeder-off")):
            return True
    return False


def early(
    reading: Reading, dress: Dress, contacts: Contacts, words: ControlWords, index: int, step: Write, name: str
) -> Found:
    """Faults of a write that follows motion."""
    gap = contacts.gaps[index]
    if gap is not None and gap < float(dress.machine.dresser.gap) - TOLERANCE:
        yield Fault(step.line, f"{named(step, name)} is written before the stick is clear of the wheel.")
    elif still_moving(reading, words, index):
        yield Fault(
            step.line,
            f"{named(step, name)} is written while motion may not have ended; put the word that waits before it.",
        )
