"""At the first feed move behind the dress the wheel turns as before, and has had its time to come to speed.

Why: A cut with a wheel that stands, or turns at the speed of the dress, spoils part and wheel.
Example: The spindle was on before the dress and is off when G1 X10 moves at a feed.
Helps: Start the spindle again behind the dress and wait for it; splice does that.
"""

from gen.base.quantities import show
from gen.bounds.kit import MOVING, Dress, DressBlock, Fault, Found, Reading, bound
from gen.bounds.rules.program.behind import ground, said_at
from gen.plan.step import Move, Spindle


@bound("host-continues", scope="program", intents=MOVING, needs="states")
def check(reading: Reading, block: DressBlock, dress: Dress) -> Found:
    cut = ground(block)
    if cut is None:
        return
    (index, move), before = cut, block.before
    was_on, is_on = before.stated("spindle", "off"), said_at(reading, "spindle", index) or "off"
    was, now = before.stated("speed"), said_at(reading, "speed", index)
    told = any(isinstance(step, Spindle) for step in reading.steps[block.run.stop : index])
    if was_on != is_on and not told:
        yield Fault(move.line, f"the spindle was {was_on} before the dress and is {is_on} when this moves at a feed.")
    elif is_on != "off" and was != now and not told:
        yield Fault(
            move.line,
            f"the wheel still turns at the {now} rpm of the dress; it was {was}.",
        )
    elif is_on != "off":
        yield from _wait(block, dress, index, move)


def _wait(block: DressBlock, dress: Dress, index: int, move: Move) -> Found:
    turned, needed = block.turned(index), float(dress.machine.spindle.spin_up)
    if turned is None or turned.step < block.run.start:
        return
    got = block.waited(range(turned.step, index))
    if got < needed - 1e-6:
        yield Fault(
            move.line,
            f"the spindle is given {show(got, 'time')} after the dress before this feed; spin_up is "
            f"{show(needed, 'time')}.",
            severity="warning",
            amount=needed - got,
        )
