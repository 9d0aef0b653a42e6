"""From first contact until the stick is clear nothing else happens: no wait, no stop, no switch, no register.

Why: A stick that stands still in a turning wheel heats the resin and wears a flat into the stick.
Example: G4 P2 stands between the plunge and the retract.
Helps: Draw the stick back first.
"""

from gen.bounds.feeding import feeder, first_off
from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Plunge, Reading, Units, bound
from gen.plan.step import Dwell, Move

_SAID = {
    "dwell": "the program waits",
    "spindle": "the spindle is switched",
    "coolant": "the coolant is switched",
    "write": "a register is written",
    "refuse": "the program stops with a message",
    "stop": "the program stops",
    "end": "the program ends",
}


@bound("no-wait-in-contact")
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts, units: Units) -> Found:
    gap = float(dress.dresser.gap)
    for plunge in contacts.plunges:
        for index in range(plunge.enters, _clear(block, dress, contacts, plunge)):
            step = reading.steps[index]
            if not isinstance(step, Move) and not _feeds(reading, block, dress, plunge, index):
                what = _SAID.get(step.op, "something is switched")
                yield Fault(
                    step.line, f"{what} before the stick is {units.mm(gap)} clear of the wheel; draw it back first."
                )


def _feeds(reading: Reading, block: DressBlock, dress: Dress, plunge: Plunge, index: int) -> bool:
    """Whether step ``index`` is what lets a timed feeder out, or draws it back and waits for it."""
    off = first_off(block, plunge)
    step = reading.steps[index]
    return index == plunge.enters or (off is not None and index >= off and (isinstance(step, Dwell) or feeder(step)))


def _clear(block: DressBlock, dress: Dress, contacts: Contacts, plunge: Plunge) -> int:
    """The number of the step with which the stick is clear; else that of the first step after the block."""
    for index in range(plunge.enters + 1, block.run.stop):
        gap = contacts.after[index].gap
        if gap is not None and gap >= float(dress.dresser.gap) - TOLERANCE:
            return index
    return block.run.stop
