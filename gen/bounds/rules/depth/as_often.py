"""The stick meets the wheel as often as planned: each wheel, lane and plunge once.

Why: A plunge too many takes stick that nothing counts; one too few leaves part of the wheel closed.
Example: The stick meets the wheel once; twice is planned.
Helps: Generate the block again; plunges and lanes of your own belong into the recipe.
"""

from decimal import Decimal

from gen.bounds.feeding import feeder
from gen.bounds.kit import Contacts, Dress, DressBlock, Fault, Found, Wear, bound
from gen.bounds.units import times_told
from gen.plan.step import Aux

LEAST = Decimal("0.1")
"""mm. Twenty times what contact and depth may be off by rounding."""


@bound("plunge-depth")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear) -> Found:
    expected, made = len(dress.bites(turn=wear.turn)), len(contacts.plunges)
    if made == expected or dress.settings.plunge < LEAST:
        return
    yield Fault(
        contacts.plunges[expected].line if made > expected else _missed(block, dress, contacts),
        f"the stick {_met(made)}; {times_told(expected)} is planned ({wear.here}).",
        amount=abs(made - expected),
    )


def _met(times: int) -> str:
    return f"meets the wheel {times_told(times)}" if times else "never meets the wheel"


def _missed(block: DressBlock, dress: Dress, contacts: Contacts) -> int | None:
    """The line where the first stroke ends that touches nothing; where there is none, that of the last move."""
    if dress.dresser.axis is None:
        switched = [step.line for _, step in block.steps(Aux) if feeder(step, "feeder-on")]
        return switched[0] if switched else block.last_line
    entering = {plunge.enters for plunge in contacts.plunges}
    stroke: list[int] = []
    touched = False
    line = None
    for index, move in block.moves:
        line = move.line
        if dress.dresser.way not in move.axes:
            continue
        if move.op == "feed":
            stroke.append(move.line)
            touched = touched or index in entering
        else:
            if stroke and not touched:
                break
            stroke, touched = [], False
    return stroke[-1] if stroke and not touched else line
