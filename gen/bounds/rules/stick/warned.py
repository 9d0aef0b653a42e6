"""A word of the machine tells that few dresses are left on the stick: when that is so, and only then.

Why: A cell that is left alone stops for its next stick if nobody was told in time.
Example: 2 dresses are left after this one, and the block does not say so.
Helps: Keep the warning as generated, behind the last plunge.
"""

from decimal import Decimal

from gen.bounds.kit import TOLERANCE, Abilities, Contacts, Dress, DressBlock, Fault, Found, Wear, bound
from gen.plan.step import Aux


@bound("stick-length")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, words: Abilities) -> Found:
    most, plunges = dress.settings.warn_left, contacts.plunges
    told = [(index, step) for index, step in block.steps(Aux) if step.function == "stick-low"]
    for index, step in told:
        if plunges and index < plunges[-1].enters:
            yield Fault(step.line, "the stick is told to be low before the last plunge.")
    if most is None or "stick-low" not in words.tells or not words.synchronise or not plunges or not block.reads:
        for _, step in told if most is None else ():
            yield Fault(step.line, "the stick is told to be low, and the recipe does not ask for that.")
        return
    left = Decimal(repr(round(wear.stick_length - contacts.left.shortened, 6)))
    turn = None if wear.turn is None else (wear.turn + 1) % len(dress.turns)
    slack = Decimal(repr(TOLERANCE))
    low, high = (dress.dresses_left(left + off, turn) for off in (-slack, slack))
    if high <= most and not told:
        said = f"{high} dresses are left after this one, and the block does not say so ({wear.here})."
        yield Fault(block.last_line, said)
    elif low > most and told:
        said = f"{low} dresses are left after this one, and the block says that the stick is low ({wear.here})."
        yield Fault(told[0][1].line, said)
