"""A new stick lasts for the dresses between two set-ups of an incremental slide.

Why: Such a slide goes on from where it stands and cannot tell how long the stick is.
Example: 10 dresses between two set-ups take 60 mm of stick; a new one lasts for 8.
Helps: Fewer dresses_per_set_up, or a smaller plunge.
"""

from gen.bounds import changes
from gen.bounds.kit import Dress, Fault, Found, Units, bound


@bound("stick-length")
def check(dress: Dress, units: Units) -> Found:
    length, taken, least = dress.stick.length, dress.stick_per_dress, dress.shortest_left
    dresses = dress.dresser.per_set_up
    if dresses is None or dress.dresser.valve is not None or length - taken < least:
        return
    possible = int((length - least) / taken)
    if dresses > possible:
        yield Fault(
            None,
            f"{dresses} dresses between two set-ups take {units.mm(float(taken * dresses))} of stick; a new one of "
            f"{units.mm(float(length))} lasts for {possible}, and the slide cannot tell.",
            (
                *changes.set_ups(possible),
                *changes.plunge(dress, dress.settings.plunge * (length - least) / (taken * dresses)),
            ),
        )
