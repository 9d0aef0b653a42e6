"""A dress: what recipe and machine together say about stick and wheels, before any state or program.

Everything here follows from the two files alone; plan, bounds and sheet all
start from it. Lengths mm, feeds mm/min, speeds rpm.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.dressers.kind import Dresser, WearRange
from gen.physics.contact import along_plunge, rotation, sagitta
from gen.physics.end_face import EndFace
from gen.physics.evenness import Evenness, evenness
from gen.physics.visits import Bite, Visit, shoulders, visited
from gen.plan.node import State
from gen.plan.step import Register
from gen.shop.costs import CostKeys, own_prices
from gen.shop.edition import Edition
from gen.shop.machine import Machine
from gen.shop.recipe import DressKeys, Recipe, StickKeys, WheelKeys
from gen.shop.ways import Ways, ways
from gen.shop.wheel import Wheel


@dataclass(frozen=True)
class Dress:
    """The dress that a recipe asks of its machine, with the wheels in the order in which they are dressed."""

    recipe: Recipe
    machine: Machine

    @cached_property
    def wheels(self) -> tuple[Wheel, ...]:
        """The only wheel, or those of a pack on one spindle."""
        keys, cap = self.recipe.wheels, self.rpm_cap
        return tuple(
            Wheel(one, self.settings, self.stick, self.machine, index, len(keys), cap) for index, one in enumerate(keys)
        )

    @property
    def first(self) -> Wheel:
        """The only wheel, or the first of a pack."""
        return self.wheels[0]

    @cached_property
    def ways(self) -> Ways:
        """How the axes beside the plunge axis go to each wheel, and out again."""
        return ways(self.wheels)

    @property
    def settings(self) -> DressKeys:
        """The recipe's ``[dress]``; what a wheel has of its own is in :attr:`gen.shop.wheel.Wheel.settings`."""
        return self.recipe.dress

    @property
    def prices(self) -> CostKeys | None:
        """What dressing costs by the recipe's prices and else the machine's; None where neither has any."""
        return own_prices(self.machine.costs, self.recipe.costs)

    @property
    def dresser(self) -> Dresser:
        return self.machine.dresser

    # -- the spindle

    @cached_property
    def marked_rpm(self) -> float:
        """The most the spindle may turn at any wear; its wheels turn together, so that the slowest marking counts."""
        return min(_marked_rpm(wheel) for wheel in self.recipe.wheels)

    @cached_property
    def rpm_cap(self) -> int:
        """The most the program may ask for, whole rpm, rounded down: marking and spindle."""
        return math.floor(min(self.marked_rpm, float(self.machine.spindle.speed[1])) + 1e-9)

    # -- the stick, for all wheels together

    @property
    def stick(self) -> StickKeys:
        return self.recipe.stick

    @property
    def footprint(self) -> float:
        """Width the stick covers along a wheel's face, mm; the same for every wheel of a pack."""
        return self.first.geometry.footprint

    @cached_property
    def turns(self) -> tuple[int, ...]:
        """The lane of each dress where every dress visits the next one, until it starts again; else empty."""
        wheel = self.first
        return wheel.lanes.in_turn(wheel.geometry.wheel_width) if wheel.settings.lanes == "next" else ()

    def turn(self, state: State) -> int | None:
        """Which of :attr:`turns` a dress at ``state`` is, from 0; None where every dress is the same.

        A register that holds none of them counts as the first.
        """
        if not self.turns:
            return None
        number = state.values.get("next_lane", 1.0)
        return int(number) - 1 if number in range(1, len(self.turns) + 1) else 0

    def bites(self, depth: float | None = None, turn: int | None = None) -> tuple[Bite, ...]:
        """Every visit of one dress in order, wheel by wheel; ``depth`` in place of the recipe's plunge, mm.

        Where every dress visits the next lane, those of the one with the number ``turn``; without, of one to each lane.
        """
        bites = self._bites if depth is None else self._bitten(depth)
        return bites if turn is None else tuple(bite for bite in bites if bite.lane == self.turns[turn])

    @cached_property
    def _bites(self) -> tuple[Bite, ...]:
        return self._bitten(float(self.settings.plunge))

    def _bitten(self, deep: float) -> tuple[Bite, ...]:
        return tuple(
            Bite(wheel.index, lane, offset - half, offset + half, deep, first=lane == 0)
            for wheel in self.wheels
            for half in (wheel.geometry.wheel_width / 2,)
            for _ in range(self.settings.plunges)
            for lane, offset in enumerate(wheel.lanes.offsets)
        )

    @cached_property
    def shoulders(self) -> tuple[Visit, ...]:
        """The visits that would meet a shoulder which another visit left standing."""
        return shoulders(self.footprint, self.bites())

    @cached_property
    def _left_standing(self) -> EndFace:
        """The end after every wheel has been everywhere once: 1 where it is cut, 0 where it never is."""
        end = EndFace.flat(self.footprint)
        for bite in self.bites():
            end = end.cut(bite.low, bite.high, 1.0)
        return end

    @cached_property
    def walls(self) -> tuple[float, ...]:
        """The widths of the walls that no wheel ever cuts, mm; empty where the whole end is visited."""
        return self._left_standing.standing(1.0)

    def end_face(self, length: float, turn: int | None = None, depth: float | None = None) -> EndFace:
        """The end of a stick whose cut part is ``length`` long, mm: walls that are never cut stand as when new.

        Where every dress visits the next lane, the lanes before number ``turn`` are shorter already by what a dress
        takes, in plunges of ``depth`` in place of the recipe's, mm.
        """
        above = min(0.0, length - float(self.stick.length))
        end = EndFace(tuple((a, b, above if cut < 1 else 0.0) for a, b, cut in self._left_standing.stretches))
        lanes = self._dresses_per_pass
        for done in range(turn // lanes * lanes, turn) if turn is not None else ():
            _, end = visited(end, self.bites(depth, done))
        return end

    @cached_property
    def evenness(self) -> tuple[Evenness, ...]:
        """How evenly a dress meets the rim of each wheel; where every dress visits the next lane, all of them."""
        dresses = [self.bites(turn=turn) for turn in range(len(self.turns))] or [self.bites()]
        return tuple(evenness(EndFace.flat(self.footprint), dresses, wheel.index) for wheel in self.wheels)

    @property
    def groove(self) -> float:
        """Depth of the groove that the worn wheel, the smallest of a pack, leaves in the end, mm; 0 on a face."""
        return self.groove_of(min(wheel.diameter[0] for wheel in self.recipe.wheels))

    def groove_of(self, diameter: Decimal) -> float:
        """Depth, along the plunge, of the groove that a wheel of ``diameter`` leaves in the stick's end, mm."""
        if self.first.face:
            return 0.0
        return along_plunge(self.first.geometry, sagitta(float(self.stick.section[1]), float(diameter)))

    @cached_property
    def stick_per_dress(self) -> Decimal:
        """Stick length that one dress takes, mm; where every dress visits the next lane, as many as there are lanes."""
        visits, _ = visited(EndFace.flat(self.footprint), self.bites())
        return Decimal(repr(round(sum(visit.lowered for visit in visits), 9)))

    @property
    def depths(self) -> tuple[Decimal, Decimal]:
        """Least and greatest depth of a plunge, mm: as the recipe has it, or with a valve at its slow and fast end."""
        valve, planned = self.dresser.valve, self.settings.plunge
        return (planned, planned) if valve is None else valve.depths(planned)

    @property
    def stick_per_set_up(self) -> Decimal:
        """The most stick that the dresses from one set-up of the stand-off to the next take, mm."""
        dresses, valve = self.dresser.per_set_up or 1, self.dresser.valve
        if valve is None:
            return self.stick_per_dress * dresses
        return valve.most_taken(self.settings.plunge, self.settings.plunges * self.first.lanes.cuts_per_pass, dresses)

    @cached_property
    def shortest_left(self) -> Decimal:
        """Least stick length after the last plunge, mm: ``min_stick``, or what keeps jaw and holder off the wheel."""
        held, ahead = self.held, max(wheel.holder_ahead for wheel in self.wheels)
        leaning = Decimal(math.ceil(ahead * 1000 - 1e-6)) / 1000
        return max(self.dresser.min_stick, held + self.dresser.keeps_clear + leaning if held else Decimal(0))

    @property
    def held(self) -> Decimal:
        """How far jaw or holder reaches from the seat, mm."""
        dresser = self.dresser
        return max(dresser.jaw, Decimal(0) if dresser.holder is None else dresser.holder[1])

    @property
    def overhang(self) -> Decimal:
        """How far a new stick stands out of jaw or holder, mm."""
        return self.stick.length - self.held

    @cached_property
    def length_range(self) -> tuple[Decimal, Decimal]:
        """Shortest and longest stick with which a dress may begin, mm."""
        return self.shortest_left + self.stick_per_dress, self.stick.length

    def leaves_out(self, edition: Edition) -> bool:
        """Whether ``edition`` goes on without the dress where the stick is too short for one.

        The first opening after truing never does: no wheel goes on that was never opened.
        """
        return self.settings.when_used_up == "go-on" and edition.dresses and not edition.after_truing

    def let_through(self, edition: Edition) -> tuple[Decimal, Decimal]:
        """Shortest and longest stick with which ``edition`` does not stop, mm; that left by a dress is used up."""
        low, high = self.length_range
        return self.shortest_left if self.leaves_out(edition) else low, high

    def accepted(self, edition: Edition) -> dict[str, tuple[Decimal, Decimal]]:
        """The ends, mm, between which ``edition`` goes on: of every wheel's size, and of the stick where it counts."""
        lengths = {"stick_length": self.let_through(edition)} if self.dresser.needs_length else {}
        return {**self.sizes, **lengths}

    @property
    def dresses_per_stick(self) -> int:
        """How many dresses a new stick lasts; of a kind that is set up, whole set-ups only."""
        low, high = self.length_range
        dresses = self.dresser.per_set_up
        if dresses is not None:
            return max(0, int((high - self.shortest_left) / self.stick_per_set_up)) * dresses
        passes = max(0, int((high - low) / self.stick_per_dress) + 1) if high >= low else 0
        return passes * self._dresses_per_pass

    def dresses_left(self, length: Decimal, turn: int | None = None) -> int:
        """How many dresses a stick of ``length`` mm still lasts, the first of them the one with the number ``turn``."""
        passes = max(0, math.floor((length - self.shortest_left) / self.stick_per_dress))
        done = 0 if turn is None else turn % self._dresses_per_pass
        return max(0, passes * self._dresses_per_pass - done)

    @property
    def left_at_last(self) -> Decimal:
        """Stick length that the last dress of a new stick leaves, mm; the first one, where not even that fits."""
        return self.stick.length - max(1, self.dresses_per_stick // self._dresses_per_pass) * self.stick_per_dress

    @property
    def _dresses_per_pass(self) -> int:
        """How many dresses there are until the stick's end is level again."""
        return len(self.first.lanes.offsets) if self.turns else 1

    @cached_property
    def earliest_contact(self) -> float | None:
        """Plunge-axis position of the full stick's contact with the new wheel, the largest of a pack, mm.

        None where contact is not worked out from a datum.
        """
        if self.dresser.datum_position is None:
            return None
        contacts = (one.contact(float(one.size_range[1]), float(self.stick.length)) for one in self.wheels)
        known = [place for place in contacts if place is not None]
        return min(known, key=lambda place: self.dresser.sign * place, default=None)

    @property
    def room_when_parked(self) -> float | None:
        """From the parked full stick to the new wheel, mm; below 0 it stands inside. None where nothing tells."""
        parked, earliest = self.dresser.parked_at, self.earliest_contact
        return None if parked is None or earliest is None else self.dresser.sign * (earliest - float(parked))

    # -- registers and states

    @property
    def sizes(self) -> dict[str, tuple[Decimal, Decimal]]:
        """Worn and new, mm, of every wheel on the spindle, by its ``size_name``."""
        return {wheel.size_name: wheel.size_range for wheel in self.wheels}

    @cached_property
    def lasting_registers(self) -> dict[Register, str]:
        """Those of sizes, stick length, count of parts, next lane and in-progress flag: name by number."""
        wanted = (*self.sizes, "stick_length", "parts_since_dress", "next_lane", "in_progress")
        return {number: name for name, number in self.register_numbers.items() if name in wanted}

    @cached_property
    def register_numbers(self) -> dict[str, int]:
        """The machine's registers that outlive a program, number by name."""
        table = self.machine.registers
        if table is None:
            return {}
        diameters = table.wheel_diameter or ()
        found: dict[str, int | None] = {}
        if len(self.wheels) > 1:
            found |= {one.size_name: number for one, number in zip(self.wheels, diameters, strict=False)}
        else:
            found |= {"wheel_diameter": next(iter(diameters), None), "wheel_gauge": table.wheel_gauge}
        found |= {name: getattr(table, name) for name in ("stick_length", "parts_since_dress", "in_progress")}
        if self.turns:
            found["next_lane"] = table.next_lane
        return {name: number for name, number in found.items() if number is not None}

    @cached_property
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
        next_lane: float = 1.0,
    ) -> State:
        """The state with the first wheel at ``size`` and a stick of ``length``, mm; by default all is new.

        ``sizes`` gives every wheel of the pack in place of ``size``.
        """
        unit = self.register_unit
        new = {name: ends[1] for name, ends in self.sizes.items()}
        given = dict(zip(new, sizes, strict=True)) if sizes else {} if size is None else {self.first.size_name: size}
        length = self.stick.length if length is None else length
        values = {
            **{name: float(value / unit) for name, value in {**new, **given}.items()},
            "stick_length": float(length / unit),
            "parts_since_dress": 0.0,
            "in_progress": in_progress,
            **({"next_lane": next_lane} if self.turns else {}),
        }
        axis, first = self.dresser.axis, self.first_position
        if axis is None or first is None:
            return State(values)
        return State(values, {axis: float(first if slide_position is None else slide_position)})

    @property
    def first_position(self) -> Decimal | None:
        """Where a slide with a stand-off is taken to stand after set-up, mm; None for any other dresser."""
        return self.dresser.set_up_position({letter: axis.travel for letter, axis in self.machine.axes.items()})

    def corners(self) -> Iterator[State]:
        """States at the ends of wear and stick, as the kind of dresser has them.

        Where every dress visits the next lane, each with the first and the last one, and the first with all of them.
        """
        ranges = tuple(one.size_range for one in self.wheels)
        wear = WearRange(ranges, self.length_range, self.stick_per_dress, self.first_position)
        numbers = list(range(1, len(self.turns) + 1)) or [1]
        for corner in self.dresser.corners(wear):
            for number in numbers:
                yield self.state(
                    sizes=corner.sizes, length=corner.length, slide_position=corner.stands, next_lane=number
                )
            numbers = numbers[:1] + numbers[-1:] if self.turns else numbers


def _marked_rpm(wheel: WheelKeys) -> float:
    limits = [float(wheel.max_rpm)] if wheel.max_rpm is not None else []
    if wheel.max_speed is not None:
        limits.append(rotation(float(wheel.max_speed), float(wheel.diameter[1])))
    return min(limits)
