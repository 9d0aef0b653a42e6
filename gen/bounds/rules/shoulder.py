"""No wheel meets a shoulder in the stick's end, and no slot is deeper than rim and walls allow."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Change, Fault
from gen.bounds import changes
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.shop.dress import Dress


@rule("shoulder")
def check(case: Case) -> Iterator[Fault]:
    dress = case.known
    met = sorted({visit.bite.wheel for visit in dress.shoulders})
    if met:
        yield Fault(
            None,
            f"{_wheels(met)} would meet a shoulder that the others leave in the stick's end; each wheel needs a lane "
            "of its own there, or all of them every lane.",
            tuple(_elsewhere(dress, met)),
            amount=1e9,
        )
    elif dress.walls:
        yield from _slot(case)


def _slot(case: Case) -> Iterator[Fault]:
    """The depth of a slot that one lane leaves, over the life of a stick and in this dress."""
    dress = case.known
    wall = min(dress.walls)
    limits = {2 * wall: f"twice the wall of {case.mm(wall)} beside it"}
    if dress.incremental:
        # it goes back by its stand-off only, and from inside the slot the wheel cannot go sideways
        limits[case.gap] = "the stand-off that draws the wheel out of it"
    rims = [float(wheel.rim_depth) for wheel in dress.recipe.wheels if wheel.rim_depth is not None]
    if rims:
        limits[min(rims)] = "the depth of the rim"
    most = min(limits)
    whole = float(dress.stick.length - dress.shortest_left)
    if whole > most + TOLERANCE:
        yield Fault(
            None,
            f"one lane cuts a slot that grows to {case.mm(whole)} over the life of a stick; {limits[most]}, "
            f"{case.mm(most)}, is the most.",
            tuple(_everywhere(dress)),
        )
    if case.contacts.plunges:
        slot = float(dress.stick.length) - case.stick_length + case.contacts.cut[case.block.stop - 1]
        if slot > most + TOLERANCE:
            yield Fault(
                case.contacts.plunges[-1].last_line,
                f"the slot in the stick becomes {case.mm(slot)} deep; {limits[most]}, {case.mm(most)}, is the most "
                f"({case.here}).",
                tuple(_everywhere(dress)),
                amount=slot,
            )


def _wheels(numbers: list[int]) -> str:
    return f"wheel{'s' if len(numbers) > 1 else ''} {listed((str(number + 1) for number in numbers), 'and')}"


def _everywhere(dress: Dress) -> Iterator[Change]:
    """Every lane visited by the wheel, so that no slot is left."""
    for wheel in dress.wheels:
        if wheel.settings.lanes == "one":
            yield Change("recipe", wheel.key("dress.lanes"), "all", 'With lanes = "all" it fits.')


def _elsewhere(dress: Dress, met: list[int]) -> Iterator[Change]:
    """A lane that no other wheel uses, for a wheel that has one lane; else every lane."""
    for number in met:
        wheel = dress.wheels[number]
        if wheel.settings.lanes == "one":
            yield from changes.free_lane(dress, wheel)
    yield from _everywhere(dress)
