"""The stick's length is written after each retract, as long as it then is.

Why: The next dress plunges from where that register says the stick ends.
Example: The stick's length is written as 145 mm; after this plunge it is 142 mm.
Helps: Write the length once behind each retract, less what the plunge took.
"""

from gen.bounds.kit import TOLERANCE, Abilities, Contacts, Dress, DressBlock, Fault, Found, Units, Wear, bound
from gen.bounds.rules.registers.writes import early, in_use, writes_of


@bound("register-order")
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, words: Abilities, units: Units) -> Found:
    if not words.synchronise or not in_use(block, dress):
        return
    plunges = contacts.plunges
    writes = [(index, step) for index, step, name in writes_of(block, dress) if name == "stick_length"]
    for index, step in writes:
        if not plunges or index < plunges[0].enters:
            said = "the stick's length is written before the first plunge; it is as it was."
            yield Fault(step.line, said, amount=1e9)
            continue
        yield from early(block, dress, contacts, words, index, step)
        left = wear.stick_length - contacts.after[index].shortened
        written = step.value * float(dress.register_unit)
        if abs(written - left) > TOLERANCE * max(1, len(plunges)):
            yield Fault(
                step.line,
                f"the stick's length is written as {units.mm(written)}; after this plunge it is {units.mm(left)} "
                f"({wear.here}).",
                amount=abs(written - left),
            )
    if not dress.dresser.needs_length:
        return
    was = 0.0
    for place, plunge in enumerate(plunges):
        begin = plunge.enters
        end = plunges[place + 1].enters if place + 1 < len(plunges) else block.run.stop
        before, was = was, contacts.after[end - 1].shortened
        if wear.turn is not None and place + 1 < len(plunges):
            continue  # one lane a dress: the length is written once, when the lane is done
        if was > before + TOLERANCE and not any(begin < index < end for index, _ in writes):
            yield Fault(plunge.last_line, "the stick's new length is not written after this plunge.")
