"""Slide from a datum: contact is worked out from wheel and stick, so that the program needs the stick's length."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import ClassVar

from gen.dressers.datum_slide.gap_check import to_the_gap
from gen.dressers.datum_slide.held_off import dry_plunges
from gen.dressers.datum_slide.keys import DatumSlideKeys
from gen.dressers.datum_slide.plunges import park, plunge_nodes
from gen.dressers.kind import Corner, WearRange
from gen.dressers.task import Task
from gen.physics.contact import Geometry, reach
from gen.plan.node import Node, Remark


class DatumSlide(DatumSlideKeys):
    """A slide or a table that plunges from a measured datum."""

    NAME = "a dresser with a datum"
    WRITTEN = 'motion = "absolute"'
    needs_length = True
    plunges: ClassVar = plunge_nodes
    held_off: ClassVar = dry_plunges
    gap_check: ClassVar = to_the_gap

    @property
    def vouched(self) -> bool:
        return self.machine_frame_feeds or self.offset is not None

    @property
    def datum_position(self) -> Decimal:
        return self.datum

    @property
    def parked_at(self) -> Decimal:
        return self.parked

    def approach_limit(self, axis_feed: Decimal | None) -> Decimal | None:
        if self.rapids_by_state:
            return None
        limits = (self.feed[1], axis_feed, self.approach_feed)
        return min(limit for limit in limits if limit is not None)

    @property
    def stated_approach(self) -> Decimal | None:
        return self.approach_feed

    @property
    def rapids_by_state(self) -> bool:
        return self.approach == "state"

    @property
    def keeps_lanes(self) -> bool:
        # a rapid that trusts the registers would meet the lanes that a forgotten count leaves standing
        return not self.rapids_by_state

    @property
    def gap(self) -> Decimal:
        return self.clearance

    def contact(self, geometry: Geometry, size: float, length: float, stands: float | None = None) -> float:
        """contact = datum − s · reach, whatever ``stands`` is."""
        return float(self.datum) - self.sign * reach(geometry, length, size)

    def corners(self, wear: WearRange) -> Iterator[Corner]:
        """Wheels new, worn and between, with the full stick, the last one and one between."""
        low, high = wear.lengths
        for sizes in dict.fromkeys(_worn(wear.sizes)):
            for length in dict.fromkeys((high, low, (high + low) / 2)):
                if low <= high:
                    yield Corner(sizes, length)

    def begin(self, task: Task) -> Iterator[Node]:
        yield Remark("plunge axis parks first")
        yield park(self, task)

    @property
    def measured_gap(self) -> Decimal:
        return self.check_gap

    def gap_check_feed(self, axis_feed: Decimal | None) -> Decimal:
        limits = (max(self.check_feed, self.feed[0]), self.feed[1], axis_feed)
        return min(limit for limit in limits if limit is not None)


def _worn(ranges: tuple[tuple[Decimal, Decimal], ...]) -> Iterator[tuple[Decimal, ...]]:
    """Sizes to look at: all new, all worn, all between; in a pack also each wheel alone worn, and alone new."""
    news, worns = tuple(new for _, new in ranges), tuple(worn for worn, _ in ranges)
    yield news
    yield worns
    yield tuple((new + worn) / 2 for worn, new in ranges)
    for place in range(len(ranges) if len(ranges) > 1 else 0):
        yield (*news[:place], worns[place], *news[place + 1 :])
        yield (*worns[:place], news[place], *worns[place + 1 :])
