"""The slot that one lane leaves in a wide stick is no deeper than rim and wall allow."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.finding import Change, Fault
from gen.bounds.registry import rule
from gen.lanes import slot_wall


@rule("shoulder")
def check(case: Case) -> Iterator[Fault]:
    facts = case.known
    if facts.dress.lanes != "one" or not facts.lanes.stick_is_wider:
        return
    wall = slot_wall(facts.geometry)
    limits = {2 * wall: f"twice the wall of {case.mm(wall)} beside it"}
    if facts.wheel.rim_depth is not None:
        limits[float(facts.wheel.rim_depth)] = "the depth of the rim"
    most = min(limits)
    whole = float(facts.stick.length - facts.shortest_left)
    if whole > most + TOLERANCE:
        yield Fault(
            None,
            f"one lane cuts a slot that grows to {case.mm(whole)} over the life of a stick; {limits[most]}, "
            f"{case.mm(most)}, is the most.",
            (Change("recipe", "dress.lanes", "all", 'With lanes = "all" it fits.'),),
        )
    if case.contacts.plunges:
        slot = float(facts.stick.length) - case.stick_length + case.contacts.cut[case.block.stop - 1]
        if slot > most + TOLERANCE:
            yield Fault(
                case.contacts.plunges[-1].last_line,
                f"the slot in the stick becomes {case.mm(slot)} deep; {limits[most]}, {case.mm(most)}, is the most "
                f"({case.here}).",
                (Change("recipe", "dress.lanes", "all", 'With lanes = "all" it fits.'),),
                amount=slot,
            )
