"""After the last plunge the stick is at least ``min_stick`` long, and the jaw keeps its clearance."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal

from gen.base.finding import Change, Fault
from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule


@rule("stick-length")
def check(case: Case) -> Iterator[Fault]:
    yield from _new_stick(case)
    contacts, least = case.contacts, float(case.known.shortest_left)
    if not contacts.plunges:
        return
    last = contacts.plunges[-1]
    left = case.stick_length - contacts.cut[case.block.stop - 1]
    if left < least - TOLERANCE:
        yield Fault(
            last.last_line,
            f"{case.mm(left)} of the stick would be left; {_least(case)} ({case.here}).",
            tuple(_changes(case, Decimal(repr(least - left)))),
            amount=least - left,
        )


def _new_stick(case: Case) -> Iterator[Fault]:
    dress = case.known
    length, taken, least = dress.stick.length, dress.stick_per_dress, dress.shortest_left
    left = length - taken
    if left < least:
        yield Fault(
            None,
            f"a new stick of {case.mm(float(length))} less {case.mm(float(taken))} a dress leaves "
            f"{case.mm(float(left))}; {_least(case)}.",
            tuple(_changes(case, least - left)),
        )
        return
    dresses = dress.machine.dresser.dresses_per_set_up
    if dress.timed:
        yield from _set_up(case)
        return
    possible = int((length - least) / taken)
    if dress.incremental and dresses is not None and dresses > possible:
        yield Fault(
            None,
            f"{dresses} dresses between two set-ups take {case.mm(float(taken * dresses))} of stick; a new one of "
            f"{case.mm(float(length))} lasts for {possible}, and the slide cannot tell.",
            (
                *changes.set_ups(possible),
                *changes.plunge(dress, dress.settings.plunge * (length - least) / (taken * dresses)),
            ),
        )


def _set_up(case: Case) -> Iterator[Fault]:
    """A new stick lasts for the dresses of one set-up of a timed feeder, whose valve may run fast."""
    dress = case.known
    taken, possible = dress.stick_per_set_up, dress.stick.length - dress.shortest_left
    if taken <= possible:
        return
    dresses = dress.machine.dresser.dresses_per_set_up or 1
    said = f"{dresses} dresses between two set-ups take" if dresses > 1 else "a dress takes"
    yield Fault(
        None,
        f"with the valve at its fast end {said} up to {case.mm(float(taken))} of stick; a new one has "
        f"{case.mm(float(possible))} to give.",
        (
            *(changes.set_ups(int(dresses * possible / taken)) if dresses > 1 else ()),
            *changes.plunges(dress, math.floor(dress.settings.plunges * possible / taken)),
            *changes.new_stick(dress, dress.shortest_left + taken, "up"),
        ),
    )


def _least(case: Case) -> str:
    dresser = case.known.machine.dresser
    least = case.mm(float(case.known.shortest_left))
    if case.known.shortest_left > dresser.min_stick:
        return f"{'jaw' if dresser.holder is None else 'holder'} and clearance need {least}"
    return f"min_stick is {least}"


def _changes(case: Case, missing: Decimal) -> Iterator[Change]:
    dress, settings = case.known, case.known.settings
    cuts = dress.first.lanes.cuts_per_pass
    per_plunge = settings.plunge * cuts
    yield from changes.plunges(dress, settings.plunges - math.ceil(missing / per_plunge))
    yield from changes.plunge(dress, settings.plunge - missing / (settings.plunges * cuts))
    yield from changes.new_stick(dress, dress.shortest_left + dress.stick_per_dress, "up")
