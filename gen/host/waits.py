"""Whether the spindle turns as the dress wants it whenever the program comes to the place, and was waited for."""

from __future__ import annotations

import math
from heapq import heappop, heappush

from gen.control.model import Control
from gen.host.point import HostPoint
from gen.host.routes import Routes, Spot
from gen.host.statements import EVERYTHING, statements
from gen.host.words import sorted_words, written_number
from gen.reader.dwells import dwell_seconds
from gen.reader.program import Block, PlainRow
from gen.reader.sorting import Sorted
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel

_OF_THE_SPINDLE = frozenset(("spindle", "speed", EVERYTHING))


def is_at_speed(point: HostPoint, dress: Dress) -> bool:
    """Whether the first wheel of ``dress`` turns as it is to be dressed at every passage, and the program waited."""
    if point.several("speed") or point.several("spindle") or not turns_as(point, dress, dress.first):
        return False
    enough = float(dress.machine.spindle.spin_up)
    return least_waited(point.routes, enough) >= enough


def turns_as(point: HostPoint, dress: Dress, wheel: Wheel) -> bool:
    """Whether the spindle turns at the place as ``wheel`` is dressed; a speed that depends on its size never does."""
    stated = wheel.settings.speed
    same = stated is not None and point.here.get("speed") == f"{math.floor(stated)}"
    return same and point.here.get("spindle", "off") == dress.machine.spindle.direction


def least_waited(routes: Routes, enough: float) -> float:
    """The least time in s, on any way to the place, of dwells behind the last stop or line that acts on the spindle.

    What is longer than ``enough`` is told as that. Dwells alone count: how long a move takes depends on the override. A
    way that comes from the place itself has waited, since the dress leaves the spindle as it was.
    """
    looked: set[Spot] = set()
    waiting = [(0.0, spot) for spot in routes.places]
    while waiting:
        # the shortest wait first, so that each spot is looked at once
        seconds, spot = heappop(waiting)
        if spot == routes.start:
            return min(seconds, enough)
        if seconds >= enough or spot in looked:
            continue
        looked.add(spot)
        for earlier in routes.before.get(spot, ()):
            if earlier[0] != routes.place:
                more, ends = _waited(routes, earlier)
                heappush(waiting, (seconds + more, routes.start if ends else earlier))
    return enough


def _waited(routes: Routes, spot: Spot) -> tuple[float, bool]:
    """The dwells in the piece at ``spot``, in s, and whether only those behind a line there count.

    Behind a line that acts on the spindle, or at which the program may stop and somebody open the guard.
    """
    control, seconds = routes.lowered.control, 0.0
    for at in reversed(routes.piece(spot)):
        item = routes.lowered.code[at]
        if isinstance(item, PlainRow) and at not in routes.gaps:
            continue
        found = sorted_words(item, control) if isinstance(item, Block) else None
        if any(group in _OF_THE_SPINDLE for group, _ in statements(routes, at)) or (found and found.endings):
            return seconds, True
        if found is not None and "dwell" in found.once:
            seconds += _dwelt(found, control)
    return seconds, False


def _dwelt(found: Sorted, control: Control) -> float:
    """The time of the dwell in a line, in s; 0 where nobody knows how long it is."""
    letter = next((one for one in control.dwell.units if one in found.words), "")
    value = written_number(found.words.get(letter))
    if value is None:
        return 0.0
    return dwell_seconds(letter, value, control, pointless=letter in found.pointless) or 0.0
