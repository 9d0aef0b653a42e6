"""A fourth kind for the tests: a slide on a screw that has no rapid toward the wheel and creeps all the way in."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import ClassVar

from creep_slide.keys import CreepSlideKeys
from creep_slide.motion import creeps, creeps_held_off
from gen.dressers.kind import Corner, WearRange
from gen.dressers.task import Task
from gen.physics.contact import Geometry, reach
from gen.physics.lanes import Lanes
from gen.plan.node import Node, Remark, Travel


class CreepSlide(CreepSlideKeys):
    NAME = "a creeping slide"
    WRITTEN = 'kind = "creep"'
    needs_length = True
    plunges: ClassVar = creeps
    held_off: ClassVar = creeps_held_off

    @property
    def datum_position(self) -> Decimal:
        return self.datum

    @property
    def parked_at(self) -> Decimal:
        return self.parked

    @property
    def gap(self) -> Decimal:
        return self.clearance

    def approach_limit(self, axis_feed: Decimal | None) -> Decimal:
        return self.creep_feed if axis_feed is None else min(self.creep_feed, axis_feed)

    def contact(self, geometry: Geometry, size: float, length: float, stands: float | None = None) -> float:
        return float(self.datum) - self.sign * reach(geometry, length, size)

    def corners(self, wear: WearRange) -> Iterator[Corner]:
        worn, new = wear.sizes[0]
        for size in dict.fromkeys((new, worn)):
            for length in dict.fromkeys(reversed(wear.lengths)):
                yield Corner((size,), length)

    def refusals(self, lanes: Lanes, *, one_lane: bool) -> Iterator[str]:
        if len(lanes.offsets) > 1:
            yield "a creeping slide goes to one place only; use a stick as wide as the wheel."

    def begin(self, task: Task) -> Iterator[Node]:
        yield Remark("plunge axis parks first")
        yield Travel(self.plunge_axis, task.grid.mm(self.parked))
