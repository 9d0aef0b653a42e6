"""Clearance or stand-off is enough for the groove in the stick's end, the stick's tolerance, and some to spare.

Why: The groove's edges reach nearer to the wheel than the bottom that the length is measured to.
Example: A clearance of 2 mm is less than a groove of 1.3 mm, a tolerance of 0.5 mm and 1 mm to spare.
Helps: A greater clearance or stand_off in the machine file, or a stick that is less tall.
"""

from gen.bounds import changes
from gen.bounds.kit import MOVING, TOLERANCE, Dress, Found, Measure, Units, bound

_MARGIN = 1.0
"""mm beside groove and stick tolerance (the project's own choice, no source)."""

_STATE_MARGIN = 5.0
"""mm more where rapids go by the registers: a mistyped length or an overlooked change of wheel is rarely smaller
than what an operator sees and stops (a judgement, no source)."""


@bound("rapid-clearance", always=True, intents=MOVING)
def check(dress: Dress, units: Units) -> Found:
    dresser = dress.dresser
    name = "clearance" if dresser.per_set_up is None else "stand_off"
    spare = _MARGIN + (_STATE_MARGIN if dresser.rapids_by_state else 0.0)
    least = dress.groove + float(dresser.stick_tolerance) + spare
    yield Measure(
        name.replace("_", "-"),
        float(dresser.gap),
        least,
        "least",
        "length",
        slack=TOLERANCE,
        said=lambda: _said(dress, units, name, least, spare),
        helps=lambda: changes.machine_length(dress.machine.units, f"dresser.{name}", least, "up"),
    )


def _said(dress: Dress, units: Units, name: str, least: float, spare: float) -> str:
    dresser = dress.dresser
    parts = f"a groove of {units.mm(dress.groove)} in the stick's end" if dress.groove else "the stick"
    return (
        f"a {name} of {units.mm(float(dresser.gap))} is not enough for {parts}, a stick tolerance of "
        f"{units.mm(float(dresser.stick_tolerance))} and {units.mm(spare)} to spare; {units.mm(least)} is."
    )
