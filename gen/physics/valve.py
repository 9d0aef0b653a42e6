"""The arithmetic of a timed feeder: a rate that a valve sets, and how long it has to be out for a depth."""

from __future__ import annotations

from decimal import Decimal

from gen.base.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Valve:
    """``rate`` in mm/min with the stick in contact, up to ``tolerance`` (a share: 0.05 is 5 %) off.

    ``air_tolerance`` is how far the speed in air may be off the same rate, ``stand_off`` the air in mm at set-up.

    ``self_adjusting``: the feeder takes up what the stick has lost, so that the
    stand-off stays as it is; else it grows with every plunge.
    """

    rate: Decimal
    tolerance: Decimal
    stand_off: Decimal
    self_adjusting: bool
    air_tolerance: Decimal = Decimal("0.2")

    @property
    def rates(self) -> tuple[Decimal, Decimal]:
        """The slowest and the fastest the valve may run, mm/min: rate · (1 ∓ tolerance)."""
        return self.rate * (1 - self.tolerance), self.rate * (1 + self.tolerance)

    def way(self, depth: Decimal, taken: Decimal) -> Decimal:
        """How far out the feeder goes, mm, for a plunge of ``depth``, ``taken`` mm of stick gone since set-up."""
        return self.stand_off + depth + (0 if self.self_adjusting else taken)

    def dwell(self, depth: Decimal, taken: Decimal) -> Decimal:
        """Seconds that :meth:`way` takes: (stand-off + t) / rate."""
        return self.way(depth, taken) / self.rate * 60

    def depths(self, depth: Decimal) -> tuple[Decimal, Decimal]:
        """Least and greatest depth in mm of a plunge meant to be ``depth``: t ∓ (tolerance · t + air · stand-off).

        The time for the stand-off is worked out with the same rate, and what the feeder is faster or slower in air it
        goes deeper or less deep. A later plunge of the same set-up is off by less: what the one before it cut too much
        or too little is where it begins.
        """
        off = self.tolerance * depth + self.in_air
        return depth - off, depth + off

    @property
    def in_air(self) -> Decimal:
        """How much further or less far than planned the feeder may be when it has crossed the stand-off, mm."""
        return self.air_tolerance * self.stand_off

    def most_taken(self, depth: Decimal, plunges: int, dresses: int) -> Decimal:
        """The most stick, mm, that ``dresses`` of ``plunges`` each may take, the valve at its fastest."""
        if self.self_adjusting:
            return self.depths(depth)[1] * plunges * dresses
        return self.depths(depth * plunges)[1]
