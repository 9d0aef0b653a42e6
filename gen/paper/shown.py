"""Numbers as the shop reads them: in its own units, and no finer than it measures."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TypeAlias

from gen.base.dataclass import dataclass
from gen.base.languages import language as known
from gen.base.quantities import Dimension, System, plain, show, unit
from gen.plan.step import ROTARY

Shownable: TypeAlias = Decimal | float

_WRITTEN = {" deg": "°", "in3/min": "in³/min", "mm3/min": "mm³/min", "ft/min": "sfpm"}
"""Units that people write otherwise; that of a rotation is a language's."""


@dataclass(frozen=True, slots=True)
class Shown:
    """Text of values in the unit of ``system`` as the language of that name writes numbers.

    Lengths come in mm, feeds in mm/min, wheel speeds in m/s.
    """

    system: System
    language: str = "en"

    def length(self, value: Shownable) -> str:
        return self._show(value, "length")

    def tolerance(self, value: Shownable) -> str:
        """A length no finer than a rule or a caliper is read."""
        per_unit, places = (1.0, 2) if self.system == "mm" else (25.4, 3)
        return f"{self.number(float(value) / per_unit, places)} {unit('length', self.system)}"

    def feed(self, value: Shownable) -> str:
        return self._show(value, "feed")

    def feed_per_second(self, value: Shownable) -> str:
        """A feed in mm/s or in/s."""
        return self._show(float(value) / 60, "feed").replace("/min", "/s")

    def removal(self, value: Shownable) -> str:
        """A removal rate, mm³/min, in cm³/min or in³/min."""
        if self.system == "mm":
            return f"{self.number(float(value) / 1000, 2)} cm³/min"
        return self._show(value, "removal")

    def speed(self, value: Shownable) -> str:
        """A wheel speed; in feet a minute as the trade says it."""
        return self._show(value, "peripheral")

    def place(self, axis: str, value: Shownable) -> str:
        """A position of ``axis``, or a distance along it."""
        return self.angle(value) if axis in ROTARY else self.length(value)

    def places(self, positions: Mapping[str, Shownable]) -> tuple[str, ...]:
        """Each axis with its position."""
        return tuple(f"{axis} {self.place(axis, position)}" for axis, position in positions.items())

    def angle(self, value: Shownable) -> str:
        """Degrees."""
        return self._show(value, "angle")

    def rpm(self, value: Shownable) -> str:
        return self._show(value, "rotation")

    def seconds(self, value: Shownable) -> str:
        return self._show(value, "time", places=1)

    def number(self, value: Shownable, places: int = 6) -> str:
        """A number without a unit and without zeros at its end."""
        return self.marked(plain(value, places, strip=True))

    def marked(self, text: str) -> str:
        """A number that is text already, with the language's decimal mark and a minus sign."""
        return known(self.language).marked(text).replace("-", "−")

    def written(self, text: str) -> str:
        """A number with its unit that is text already, both as people write them."""
        for usual, otherwise in {**_WRITTEN, "rpm": known(self.language).rpm}.items():
            text = text.replace(usual, otherwise)
        return self.marked(text)

    def _show(self, value: Shownable, dimension: Dimension, places: int | None = None) -> str:
        return self.written(show(value, dimension, self.system, places))


def span(low: str, high: str) -> str:
    """A range of two texts with a unit each, the unit written once; one text where they are the same."""
    if low == high:
        return low
    return f"{_unitless(low, high)} – {high}"


def change(new: str, worn: str) -> str:
    """What a value is with a new wheel and becomes as it wears, the unit written once; one text where it stays."""
    return new if new == worn else f"{_unitless(new, worn)} → {worn}"


def _unitless(one: str, other: str) -> str:
    """``one`` without its unit where ``other`` has the same."""
    number, _, unit = one.partition(" ")
    return number if unit and other.endswith(f" {unit}") else one
