"""Stroke from a stand-off: each one ends a plunge's depth further on, and no program knows the stick's length."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import ClassVar

from gen.dressers.kind import Corner, WearRange
from gen.dressers.stand_off_slide.keys import StandOffSlideKeys
from gen.dressers.stand_off_slide.strokes import dry_strokes, strokes
from gen.physics.contact import Geometry


class StandOffSlide(StandOffSlideKeys):
    """A slide that strokes by steps from the stand-off that its set-up left."""

    NAME = "an incremental dresser"
    WRITTEN = 'motion = "incremental"'
    moves_by_steps = True
    plunges: ClassVar = strokes
    held_off: ClassVar = dry_strokes

    @property
    def stands_at(self) -> Decimal | None:
        return self.parked

    @property
    def per_set_up(self) -> int:
        return self.dresses_per_set_up

    @property
    def gap(self) -> Decimal:
        return self.stand_off

    def contact(self, geometry: Geometry, size: float, length: float, stands: float | None = None) -> float | None:
        """A stand-off ahead of where the axis ``stands``, whatever wheel and stick are."""
        return None if stands is None else stands + self.sign * float(self.stand_off)

    def set_up_position(self, travel: Mapping[str, tuple[Decimal, Decimal]]) -> Decimal:
        """``parked``, or the end of its travel that is away from the wheel."""
        low, high = travel[self.plunge_axis]
        return self.parked if self.parked is not None else low if self.sign > 0 else high

    def corners(self, wear: WearRange) -> Iterator[Corner]:
        """The wheel new and worn, with the first dress after a set-up and the last one before the next."""
        worn, new = wear.sizes[0]
        stands = wear.stands or Decimal(0)
        far = stands + self.sign * wear.per_dress * (self.dresses_per_set_up - 1)
        for size in dict.fromkeys((new, worn)):
            for position in dict.fromkeys((stands, far)):
                yield Corner((size,), stands=position)
