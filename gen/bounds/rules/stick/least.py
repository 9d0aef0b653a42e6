"""What has to be left of a stick, in words, and what makes more of it."""

import math
from collections.abc import Iterator
from decimal import Decimal

from gen.bounds import changes
from gen.bounds.kit import Change, Dress, Units


def least_said(dress: Dress, units: Units) -> str:
    """What asks for the least length, and how long that is."""
    dresser = dress.dresser
    least = units.mm(float(dress.shortest_left))
    if dress.shortest_left > dresser.min_stick:
        return f"{'jaw' if dresser.holder is None else 'holder'} and clearance need {least}"
    return f"min_stick is {least}"


def longer_left(dress: Dress, missing: Decimal) -> Iterator[Change]:
    """Changes that leave ``missing`` mm more of the stick."""
    settings, cuts = dress.settings, dress.first.lanes.cuts_per_pass
    per_plunge = settings.plunge * cuts
    yield from changes.fewer_plunges(dress, settings.plunges - math.ceil(missing / per_plunge))
    yield from changes.plunge(dress, settings.plunge - missing / (settings.plunges * cuts))
    yield from changes.new_stick(dress, dress.shortest_left + dress.stick_per_dress, "up")
