"""In a prove-out the wheel turns the way it does in the dress.

Why: This is where somebody looks whether the wheel turns the right way.
Example: A plunge is shown with the spindle ccw; this machine dresses cw.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, bound
from gen.bounds.rules.path.meant import held_off
from gen.plan.step import Spindle


@bound("prove-out", intents=("prove-out",))
def check(block: DressBlock, dress: Dress, contacts: Contacts) -> Found:
    wanted = dress.machine.spindle.direction
    for index, _ in held_off(block, dress, contacts):
        told = [step for _, step in block.steps(Spindle, range(block.run.start, index))]
        if told and told[-1].direction != wanted:
            said = f"a plunge is shown with the spindle {told[-1].direction}; this machine dresses {wanted}."
            yield Fault(told[-1].line, said)
