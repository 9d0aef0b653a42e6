"""What recipe and machine together say about one dress, before any state or program.

Everything here follows from the two files alone; plan, bounds and sheet all
start from it. Lengths mm, feeds mm/min, speeds rpm or m/s.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from gen.contact import Geometry, plunge_feed, reach, rotation, sagitta, working_diameters
from gen.lanes import Lanes, lanes
from gen.machine import Machine
from gen.plan import State
from gen.recipe import Dress, Recipe, Stick, Wheel


@dataclass(frozen=True)
class Facts:
    """A recipe on its machine, with what follows from the pair."""

    recipe: Recipe
    machine: Machine

    @property
    def wheel(self) -> Wheel:
        return self.recipe.wheel

    @property
    def stick(self) -> Stick:
        return self.recipe.stick

    @property
    def dress(self) -> Dress:
        return self.recipe.dress

    @property
    def incremental(self) -> bool:
        return self.machine.dresser.motion == "incremental"

    @property
    def face(self) -> bool:
        return self.wheel.contact == "face"

    @property
    def size_name(self) -> str:
        """The register or option that holds the size of the wheel which the contact depends on."""
        return "wheel_gauge" if self.face else "wheel_diameter"

    @property
    def size_range(self) -> tuple[Decimal, Decimal]:
        """Worn and new: gauge for face contact, else diameter, mm."""
        wheel = self.wheel
        if self.face:
            assert wheel.gauge is not None
            return wheel.gauge
        return wheel.diameter

    @property
    def angle(self) -> Decimal:
        """α in degrees: the dresser's inclination, or the wheel's taper."""
        return self.wheel.taper or self.machine.dresser.inclination

    @cached_property
    def geometry(self) -> Geometry:
        wheel, stick = self.wheel, self.stick
        return Geometry(
            face=self.face,
            wheel_width=float(wheel.width),
            stick_width=float(stick.section[0]),
            stick_height=float(stick.section[1]),
            angle_deg=float(self.angle),
            tapered=bool(wheel.taper),
        )

    @cached_property
    def lanes(self) -> Lanes:
        dress = self.dress
        return lanes(self.geometry, overlap=float(dress.overlap), only_one=dress.lanes == "one")

    @property
    def stick_per_dress(self) -> Decimal:
        """Stick length that one dress takes, mm."""
        dress = self.dress
        return dress.plunge * dress.plunges * self.lanes.cuts_per_pass

    @property
    def shortest_left(self) -> Decimal:
        """Least stick length after the last plunge, mm: ``min_stick``, or what keeps the jaw off the wheel."""
        dresser = self.machine.dresser
        return max(dresser.min_stick, dresser.jaw + dresser.clearance if dresser.jaw else Decimal(0))

    @property
    def length_range(self) -> tuple[Decimal, Decimal]:
        """Shortest and longest stick with which a dress may begin, mm."""
        return self.shortest_left + self.stick_per_dress, self.stick.length

    @property
    def dresses_per_stick(self) -> int:
        low, high = self.length_range
        return max(0, int((high - low) / self.stick_per_dress) + 1) if high >= low else 0

    @property
    def marked_rpm(self) -> float:
        """The most the wheel may turn at any wear: its marked rpm, and its marked speed at the new diameter."""
        wheel = self.wheel
        limits = [float(wheel.max_rpm)] if wheel.max_rpm is not None else []
        if wheel.max_speed is not None:
            limits.append(rotation(float(wheel.max_speed), float(wheel.diameter[1])))
        return min(limits)

    @property
    def rpm_cap(self) -> int:
        """The most the program may ask for, whole rpm, rounded down: marking and spindle."""
        return math.floor(min(self.marked_rpm, float(self.machine.spindle.speed[1])) + 1e-9)

    def nominal_diameter(self, size: float) -> float:
        """The diameter in mm at which wheel speed and target hold: D, or the middle of a new cup's rim."""
        return working_diameters(self.geometry, self.diameter_at(size))[0]

    def asked_rpm(self, size: float) -> float:
        """The speed the recipe asks for with a wheel of ``size`` mm, before any cap, whole rpm."""
        dress = self.dress
        if dress.speed is not None:
            return float(math.floor(dress.speed))
        assert dress.wheel_speed is not None
        return math.floor(rotation(float(dress.wheel_speed), self.nominal_diameter(size)) + 0.5)

    def rpm(self, size: float) -> float:
        """The speed a program runs with a wheel of ``size`` mm: as asked, a held wheel speed up to the cap."""
        asked = self.asked_rpm(size)
        return asked if self.dress.speed is not None else min(asked, float(self.rpm_cap))

    def nominal_feed(self, size: float) -> float:
        """Plunge feed in mm/min with a wheel of ``size`` mm, before it is rounded to what the program writes."""
        target = float(self.dress.aggressiveness)
        return plunge_feed(target, self.nominal_diameter(size), self.rpm(size), angle_deg=float(self.angle))

    def contact(self, size: float, length: float) -> float:
        """Plunge-axis position in mm at which a stick of ``length`` first touches a wheel of ``size``.

        contact = datum − s · reach; an incremental dresser has no datum and no such position.
        """
        dresser = self.machine.dresser
        assert dresser.datum is not None
        return float(dresser.datum) - dresser.sign * reach(self.geometry, length, size)

    @property
    def earliest_contact(self) -> float:
        """Contact of the new wheel with the full stick, mm."""
        return self.contact(float(self.size_range[1]), float(self.stick.length))

    @property
    def groove(self) -> float:
        """Depth of the groove that the worn wheel leaves in the stick's end, mm; 0 on a face."""
        if self.face:
            return 0.0
        return sagitta(self.geometry.stick_height, float(self.wheel.diameter[0]))

    def diameter_at(self, size: float) -> float:
        """The wheel's diameter in mm when its size is ``size``; on a face it is the new one throughout."""
        return float(self.wheel.diameter[1]) if self.face else size

    @property
    def register_numbers(self) -> dict[str, int]:
        """The machine's registers that outlive a program, number by name."""
        table = self.machine.registers
        names = ("wheel_diameter", "wheel_gauge", "stick_length", "parts_since_dress", "in_progress")
        found = {name: getattr(table, name, None) for name in names}
        return {name: number for name, number in found.items() if number is not None}

    @property
    def register_unit(self) -> Decimal:
        """mm in one unit of a register that holds a length; without registers, of the program's unit."""
        registers = self.machine.registers
        system = registers.units if registers is not None else self.machine.units
        return Decimal("25.4") if system == "inch" else Decimal(1)

    def state(
        self,
        size: Decimal | None = None,
        length: Decimal | None = None,
        *,
        in_progress: float = 0.0,
        slide_position: Decimal | None = None,
    ) -> State:
        """The state with a wheel of ``size`` and a stick of ``length``, mm; by default both new."""
        unit = self.register_unit
        size = self.size_range[1] if size is None else size
        length = self.stick.length if length is None else length
        values = {
            self.size_name: float(size / unit),
            "stick_length": float(length / unit),
            "parts_since_dress": 0.0,
            "in_progress": in_progress,
        }
        if not self.incremental:
            return State(values)
        axis = self.machine.dresser.plunge_axis
        return State(values, {axis: float(self.first_position if slide_position is None else slide_position)})

    @property
    def first_position(self) -> Decimal:
        """Where an incremental slide is taken to stand after set-up: the far end of its travel, mm."""
        dresser = self.machine.dresser
        low, high = self.machine.axes[dresser.plunge_axis].travel
        if dresser.parked is not None:
            return dresser.parked
        return low if dresser.sign > 0 else high

    def corners(self) -> Iterator[State]:
        """States at the ends of wear and stick: new and worn wheel with full, middle and last stick."""
        worn, new = self.size_range
        low, high = self.length_range
        seen: set[tuple[Decimal, Decimal]] = set()
        if self.incremental:
            steps = self.machine.dresser.dresses_per_set_up or 1
            far = self.first_position + self.machine.dresser.sign * self.stick_per_dress * (steps - 1)
            for size in dict.fromkeys((new, worn)):
                for position in dict.fromkeys((self.first_position, far)):
                    yield self.state(size, slide_position=position)
            return
        for size in (new, worn, (new + worn) / 2):
            for length in (high, low, (high + low) / 2):
                if low <= high and (size, length) not in seen:
                    seen.add((size, length))
                    yield self.state(size, length)
