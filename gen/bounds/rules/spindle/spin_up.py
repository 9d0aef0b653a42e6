"""Between the last change of the spindle's speed and contact lies the whole spin_up.

Why: Until it has come to speed the wheel is dressed harder than planned; it may have to slow down as well.
Example: The program waits 1 s for the spindle before the stick meets the wheel; spin_up is 3 s.
Helps: A longer dwell behind the spindle's start.
"""

from gen.base.quantities import show
from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Plunge, bound
from gen.plan.step import Spindle


@bound("spindle-running")
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    needed = float(dress.machine.spindle.spin_up)
    for plunge in contacts.plunges:
        turned = block.turned(plunge.enters)
        told = list(block.steps(Spindle, range(block.run.start, plunge.enters)))
        if turned is not None and told and told[-1][1].direction == dress.machine.spindle.direction:
            # at a stop somebody may open the guard, which stops the wheel
            begun = max(turned.step, block.stopped)
            yield from too_short(block, begun, turned.line, plunge, needed, "the spindle", "spin_up")


def too_short(block: DressBlock, begun: int, line: int, plunge: Plunge, needed: float, what: str, key: str) -> Found:
    """A fault at ``line`` where from step ``begun`` to ``plunge`` dwells take less than the ``needed`` s of ``key``.

    The time that motion takes is left out.
    """
    got = block.waited(range(begun, plunge.enters))
    if got < needed - 1e-6:
        said = f"the program waits {show(got, 'time')} for {what} before the stick meets the wheel; "
        yield Fault(line, f"{said}{key} is {show(needed, 'time')}.", amount=needed - got)
