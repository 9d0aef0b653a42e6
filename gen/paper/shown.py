"""Numbers as the shop reads them: in its own units, and no finer than it measures."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from gen.base.quantities import Dimension, System, plain, show
from gen.plan.step import ROTARY

Value: TypeAlias = Decimal | float


@dataclass(frozen=True, slots=True)
class Shown:
    """Text of values in the unit of ``system``; lengths come in mm, feeds in mm/min, wheel speeds in m/s.

    ``decimal`` is what stands before the decimals.
    """

    system: System
    decimal: str = "."

    def length(self, value: Value) -> str:
        return self._show(value, "length")

    def feed(self, value: Value) -> str:
        return self._show(value, "feed")

    def feed_per_second(self, value: Value) -> str:
        """A feed in mm/s or in/s."""
        return self._show(float(value) / 60, "feed").replace("/min", "/s")

    def removal(self, value: Value) -> str:
        return self._show(value, "removal")

    def speed(self, value: Value) -> str:
        """A wheel speed; in feet a minute as the trade says it."""
        return self._show(value, "peripheral").replace("ft/min", "sfpm")

    def place(self, axis: str, value: Value) -> str:
        """A position of ``axis``, or a distance along it."""
        return self._show(value, "angle") if axis in ROTARY else self.length(value)

    def rpm(self, value: Value) -> str:
        return self._show(value, "rotation")

    def seconds(self, value: Value) -> str:
        return self._show(value, "time", places=1)

    def number(self, value: Value, places: int = 6) -> str:
        """A number without a unit and without zeros at its end."""
        return self.marked(plain(value, places, strip=True))

    def marked(self, text: str) -> str:
        """A number that is text already, with this ``decimal``."""
        return text.replace(".", self.decimal)

    def _show(self, value: Value, dimension: Dimension, places: int | None = None) -> str:
        return self.marked(show(value, dimension, self.system, places))


def span(low: str, high: str) -> str:
    """A range of two texts with a unit each, the unit written once; one text where they are the same."""
    if low == high:
        return low
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} – {high}"
