"""With one lane a dress, the wheel goes no deeper beside the lanes that still stand than they and the rim allow.

Why: The last lane stands alone until its turn comes; too high for its width it breaks off, and a rim that is not so
deep meets the stick with its body.
Example: A dress cuts 8 mm beside a last lane of 2 mm; twice its width, 4 mm, is the most.
Helps: A smaller plunge, fewer plunges, less overlap, or a wider wheel.
"""

from gen.bounds import changes
from gen.bounds.kit import Dress, Found, Measure, Units, bound
from gen.bounds.rules.end_face.lanes import deepest_slot


@bound("shoulder")
def check(dress: Dress, units: Units) -> Found:
    if not dress.turns:
        return
    wall = dress.first.lanes.pitch
    most, why = deepest_slot(dress, wall, f"twice the width of {units.mm(wall)} that the last lane has")
    deep, plunges = float(dress.stick_per_dress), dress.settings.plunges
    yield Measure(
        "slot",
        deep,
        most,
        "most",
        "length",
        said=lambda: (
            f"a dress cuts {units.mm(deep)} deep beside lanes that still stand; {why}, {units.mm(most)}, is the most."
        ),
        helps=lambda: changes.plunge(dress, most / plunges),
    )
