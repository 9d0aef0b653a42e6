"""What recipe and machine together say about one dress, before any state or program.

Everything here follows from the two files alone; plan, bounds and sheet all
start from it. Lengths mm, feeds mm/min, speeds rpm or m/s.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from gen.physics.contact import Geometry, drift, plunge_feed, reach, rotation, sagitta, working_diameters
from gen.physics.end_face import EndFace
from gen.physics.lanes import Lanes, lanes
from gen.physics.valve import Valve
from gen.physics.visits import Bite, Visit, shoulders, visited
from gen.plan.node import State
from gen.shop.machine import Machine
from gen.shop.recipe import Dress, Recipe, Stick, Wheel

_OWN = ("aggressiveness", "band", "lanes")
"""What a wheel may have of its own, beside its speed, in place of what the dress says."""


@dataclass(frozen=True)
class Facts:
    """One wheel of a recipe on its machine, with what follows from the pair.

    ``pack`` has the facts of every wheel on the spindle, most often this one
    alone. What is about the stick, or the whole dress, is the same in each.
    """

    recipe: Recipe
    machine: Machine
    index: int = 0

    @cached_property
    def pack(self) -> tuple[Facts, ...]:
        """Every wheel's facts, in the order in which the wheels are dressed."""
        count = len(self.recipe.wheels)
        return tuple(self if k == self.index else Facts(self.recipe, self.machine, k) for k in range(count))

    @property
    def wheel(self) -> Wheel:
        return self.recipe.wheels[self.index]

    @property
    def stick(self) -> Stick:
        return self.recipe.stick

    @cached_property
    def dress(self) -> Dress:
        """The recipe's dress, as this wheel wants it."""
        wheel, dress = self.wheel, self.recipe.dress
        own = {key: value for key in _OWN if (value := getattr(wheel, key)) is not None}
        if wheel.speed is not None or wheel.wheel_speed is not None:
            own |= {"speed": wheel.speed, "wheel_speed": wheel.wheel_speed}
        return dress.model_copy(update=own) if own else dress

    def key(self, key: str) -> str:
        """Where a file says ``wheel.…`` or ``dress.…`` for this wheel: in its own table where it has its own."""
        table, _, name = key.partition(".")
        own = f"wheel[{self.index}].{name}" if len(self.pack) > 1 else f"wheel.{name}"
        if table == "wheel":
            return own
        return own if getattr(self.wheel, name, None) is not None else key

    @property
    def incremental(self) -> bool:
        return self.machine.dresser.motion == "incremental"

    @property
    def timed(self) -> bool:
        """Whether a feeder moves the stick, from a stand-off as an incremental slide does, and no axis."""
        return self.machine.dresser.kind == "timed"

    @cached_property
    def valve(self) -> Valve:
        """The valve of a timed feeder."""
        dresser = self.machine.dresser
        assert dresser.rate is not None
        assert dresser.rate_tolerance is not None
        assert dresser.stand_off is not None
        return Valve(dresser.rate, dresser.rate_tolerance / 100, dresser.stand_off, dresser.self_adjusting)

    @property
    def face(self) -> bool:
        return self.wheel.contact == "face"

    @cached_property
    def size_name(self) -> str:
        """The register or option that holds the size of the wheel which the contact depends on."""
        name = "wheel_gauge" if self.face else "wheel_diameter"
        return f"{name}_{self.index + 1}" if len(self.pack) > 1 else name

    @property
    def sizes(self) -> dict[str, tuple[Decimal, Decimal]]:
        """Worn and new, mm, of every wheel on the spindle, by :attr:`size_name`."""
        return {one.size_name: one.size_range for one in self.pack}

    @cached_property
    def size_range(self) -> tuple[Decimal, Decimal]:
        """Worn and new: gauge for face contact, else diameter, mm."""
        wheel = self.wheel
        if self.face:
            assert wheel.gauge is not None
            return wheel.gauge
        return wheel.diameter

    @cached_property
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
        return lanes(
            self.geometry,
            overlap=float(dress.overlap),
            only_one=dress.lanes == "one",
            at=float(self.wheel.lane or 0),
        )

    @property
    def lateral_sign(self) -> int:
        """The direction of the lateral axis in which lanes are counted: 1 or -1."""
        return 1 if self.machine.dresser.lateral_sign == "+" else -1

    @property
    def recentre_sign(self) -> int:
        """The way the lateral axis goes while an inclined plunge's wheel gets smaller: 1, -1, or 0 where it stays."""
        return {"+": 1, "-": -1, None: 0}[self.machine.dresser.recentre]

    def drift(self, size: float) -> float:
        """How far an inclined stick meets a wheel of ``size`` mm aside of where it met the new one, mm; else 0."""
        return drift(self.geometry, float(self.size_range[1]), size)

    @property
    def slack(self) -> float:
        """How far stick or stations reach past the wheel's nearer edge when new, mm; less than 0 leaves some bare."""
        offsets, half = self.lanes.offsets, (self.geometry.footprint - self.geometry.wheel_width) / 2
        return half + min(-min(offsets), max(offsets))

    def place(self, lane: int, size: float) -> float | None:
        """Where the lateral axis stands for ``lane`` of a wheel of ``size`` mm; None where no axis moves that way."""
        centre = self.wheel.lateral
        if centre is None or self.machine.dresser.lateral_axis is None:
            return None
        offset = self.lateral_sign * self.lanes.offsets[lane]
        return float(centre) + offset + self.recentre_sign * self.drift(size)

    def under(self, lateral: float | None, size: float) -> tuple[float, float]:
        """The stretch of the stick's end that this wheel of ``size`` covers with the lateral axis at ``lateral``, mm.

        Without a lateral axis stick and wheel are centred. A drift that no axis follows is left out, since nobody
        says which way it goes.
        """
        centre, middle = self.wheel.lateral, 0.0
        if lateral is not None and centre is not None:
            middle = self.lateral_sign * (lateral - float(centre) - self.recentre_sign * self.drift(size))
        half = self.geometry.wheel_width / 2
        return middle - half, middle + half

    # -- the stick's end, for all wheels together

    def bites(self, depth: float | None = None) -> tuple[Bite, ...]:
        """Every visit of one dress in order, wheel by wheel; ``depth`` in place of the recipe's plunge, mm."""
        return self._bites if depth is None else self._bitten(depth)

    @cached_property
    def _bites(self) -> tuple[Bite, ...]:
        return self._bitten(float(self.dress.plunge))

    def _bitten(self, deep: float) -> tuple[Bite, ...]:
        return tuple(
            Bite(one.index, lane, offset - half, offset + half, deep, first=lane == 0)
            for one in self.pack
            for half in (one.geometry.wheel_width / 2,)
            for _ in range(one.dress.plunges)
            for lane, offset in enumerate(one.lanes.offsets)
        )

    @cached_property
    def shoulders(self) -> tuple[Visit, ...]:
        """The visits that would meet a shoulder which another visit left standing."""
        return shoulders(self.geometry.footprint, self.bites())

    @cached_property
    def _left_standing(self) -> EndFace:
        """The end after every wheel has been everywhere once: 1 where it is cut, 0 where it never is."""
        end = EndFace.flat(self.geometry.footprint)
        for bite in self.bites():
            end = end.cut(bite.low, bite.high, 1.0)
        return end

    @cached_property
    def walls(self) -> tuple[float, ...]:
        """The widths of the walls that no wheel ever cuts, mm; empty where the whole end is visited."""
        return self._left_standing.standing(1.0)

    def end_face(self, length: float) -> EndFace:
        """The end of a stick whose cut part is ``length`` long, mm: walls that are never cut stand as when new."""
        above = min(0.0, length - float(self.stick.length))
        return EndFace(tuple((a, b, above if cut < 1 else 0.0) for a, b, cut in self._left_standing.stretches))

    @cached_property
    def stick_per_dress(self) -> Decimal:
        """Stick length that one dress takes, mm."""
        visits, _ = visited(EndFace.flat(self.geometry.footprint), self.bites())
        return Decimal(repr(round(sum(visit.lowered for visit in visits), 9)))

    @property
    def stick_per_set_up(self) -> Decimal:
        """The most stick that the dresses from one set-up of the stand-off to the next take, mm."""
        dress, dresses = self.dress, self.machine.dresser.dresses_per_set_up or 1
        if not self.timed:
            return self.stick_per_dress * dresses
        return self.valve.most_taken(dress.plunge, dress.plunges * self.lanes.cuts_per_pass, dresses)

    @cached_property
    def shortest_left(self) -> Decimal:
        """Least stick length after the last plunge, mm: ``min_stick``, or what keeps jaw and holder off the wheel."""
        dresser, held = self.machine.dresser, self.held
        return max(dresser.min_stick, held + dresser.clearance if held else Decimal(0))

    @property
    def held(self) -> Decimal:
        """How far jaw or holder reaches from the seat, mm."""
        dresser = self.machine.dresser
        return max(dresser.jaw, Decimal(0) if dresser.holder is None else dresser.holder[1])

    @property
    def overhang(self) -> Decimal:
        """How far a new stick stands out of jaw or holder, mm."""
        return self.stick.length - self.held

    def removal(self, feed: float) -> float:
        """Stick removed at a plunge feed of ``feed`` mm/min, mm³/min: section in contact × feed (definition)."""
        return self.geometry.width_in_contact * self.geometry.stick_height * feed

    @cached_property
    def length_range(self) -> tuple[Decimal, Decimal]:
        """Shortest and longest stick with which a dress may begin, mm."""
        return self.shortest_left + self.stick_per_dress, self.stick.length

    @property
    def dresses_per_stick(self) -> int:
        low, high = self.length_range
        return max(0, int((high - low) / self.stick_per_dress) + 1) if high >= low else 0

    @cached_property
    def marked_rpm(self) -> float:
        """The most the spindle may turn at any wear: marked rpm, and marked speed at the new diameter.

        Wheels on one spindle turn together, so that the slowest marking counts.
        """
        return min(_marked_rpm(wheel) for wheel in self.recipe.wheels)

    @cached_property
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
        """Plunge feed in mm/min with a wheel of ``size`` mm, before it is rounded to what the program writes.

        Of a timed feeder, what its valve is set to.
        """
        if self.timed:
            return float(self.valve.rate)
        target = float(self.dress.aggressiveness)
        return plunge_feed(target, self.nominal_diameter(size), self.rpm(size), angle_deg=float(self.angle))

    def contact(self, size: float, length: float) -> float:
        """Plunge-axis position in mm at which a stick of ``length`` first touches a wheel of ``size``.

        contact = datum − s · reach; an incremental dresser has no datum and no such position.
        """
        dresser = self.machine.dresser
        assert dresser.datum is not None
        return float(dresser.datum) - dresser.sign * reach(self.geometry, length, size)

    @cached_property
    def earliest_contact(self) -> float:
        """Contact of the new wheel, the largest of a pack, with the full stick, mm."""
        sign = self.machine.dresser.sign
        contacts = (one.contact(float(one.size_range[1]), float(self.stick.length)) for one in self.pack)
        return min(contacts, key=lambda place: sign * place)

    @property
    def groove(self) -> float:
        """Depth of the groove that the worn wheel, the smallest of a pack, leaves in the end, mm; 0 on a face."""
        if self.face:
            return 0.0
        return sagitta(self.geometry.stick_height, min(float(wheel.diameter[0]) for wheel in self.recipe.wheels))

    def diameter_at(self, size: float) -> float:
        """The wheel's diameter in mm when its size is ``size``; on a face it is the new one throughout."""
        return float(self.wheel.diameter[1]) if self.face else size

    @cached_property
    def register_numbers(self) -> dict[str, int]:
        """The machine's registers that outlive a program, number by name."""
        table = self.machine.registers
        if table is None:
            return {}
        diameters = table.wheel_diameter or ()
        found: dict[str, int | None] = {}
        if len(self.pack) > 1:
            found |= {one.size_name: number for one, number in zip(self.pack, diameters, strict=False)}
        else:
            found |= {"wheel_diameter": next(iter(diameters), None), "wheel_gauge": table.wheel_gauge}
        found |= {name: getattr(table, name) for name in ("stick_length", "parts_since_dress", "in_progress")}
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
        sizes: Sequence[Decimal] = (),
    ) -> State:
        """The state with this wheel at ``size`` and a stick of ``length``, mm; by default all is new.

        ``sizes`` gives every wheel of the pack in place of ``size``.
        """
        unit = self.register_unit
        new = {name: ends[1] for name, ends in self.sizes.items()}
        given = dict(zip(new, sizes, strict=True)) if sizes else {} if size is None else {self.size_name: size}
        length = self.stick.length if length is None else length
        values = {
            **{name: float(value / unit) for name, value in {**new, **given}.items()},
            "stick_length": float(length / unit),
            "parts_since_dress": 0.0,
            "in_progress": in_progress,
        }
        if self.timed or not self.incremental:
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
        """States at the ends of wear and stick: new and worn wheels with full, middle and last stick."""
        worn, new = self.size_range
        low, high = self.length_range
        if self.timed:
            yield from (self.state(size) for size in dict.fromkeys((new, worn)))
            return
        if self.incremental:
            steps = self.machine.dresser.dresses_per_set_up or 1
            far = self.first_position + self.machine.dresser.sign * self.stick_per_dress * (steps - 1)
            for size in dict.fromkeys((new, worn)):
                for position in dict.fromkeys((self.first_position, far)):
                    yield self.state(size, slide_position=position)
            return
        for sizes in dict.fromkeys(self._worn()):
            for length in dict.fromkeys((high, low, (high + low) / 2)):
                if low <= high:
                    yield self.state(sizes=sizes, length=length)

    def _worn(self) -> Iterator[tuple[Decimal, ...]]:
        """Sizes to look at: all new, all worn, all between; in a pack also each wheel alone worn, and alone new."""
        ranges = [one.size_range for one in self.pack]
        news, worns = tuple(new for _, new in ranges), tuple(worn for worn, _ in ranges)
        yield news
        yield worns
        yield tuple((new + worn) / 2 for worn, new in ranges)
        for place in range(len(ranges) if len(ranges) > 1 else 0):
            yield (*news[:place], worns[place], *news[place + 1 :])
            yield (*worns[:place], news[place], *worns[place + 1 :])


def _marked_rpm(wheel: Wheel) -> float:
    limits = [float(wheel.max_rpm)] if wheel.max_rpm is not None else []
    if wheel.max_speed is not None:
        limits.append(rotation(float(wheel.max_speed), float(wheel.diameter[1])))
    return min(limits)
