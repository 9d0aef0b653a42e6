"""The steps in which a program's numbers can be written, and rounding onto them.

Rounding belongs to the plan: what reaches a template is already a multiple of
the step, and writing it down changes nothing.
"""

from __future__ import annotations

from decimal import Decimal

from gen.base.dataclass import dataclass
from gen.plan.expression import Num, Rounding, to_grid

INCH = Decimal("25.4")


@dataclass(frozen=True, slots=True)
class Grid:
    """The smallest steps of length, feed, angle and dwell in a program's own units, and the digits of a constant."""

    mm_per_unit: Decimal
    length: Decimal
    feed: Decimal
    angle: Decimal
    digits: int
    dwell: Decimal = Decimal("0.01")

    def mm(self, value: Decimal, how: Rounding = "round") -> Num:
        """``value`` mm as a length of the program."""
        return Num(to_grid(how, value / self.mm_per_unit, self.length))

    def mm_min(self, value: Decimal, how: Rounding = "round") -> Num:
        """``value`` mm/min as a feed of the program."""
        return Num(to_grid(how, value / self.mm_per_unit, self.feed))

    def degrees(self, value: Decimal) -> Num:
        return Num(to_grid("round", value, self.angle))

    def seconds(self, value: Decimal, how: Rounding = "ceil") -> Decimal:
        """``value`` s as the program can wait: no less, unless ``how`` says otherwise."""
        return to_grid(how, value, self.dwell)
