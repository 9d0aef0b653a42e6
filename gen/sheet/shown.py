"""Numbers as the shop reads them: in its own units, and no finer than it measures."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from gen.quantities import System, plain, show
from gen.steps import ROTARY

Value: TypeAlias = Decimal | float


@dataclass(frozen=True, slots=True)
class Shown:
    """Text of values in the unit of ``system``; lengths come in mm, feeds in mm/min, wheel speeds in m/s."""

    system: System

    def length(self, value: Value) -> str:
        return show(value, "length", self.system)

    def feed(self, value: Value) -> str:
        return show(value, "feed", self.system)

    def feed_per_second(self, value: Value) -> str:
        """A feed in mm/s or in/s."""
        return show(float(value) / 60, "feed", self.system).replace("/min", "/s")

    def removal(self, value: Value) -> str:
        return show(value, "removal", self.system)

    def speed(self, value: Value) -> str:
        return show(value, "peripheral", self.system)

    def place(self, axis: str, value: Value) -> str:
        """A position of ``axis``, or a distance along it."""
        return show(value, "angle") if axis in ROTARY else self.length(value)

    def rpm(self, value: Value) -> str:
        return show(value, "rotation")

    def seconds(self, value: Value) -> str:
        return show(value, "time", places=1)

    @staticmethod
    def number(value: Value, places: int = 6) -> str:
        """A number without a unit and without zeros at its end."""
        return plain(value, places, strip=True)


def span(low: str, high: str) -> str:
    """A range of two texts with a unit each, the unit written once; one text where they are the same."""
    if low == high:
        return low
    number, _, unit = low.partition(" ")
    return f"{number if high.endswith(f' {unit}') else low} – {high}"
