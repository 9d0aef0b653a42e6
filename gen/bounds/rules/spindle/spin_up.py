"""Between the last change of the spindle's speed and contact lies the whole spin_up."""

from gen.bounds.kit import Contacts, Dress, DressBlock, Found, bound
from gen.bounds.rules.spindle.waits import too_short
from gen.plan.step import Spindle


@bound(
    "spindle-running",
    why="Until it has come to speed the wheel is dressed harder than planned; it may have to slow down as well.",
    example="The program waits 1 s for the spindle before the stick meets the wheel; spin_up is 3 s.",
    helps="A longer dwell behind the spindle's start.",
)
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    needed = float(dress.machine.spindle.spin_up)
    for plunge in contacts.plunges:
        turned = block.turned(plunge.enters)
        told = list(block.steps(Spindle, range(block.run.start, plunge.enters)))
        if turned is not None and told and told[-1][1].direction == dress.machine.spindle.direction:
            # at a stop somebody may open the guard, which stops the wheel
            begun = max(turned.step, block.stopped)
            yield from too_short(block, begun, turned.line, plunge, needed, "the spindle", "spin_up")
