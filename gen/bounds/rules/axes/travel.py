"""Every position lies within the travel of its axis, at every state.

Why: At the end of its travel an axis stops with an alarm, possibly with the stick in the wheel.
Example: With the last stick U would go to 192 mm, and its travel ends at 190 mm.
Helps: A smaller plunge, fewer plunges, a longer min_stick, or a wheel that is put away sooner.
"""

import math
from collections.abc import Iterator
from decimal import Decimal
from functools import partial

from gen.bounds import changes
from gen.bounds.kit import (
    MOVING,
    TOLERANCE,
    Change,
    Dress,
    DressBlock,
    Found,
    Machine,
    Measure,
    Side,
    Units,
    Wear,
    bound,
)
from gen.plan.step import ROTARY

_SIDES: tuple[Side, ...] = ("least", "most")


@bound("axis-travel", intents=MOVING)
def check(block: DressBlock, machine: Machine, wear: Wear | None, units: Units) -> Found:
    way, sign, stage = machine.dresser.way, machine.dresser.sign, "" if wear is None else _stage(wear)
    ends = {letter: (float(axis.travel[0]), float(axis.travel[1])) for letter, axis in machine.axes.items()}
    seen: set[tuple[str, float]] = set()
    for letter, place, line in _places(block, machine, wear):
        if letter not in ends or (letter, place) in seen:
            continue
        low, high = ends[letter]
        if low <= place <= high:
            seen.add((letter, place))  # most moves of a dress go where one went before
        for side in _SIDES:
            limit = low if side == "least" else high
            forward = (side == "most") == (sign > 0)
            quantity = "position" if letter != way else "forward" if forward else "back"
            yield Measure(
                quantity,
                place,
                limit,
                side,
                "angle" if letter in ROTARY else "length",
                of=letter,
                stage=stage if quantity == "forward" else "",
                slack=TOLERANCE / 2,
                whole=high - low,
                line=line,
                said=partial(_said, units, wear, letter, place, limit),
                helps=tuple if wear is None else partial(_helps, wear.dress, letter, place, limit),
            )


def _places(block: DressBlock, machine: Machine, wear: Wear | None) -> Iterator[tuple[str, float, int | None]]:
    """Every place of an axis, and the line that moves it there; None where it stands before the dress."""
    if wear is not None:
        for letter, place in wear.state.positions.items():
            yield letter, place, None
    for _, move in block.moves:
        if wear is None and not machine.dresser.in_its_frame(move):
            continue  # where a work offset puts it is not known
        for letter in move.axes:
            if letter in move.to:
                for place in (move.span or {}).get(letter, (move.to[letter],)):
                    yield letter, place, move.line


def _said(units: Units, wear: Wear | None, letter: str, place: float, end: float) -> str:
    where = "" if wear is None else f" ({wear.here})"
    return (
        f"axis {letter} would go to {units.place(letter, place)}, and its travel ends at "
        f"{units.place(letter, end)}{where}."
    )


def _stage(wear: Wear) -> str:
    """The end of a stick, or of a set-up, that the state is at; empty between the ends."""
    dress, dresser, ends = wear.dress, wear.dress.dresser, dict[str, float]()
    first = dress.first_position
    stands: float | None = None
    if first is not None and dresser.per_set_up is not None:
        stands = wear.state.positions.get(dresser.way)
        far = float(first) + dresser.sign * float(dress.stick_per_dress) * (dresser.per_set_up - 1)
        ends = {"first dress": float(first), "last dress": far}
    elif dresser.needs_length:
        stands = wear.stick_length
        low, high = dress.length_range
        ends = {"full stick": float(high), "last stick": float(low)}
    near = (name for name, end in ends.items() if stands is not None and abs(stands - end) < TOLERANCE)
    return next(near, "")


def _helps(dress: Dress, letter: str, place: float, end: float) -> Iterator[Change]:
    dresser, settings, wheel = dress.dresser, dress.settings, dress.first
    if letter != dresser.way:
        return
    low, high = (float(limit) for limit in dress.machine.axes[letter].travel)
    toward = (end == high) == (dresser.sign > 0)
    excess = Decimal(repr(abs(place - end)))
    if not toward:
        if dresser.stands_at is not None and not low <= float(dresser.stands_at) <= high:
            side: changes.RoundTo = "up" if end == low else "down"
            yield from changes.machine_length(dress.machine.units, "dresser.parked", end, side)
        return
    per_dress = settings.plunges * wheel.lanes.cuts_per_pass
    dresses = dresser.per_set_up
    if dresses is not None:
        yield from changes.plunge(dress, settings.plunge - excess / (per_dress * dresses))
        yield from changes.set_ups(dresses - math.ceil(excess / dress.stick_per_dress))
        return
    yield from changes.plunge(dress, settings.plunge - excess / per_dress)
    per_pass = settings.plunge * wheel.lanes.cuts_per_pass
    yield from changes.fewer_plunges(dress, settings.plunges - math.ceil(excess / per_pass))
    yield from changes.min_stick(dress, dress.shortest_left + excess)
    growth = excess if wheel.face else excess / Decimal(repr(wheel.geometry.radius_share))
    yield from changes.worn_wheel(wheel, wheel.size_range[0] + growth)
