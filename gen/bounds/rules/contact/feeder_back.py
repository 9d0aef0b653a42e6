"""A timed feeder is switched off after each plunge and its return waited for; no axis moves then but by points.

Why: Its return takes time that no position tells.
Example: M71 lets the feeder out, and nothing switches it off.
Helps: Switch it off and wait for retract_wait, or for its signal.
"""

from gen.base.quantities import show
from gen.bounds.feeding import feeder, first_off
from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Reading, bound
from gen.plan.step import Aux, Move


@bound("retract")
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    if dress.dresser.axis is not None:
        return
    wait = show(dress.dresser.longest_return, "time")
    for plunge in contacts.plunges:
        off = first_off(block, plunge)
        if off is None:
            yield Fault(plunge.last_line, "the feeder is not switched off after this plunge.", amount=1e9)
        elif plunge.leaves is None or plunge.last_line > reading.steps[off].line:
            said = f"the feeder's return is not waited for; it takes up to {wait}."
            yield Fault(reading.steps[off].line, said)
    if contacts.plunges:
        last, out = contacts.plunges[-1].enters, {point.axis for point in dress.ways.out}
        for _, move in block.steps(Move, range(last, block.run.stop)):
            if set(move.axes) <= out:
                continue  # the way out has checks of its own
            yield Fault(move.line, f"axis {move.axes[0]} moves after the last plunge; the dress is over there.")
    switched = [step for _, step in block.steps(Aux) if feeder(step, "feeder-on", "feeder-off")]
    if switched and switched[-1].function == "feeder-on":
        yield Fault(switched[-1].line, "the feeder is switched on here and never off again.")
