"""No rapid goes beyond the envelope, and the clearance there is enough for groove and tolerance."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.base.finding import Fault
from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.shop.dress import Dress

MARGIN = 1.0
"""mm beside groove and stick tolerance (the project's own choice, no source)."""

STATE_MARGIN = 5.0
"""mm more where rapids go by the registers: a mistyped length or an overlooked change of wheel is rarely smaller
than what an operator sees and stops (a judgement, no source)."""


def clearance_needed(dress: Dress) -> float:
    """The least clearance or stand-off, mm: the groove in the stick's end, the stick's tolerance, and some to spare."""
    return dress.groove + float(dress.machine.dresser.stick_tolerance) + _to_spare(dress)


def _to_spare(dress: Dress) -> float:
    by_state = dress.machine.dresser.approach == "state" and not dress.incremental
    return MARGIN + (STATE_MARGIN if by_state else 0.0)


@rule("rapid-clearance", always=True, intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    yield from _clearance(case)
    if not case.parks_clear:
        yield _parked(case)
        return
    if not case.accepted:
        return
    dresser, axis = case.known.machine.dresser, case.plunge_axis
    for index, move in case.moves:
        if move.op != "rapid" or axis not in move.axes:
            continue
        advance = case.contacts.advance(index, dresser.sign)
        if advance is not None and advance <= 0:
            continue
        room = _room(case, index)
        if room is not None and room < -TOLERANCE:
            gap = case.contacts.gaps[index]
            reach = f"{case.mm(-gap)} into the wheel" if gap is not None and gap < 0 else "beyond where rapids must end"
            where = case.contacts.positions[index] or 0.0
            nearest = case.mm(where + dresser.sign * room)
            yield Fault(
                move.line,
                f"a rapid takes {axis} to {case.mm(where)}, {reach}; it may go no nearer than {nearest} ({case.here}).",
                amount=-room,
            )


def _room(case: Case, index: int) -> float | None:
    """How much further the rapid of step ``index`` might have gone, mm; below 0 it went too far."""
    dress, place, gap = case.known, case.contacts.positions[index], case.contacts.gaps[index]
    if dress.incremental or dress.machine.dresser.approach == "state":
        return None if gap is None else gap - case.gap
    if place is None:
        return None
    return dress.machine.dresser.sign * (dress.earliest_contact - place) - case.gap


def _parked(case: Case) -> Fault:
    dress = case.known
    dresser = dress.machine.dresser
    assert dresser.parked is not None
    away = dresser.sign * (dress.earliest_contact - float(dresser.parked))
    excess = case.gap - away
    said = f"{case.mm(away)} from" if away >= 0 else f"{case.mm(-away)} inside"
    return Fault(
        None,
        f"parked at {case.plunge_axis} {case.mm(float(dresser.parked))}, a new stick of "
        f"{case.mm(float(dress.stick.length))} stands {said} a new wheel; {case.mm(case.gap)} is wanted.",
        (
            *changes.new_stick(dress, dress.stick.length - Decimal(repr(excess)), "down"),
            *changes.machine_length(
                dress.machine.units,
                "dresser.parked",
                float(dresser.parked) - dresser.sign * excess,
                "down" if dresser.sign > 0 else "up",
            ),
        ),
    )


def _clearance(case: Case) -> Iterator[Fault]:
    dress = case.known
    tolerance = float(dress.machine.dresser.stick_tolerance)
    least = clearance_needed(dress)
    name = "stand_off" if dress.incremental else "clearance"
    if case.gap < least - TOLERANCE:
        parts = f"a groove of {case.mm(dress.groove)} in the stick's end" if dress.groove else "the stick"
        more = case.mm(_to_spare(dress))
        yield Fault(
            None,
            f"a {name} of {case.mm(case.gap)} is not enough for {parts}, a stick tolerance of {case.mm(tolerance)} "
            f"and {more} to spare; {case.mm(least)} is.",
            tuple(changes.machine_length(dress.machine.units, f"dresser.{name}", least, "up")),
        )
