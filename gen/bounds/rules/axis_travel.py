"""Every position lies within the travel of its axis, at every state."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal

from gen.base.finding import Change, Fault
from gen.base.quantities import show
from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.plan.step import ROTARY
from gen.shop.dress import Dress


@rule("axis-travel", needs=("machine",), intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    axes, own = case.machine.axes, case.machine.dresser.offset
    where = "" if case.dress is None else f" ({case.here})"
    for _, move in case.moves:
        if case.dress is None and move.frame not in ("machine", "" if own is None else own.word):
            continue  # where a work offset puts it is not known
        for letter in move.axes:
            if letter not in axes or letter not in move.to:
                continue
            low, high = (float(end) for end in axes[letter].travel)
            for place in (move.span or {}).get(letter, (move.to[letter],)):
                beyond = max(low - place, place - high)
                if beyond > TOLERANCE / 2:
                    end = low if place < low else high
                    yield Fault(
                        move.line,
                        f"axis {letter} would go to {_at(case, letter, place)}, and its travel ends at "
                        f"{_at(case, letter, end)}{where}.",
                        tuple(_changes(case.dress, letter, beyond, end)),
                        amount=beyond,
                    )


def _at(case: Case, letter: str, place: float) -> str:
    return show(place, "angle") if letter in ROTARY else case.mm(place)


def _changes(dress: Dress | None, letter: str, beyond: float, end: float) -> Iterator[Change]:
    if dress is None:
        return
    dresser, settings, wheel = dress.machine.dresser, dress.settings, dress.first
    if letter != dresser.plunge_axis:
        return
    low, high = (float(limit) for limit in dress.machine.axes[letter].travel)
    toward = (end == high) == (dresser.sign > 0)
    excess = Decimal(repr(beyond))
    if not toward:
        if dresser.parked is not None and not low <= float(dresser.parked) <= high:
            side: changes.Side = "up" if end == low else "down"
            yield from changes.machine_length(dress.machine.units, "dresser.parked", end, side)
        return
    per_dress = settings.plunges * wheel.lanes.cuts_per_pass
    if dress.incremental:
        dresses = dresser.dresses_per_set_up or 1
        yield from changes.plunge(dress, settings.plunge - excess / (per_dress * dresses))
        yield from changes.set_ups(dresses - math.ceil(excess / dress.stick_per_dress))
        return
    yield from changes.plunge(dress, settings.plunge - excess / per_dress)
    per_pass = settings.plunge * wheel.lanes.cuts_per_pass
    yield from changes.plunges(dress, settings.plunges - math.ceil(excess / per_pass))
    yield from changes.min_stick(dress, dress.shortest_left + excess)
    growth = excess if wheel.face else excess / Decimal(repr(wheel.geometry.radius_share))
    yield from changes.worn_wheel(wheel, wheel.size_range[0] + growth)
