"""The state that a block was read at, as a shop would say it: wheel sizes and stick length in mm."""

from __future__ import annotations

from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.bounds.units import Units
from gen.plan.node import State
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel

_NO_LENGTHS = ("in_progress", "parts_since_dress", "next_lane")


@dataclass(frozen=True, eq=False)
class Wear:
    """Wheel sizes, stick length, count and flag of ``state``, for the dress that it is a state of."""

    dress: Dress
    state: State

    def value(self, name: str) -> float | None:
        """A value of the state, lengths in mm; None where its register was never set."""
        raw = self.state.values.get(name)
        return None if raw is None else raw if name in _NO_LENGTHS else raw * float(self.dress.register_unit)

    def size_of(self, wheel: Wheel) -> float:
        """Diameter, or gauge for face contact, of ``wheel``, mm."""
        value = self.value(wheel.size_name)
        return float(wheel.size_range[1]) if value is None else value

    @property
    def turn(self) -> int | None:
        """Which of the dress' turns this is; None where every dress is the same."""
        return self.dress.turn(self.state)

    @property
    def stick_length(self) -> float:
        """Length of the stick, mm."""
        value = self.value("stick_length")
        return float(self.dress.stick.length) if value is None else value

    @property
    def here(self) -> str:
        """The state in words."""
        units, dress = Units(self.dress.machine.units), self.dress
        if len(dress.wheels) > 1:
            sizes = listed((units.mm(self.size_of(one)) for one in dress.wheels), "and")
            return f"with wheels of {sizes} and a stick of {units.mm(self.stick_length)}"
        lane = "" if self.turn is None else f" at lane {self.value('next_lane') or 0:g} of {len(dress.turns)}"
        size = "gauge" if dress.first.face else "wheel"
        said = f"with a {size} of {units.mm(self.size_of(dress.first))}"
        return f"{said} and a stick of {units.mm(self.stick_length)}{lane}" if dress.dresser.needs_length else said
