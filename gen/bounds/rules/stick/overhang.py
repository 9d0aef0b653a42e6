"""A new stick stands no further out of its clamp than the dresser's max_overhang.

Why: A stick that stands out far bends, chatters or breaks.
Example: A new stick stands 130 mm out of its clamp; this dresser's max_overhang is 100 mm.
Helps: Shorter sticks.
"""

from gen.bounds import changes
from gen.bounds.kit import Dress, Found, Measure, Units, bound


@bound("overhang")
def check(dress: Dress, units: Units) -> Found:
    most = dress.dresser.max_overhang
    if most is not None:
        out, limit = float(dress.overhang), float(most)
        yield Measure(
            "overhang",
            out,
            limit,
            "most",
            "length",
            said=lambda: (
                f"a new stick stands {units.mm(out)} out of its clamp; this dresser's max_overhang is "
                f"{units.mm(limit)}."
            ),
            helps=lambda: changes.new_stick(dress, dress.stick.length - (dress.overhang - most), "down"),
        )
