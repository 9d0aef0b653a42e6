"""A new stick stands no further out of its clamp than the dresser's max_overhang."""

from functools import partial

from gen.bounds import changes
from gen.bounds.kit import Dress, Found, Measure, Units, bound


@bound(
    "overhang",
    why="A stick that stands out far bends, chatters or breaks.",
    example="A new stick stands 130 mm out of its clamp; this dresser's max_overhang is 100 mm.",
    helps="Shorter sticks.",
)
def check(dress: Dress, units: Units) -> Found:
    most = dress.machine.dresser.max_overhang
    if most is not None:
        yield Measure(
            "overhang",
            float(dress.overhang),
            float(most),
            "most",
            "length",
            said=partial(_said, dress, units, float(most)),
            helps=partial(changes.new_stick, dress, dress.stick.length - (dress.overhang - most), "down"),
        )


def _said(dress: Dress, units: Units, most: float) -> str:
    out = units.mm(float(dress.overhang))
    return f"a new stick stands {out} out of its clamp; this dresser's max_overhang is {units.mm(most)}."
