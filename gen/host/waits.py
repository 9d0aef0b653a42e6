"""Whether the spindle turns as the dress wants it whenever the program comes to the place, and was waited for."""

from __future__ import annotations

import math

from gen.host.point import HostPoint
from gen.host.routes import Routes, Spot
from gen.host.statements import EVERYTHING, statements
from gen.host.words import sorted_words, written_number
from gen.reader.dwells import dwell_seconds
from gen.reader.program import Block, Columns, PlainLines
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
    """Whether the spindle turns at the place as ``wheel`` is dressed; a speed that hangs on its size never does."""
    stated = wheel.settings.speed
    same = stated is not None and point.here.get("speed") == f"{math.floor(stated)}"
    return same and point.here.get("spindle", "off") == dress.machine.spindle.direction


def least_waited(routes: Routes, enough: float) -> float:
    """The least time in s, on any way to the place, of dwells behind the last stop or line that acts on the spindle.

    What is longer than ``enough`` is told as that. Dwells alone count: how long a move takes hangs on the override. A
    way that comes from the place itself has waited, since the dress leaves the spindle as it was.
    """
    least = enough
    looked = dict.fromkeys(routes.places, 0.0)
    waiting = list(routes.places)
    while waiting:
        spot = waiting.pop()
        if spot == routes.start:
            least = min(least, looked[spot])
        for earlier in routes.before.get(spot, ()):
            if earlier[0] == routes.place:
                continue
            seconds, told = _through(routes, earlier, looked[spot])
            if told:
                least = min(least, seconds)
            elif seconds < min(least, looked.get(earlier, enough)):
                looked[earlier] = seconds
                waiting.append(earlier)
    return least


def _through(routes: Routes, spot: Spot, seconds: float) -> tuple[float, bool]:
    """What has been waited, read backwards through the piece at ``spot``; and whether a line there ends the search."""
    for at in reversed(routes.piece(spot)):
        if isinstance(routes.lowered.code[at], (PlainLines, Columns)) and at not in routes.gaps:
            continue
        if any(group in _OF_THE_SPINDLE for group, _ in statements(routes.lowered, at, routes.gaps)):
            return seconds, True
        if _stops(routes, at):
            return seconds, True
        seconds += _dwelt(routes, at)
    return seconds, False


def _stops(routes: Routes, at: int) -> bool:
    """Whether the program may stop at instruction number ``at``, and somebody open the guard, which stops the wheel."""
    item, control = routes.lowered.code[at], routes.lowered.control
    found = sorted_words(item, control) if isinstance(item, Block) else None
    return found is not None and bool(found.endings)


def _dwelt(routes: Routes, at: int) -> float:
    """The time of the dwell in instruction number ``at``; 0 where there is none, or nobody knows how long it is."""
    item, control = routes.lowered.code[at], routes.lowered.control
    found = sorted_words(item, control) if isinstance(item, Block) else None
    if found is None or "dwell" not in found.once:
        return 0.0
    letter = next((one for one in control.dwell.units if one in found.words), "")
    value = written_number(found.words.get(letter))
    if value is None:
        return 0.0
    return dwell_seconds(letter, value, control, pointless=letter in found.pointless) or 0.0
