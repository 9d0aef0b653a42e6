"""At each plunge, and at each one held off, the other axes stand where the datum and the lane want them.

Why: Beside its place the stick misses the wheel, or meets another wheel or the holder.
Example: Z stands at 40 mm at the plunge, and the wheel's lateral is 42.5 mm.
Helps: Take the positions from the recipe; where the wheel has moved, correct its lateral there.
"""

from gen.bounds.kit import MOVING, Contacts, Dress, DressBlock, Expected, Fault, Found, Units, Wear, bound, stands_at
from gen.bounds.rules.path.meant import meant


@bound("approach-path", intents=MOVING)
def check(block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, expected: Expected, units: Units) -> Found:
    dresser = dress.dresser
    turn = wear.turn if expected.edition.dresses else None
    for enters, line, bite, when in meant(block, dress, contacts, expected.edition.purpose, turn):
        wheel = dress.wheels[bite.wheel]
        wanted = {letter: float(place) for letter, place in wheel.at.items()}
        place = wheel.place(bite.lane, wear.size_of(wheel))
        if dresser.lateral_axis is not None and place is not None:
            wanted[dresser.lateral_axis] = place
        for letter, place in wanted.items():
            stands = contacts.after[enters].places.get(letter)
            if not stands_at(place, stands):
                at, wants = units.place(letter, stands), units.place(letter, place)
                yield Fault(
                    _moved_at(block, letter, enters) or line,
                    f"axis {letter} stands at {at} when {when}; it should be at {wants}.",
                    amount=0.0 if stands is None else abs(stands - place),
                )


def _moved_at(block: DressBlock, letter: str, before: int) -> int | None:
    lines = [move.line for index, move in block.moves if index < before and letter in move.axes]
    return lines[-1] if lines else None
