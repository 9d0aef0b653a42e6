"""A timed feeder retracts by itself on hold, reset and power loss, and single block cannot stop it in the wheel.

Why: An interruption must not leave the stick in a turning wheel with no dwell to end it.
Example: on_reset = "stays"
Helps: Have the feeder piped so that it retracts, find out what it does, and say so in the machine file.
"""

from gen.bounds.kit import MOVING, Dress, Fault, Found, bound


@bound("feeder", intents=MOVING)
def check(dress: Dress) -> Found:
    said = list(dress.dresser.hazards())
    if said:
        yield Fault(None, " ".join(said))
