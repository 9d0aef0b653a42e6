"""How much room stick and wheel need where no plunge is meant."""

from __future__ import annotations

from gen.bounds.contacts import TOLERANCE
from gen.shop.dress import Dress

_MARGIN = 1.0
"""mm beside groove and stick tolerance (the project's own choice, no source)."""

STATE_MARGIN = 5.0
"""mm more where rapids go by the registers: a mistyped length or an overlooked change of wheel is rarely smaller
than what an operator sees and stops (a judgement, no source)."""


def clearance_needed(dress: Dress) -> float:
    """The least clearance or stand-off, mm: the groove in the stick's end, the stick's tolerance, and some to spare."""
    return dress.groove + float(dress.machine.dresser.stick_tolerance) + to_spare(dress)


def to_spare(dress: Dress) -> float:
    """What is to be left over beside groove and tolerance, mm."""
    by_state = dress.dresser.rapids_by_state
    return _MARGIN + (STATE_MARGIN if by_state else 0.0)


def room_when_parked(dress: Dress) -> float | None:
    """From the parked longest stick to the largest wheel, mm; below 0 it stands inside. None where nothing tells."""
    parked, earliest = dress.dresser.parked_at, dress.earliest_contact
    return None if parked is None or earliest is None else dress.dresser.sign * (earliest - float(parked))


def parks_clear(dress: Dress | None) -> bool:
    """Whether the longest stick, parked, stands clear of the largest wheel; True where nothing tells."""
    room = None if dress is None else room_when_parked(dress)
    return dress is None or room is None or room >= float(dress.machine.dresser.gap) - TOLERANCE
