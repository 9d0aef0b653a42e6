"""Quantities in the units of a shop, as findings say them."""

from __future__ import annotations

from gen.base.dataclass import dataclass
from gen.base.quantities import System, show
from gen.plan.step import ROTARY


@dataclass(frozen=True)
class Units:
    """Words for lengths in mm, feeds in mm/min, removal in mm³/min and speeds in m/s, in the shop's ``system``."""

    system: System

    def mm(self, value: float) -> str:
        return show(value, "length", self.system)

    def near(self, gap: float) -> str:
        """How near to a wheel something comes, in words; below 0 it goes into it."""
        return f"comes within {self.mm(gap)} of the wheel" if gap >= 0 else f"goes {self.mm(-gap)} into the wheel"

    def feed(self, value: float) -> str:
        return show(value, "feed", self.system)

    def removal(self, value: float) -> str:
        return show(value, "removal", self.system)

    def speed(self, value: float) -> str:
        return show(value, "peripheral", self.system)

    def place(self, axis: str, value: float | None) -> str:
        """A position of ``axis``: degrees where it turns, else a length; None where nobody knows."""
        if value is None:
            return "an unknown position"
        return show(value, "angle") if axis in ROTARY else self.mm(value)


def times_told(count: int) -> str:
    """How often, in words."""
    return {0: "never", 1: "once", 2: "twice"}.get(count, f"{count} times")
