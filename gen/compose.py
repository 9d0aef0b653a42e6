"""From recipe, machine and grid to the plan of one dress.

Order and direction of everything that moves is decided here, once, for every
control: modes stated, plunge axis parked, guards, other axes one at a time,
spindle and coolant with their waits, then plunge and straight retract.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Literal

from gen.contact import plunge_feed, reach, rotation
from gen.expr import Comparison, Condition, Expr, Num, Rounding, Var, constant, num, on_grid, to_grid
from gen.facts import Facts
from gen.grid import INCH, Grid
from gen.plan import (
    Finish,
    Flood,
    Guard,
    Leave,
    Let,
    Modes,
    Node,
    Override,
    Plan,
    Remark,
    Store,
    Synchronise,
    Travel,
    Turn,
    Wait,
    When,
    settled,
)
from gen.quantities import show
from gen.steps import ROTARY

Form = Literal["program", "block", "subprogram"]

REGISTER_STEP = Decimal("0.0001")
"""The step in which the limits of a register are written, rounded outward: 0.0025 mm at the most."""


@dataclass(frozen=True, slots=True)
class Abilities:
    """What a control offers the plan, apart from how it spells it."""

    cancels: tuple[tuple[str, str], ...]
    override_lock: bool
    synchronise: bool
    work_offsets: tuple[str, ...] = ()
    """The words of the work offsets, the one in force after switching on first."""


def compose(facts: Facts, grid: Grid, abilities: Abilities, *, registers: bool, form: Form) -> Plan:
    """The plan of the dress that ``facts`` describe.

    With ``registers`` the wheel and the stick are read from the machine's
    registers, guarded, and written back; without, the plan is to be resolved
    at one state.
    """
    table = facts.machine.registers
    numbers = {
        name: number
        for name in ("wheel_diameter", "wheel_gauge", "stick_length", "parts_since_dress", "in_progress")
        if registers and table is not None and (number := getattr(table, name)) is not None
    }
    builder = _Composer(facts, grid, abilities, registers=registers, write_back=registers and abilities.synchronise)
    body = builder.incremental() if facts.incremental else builder.absolute()
    nodes = (*body, *((Finish(),) if form == "program" else ()))
    offset = facts.machine.dresser.offset
    return Plan(
        nodes,
        mm_per_unit=grid.mm_per_unit,
        registers=numbers,
        offsets={} if offset is None else {axis: float(value) for axis, value in offset.values.items()},
        frame="machine" if offset is None else offset.word,
    )


def times_unit(value: Expr, factor: Decimal) -> Expr:
    """``value · factor``, where factor is 1, 25.4 or its inverse; written with the exact one of the two."""
    if factor == 1:
        return value
    return value * INCH if factor > 1 else value / INCH


@dataclass
class _Composer:
    facts: Facts
    grid: Grid
    abilities: Abilities
    registers: bool
    write_back: bool
    labels: Iterator[int] = field(default_factory=itertools.count)

    def __post_init__(self) -> None:
        self.dresser = self.facts.machine.dresser
        self.dress = self.facts.recipe.dress
        self.axis = self.dresser.plunge_axis
        self.sign = self.dresser.sign
        self.away: Rounding = "floor" if self.sign > 0 else "ceil"
        self.depth = self.grid.mm(self.dress.plunge)
        self.clearance = self.grid.mm(self.dresser.clearance, "ceil")

    # -- the two ways a stick is brought to the wheel

    def absolute(self) -> tuple[Node, ...]:
        """From a measured datum: everything is a machine position."""
        return (
            *self.opening(),
            Remark("plunge axis parks first"),
            self.park(),
            *self.guarded(
                (
                    *self.quantities(),
                    *self.other_axes(),
                    *self.start(),
                    *self.mark(under_way=True),
                    *self.lock(True),
                    *self.plunges(),
                    *self.lock(False),
                    *self.count(),
                    *self.stop(),
                )
            ),
        )

    def incremental(self) -> tuple[Node, ...]:
        """From the stand-off that set-up left: forward, cut, and back by the stand-off."""
        return (
            *self.opening(),
            *self.guarded(
                (
                    *self.quantities(),
                    *self.other_axes(),
                    *self.start(),
                    *self.mark(under_way=True),
                    *self.lock(True),
                    *self.strokes(),
                    *self.lock(False),
                    *self.count(),
                    *self.stop(),
                )
            ),
        )

    # -- before the first plunge

    def opening(self) -> Iterator[Node]:
        units = "mm" if self.grid.mm_per_unit == 1 else "inch"
        yield Remark("every mode stated, offsets cancelled")
        yield Modes(
            (
                ("units", units),
                ("distance", "absolute"),
                ("feed_mode", "per-minute"),
                ("plane", "xy"),
                *self.abilities.cancels,
                *(() if self.dresser.offset is None else (("work_offset", self.dresser.offset.word),)),
            )
        )

    def park(self) -> Travel:
        assert self.dresser.parked is not None
        return Travel(self.axis, self.grid.mm(self.dresser.parked - self.offset(self.axis)))

    def offset(self, axis: str) -> Decimal:
        """What the dresser's own work offset holds on ``axis``, mm; 0 where positions are machine positions."""
        offset = self.dresser.offset
        return Decimal(0) if offset is None else offset.values.get(axis, Decimal(0))

    def guarded(self, body: tuple[Node, ...]) -> tuple[Node, ...]:
        """``body`` behind one guard for each end of each register that it reads."""
        if not self.registers:
            return body
        unit = self.facts.register_unit
        system = self.facts.machine.registers.units if self.facts.machine.registers else "mm"
        checks: list[tuple[Comparison, str, Decimal, str]] = [
            ("eq", "in_progress", Decimal(0), "DRESS WAS INTERRUPTED - MEASURE THE STICK"),
        ]
        ranges: list[tuple[str, tuple[Decimal, Decimal]]] = [(self.facts.size_name, self.facts.size_range)]
        if not self.facts.incremental:
            ranges.append(("stick_length", self.facts.length_range))
        for name, (low, high) in ranges:
            what = name.replace("_", " ").upper()
            below, above = (
                f"{what} IS {side} {show(limit, 'length', system).upper()}"
                for side, limit in (("BELOW", low), ("ABOVE", high))
            )
            checks.append(("ge", name, to_grid("floor", low / unit, REGISTER_STEP), below))
            checks.append(("le", name, to_grid("ceil", high / unit, REGISTER_STEP), above))
        labels = [next(self.labels) for _ in checks]
        for (op, name, value, message), label in zip(reversed(checks), reversed(labels), strict=True):
            body = (Guard(Condition(op, Var(name, "register"), Num(value)), message, label, body),)
        return (*self.wait_for_motion("registers are read when all motion has ended"), *body)

    def wait_for_motion(self, why: str = "") -> Iterator[Node]:
        if self.abilities.synchronise:
            if why:
                yield Remark(why)
            yield Synchronise()

    def quantities(self) -> Iterator[Node]:
        """Wheel, stick, spindle speed and feed as working variables, each worked out once."""
        yield from self.size()
        yield from self.rpm()
        feed = plunge_feed(
            float(self.dress.aggressiveness),
            self.nominal_diameter(),
            Var("rpm"),
            angle_deg=float(self.facts.angle),
            digits=self.grid.digits,
        )
        yield Let("feed", on_grid("round", feed, self.grid.feed), "plunge feed")

    def size(self) -> Iterator[Node]:
        factor = self.facts.register_unit / self.grid.mm_per_unit
        yield Let("size", self.converted(self.facts.size_name, factor), self.facts.size_name.replace("_", " "))
        if not self.facts.incremental:
            yield Let("length", self.converted("stick_length", factor), "stick length")

    def converted(self, register: str, factor: Decimal) -> Expr:
        """A register in the program's unit; ``factor`` is register unit over program unit."""
        return times_unit(Var(register, "register"), factor)

    def nominal_diameter(self) -> Expr:
        """The diameter at which wheel speed and target hold: D, or the middle of a new cup's rim."""
        if not self.facts.face:
            return Var("size")
        middle = self.facts.nominal_diameter(float(self.facts.size_range[1]))
        return num(constant(middle / float(self.grid.mm_per_unit), self.grid.digits))

    def rpm(self) -> Iterator[Node]:
        """The dress speed, whole rpm: as asked, and no more than marking and spindle allow."""
        if self.dress.speed is not None:
            yield Let("rpm", on_grid("floor", num(self.dress.speed), Decimal(1)), "spindle speed")
            return
        assert self.dress.wheel_speed is not None
        wanted = rotation(
            float(self.dress.wheel_speed),
            self.nominal_diameter(),
            mm_per_unit=float(self.grid.mm_per_unit),
            digits=self.grid.digits,
        )
        yield Let("rpm", on_grid("round", wanted, Decimal(1)), "spindle speed")
        cap = self.facts.rpm_cap
        if self.facts.asked_rpm(float(self.facts.size_range[0])) > cap:
            yield When(
                Condition("gt", Var("rpm"), num(cap)),
                next(self.labels),
                (Let("rpm", num(cap), "no more than the wheel or the spindle may turn"),),
            )

    def other_axes(self) -> Iterator[Node]:
        for letter, position in self.dresser.at.items():
            place = position - self.offset(letter)
            yield Travel(letter, self.grid.degrees(place) if letter in ROTARY else self.grid.mm(place))
        yield from self.to_lane(0)

    def to_lane(self, index: int) -> Iterator[Node]:
        axis, centre = self.dresser.lateral_axis, self.facts.recipe.wheel.lateral
        if axis is None or centre is None:
            return
        sign = 1 if self.dresser.lateral_sign == "+" else -1
        offset = Decimal(repr(self.facts.lanes.offsets[index]))
        yield Travel(axis, self.grid.mm(centre + sign * offset - self.offset(axis)))

    def start(self) -> Iterator[Node]:
        spindle = self.facts.machine.spindle
        yield Remark("wheel at dress speed")
        yield Turn(Var("rpm"), spindle.direction)
        yield Wait(spindle.spin_up, "spindle at speed")
        if self.dress.coolant:
            yield Flood(True)
            yield Wait(self.dresser.coolant_wait, "coolant on the stick")

    def mark(self, *, under_way: bool) -> Iterator[Node]:
        if self.write_back:
            yield Store("in_progress", num(int(under_way)))

    def lock(self, locked: bool) -> Iterator[Node]:
        if self.abilities.override_lock:
            yield Override(locked)

    # -- plunge and retract

    def plunges(self) -> Iterator[Node]:
        """Every plunge of an absolute dresser; the contact moves on as the stick shortens."""
        lanes = self.facts.lanes
        at_each_visit = not lanes.stick_is_wider
        total = self.dress.plunges * len(lanes.offsets)
        visits = [(turn, lane) for turn in range(self.dress.plunges) for lane in range(len(lanes.offsets))]
        for count, (_, lane) in enumerate(visits):
            if count and len(lanes.offsets) > 1:
                yield from self.to_lane(lane)
            yield Remark(f"plunge {count + 1} of {total}")
            if at_each_visit or lane == 0:
                yield Let("contact", self.contact(), "contact")
            yield from self.plunge(park_after=len(lanes.offsets) > 1 or count == total - 1)
            if at_each_visit or lane == len(lanes.offsets) - 1:
                yield from self.shorter(last=count == total - 1)

    def plunge(self, *, park_after: bool) -> Iterator[Node]:
        contact = Var("contact")
        start = contact - self.clearance if self.sign > 0 else contact + self.clearance
        end = contact + self.depth if self.sign > 0 else contact - self.depth
        envelope = self.envelope()
        if self.dresser.approach == "envelope":
            yield Travel(self.axis, envelope)
            yield Travel(self.axis, start, self.approach_feed())
        else:
            yield Travel(self.axis, start)
        yield Travel(self.axis, end, Var("feed"))
        yield self.park() if park_after else Travel(self.axis, envelope)

    def envelope(self) -> Num:
        """The furthest a rapid may go whatever the registers say: short of the new wheel and the full stick."""
        earliest = Decimal(repr(settled(self.facts.earliest_contact))) - self.offset(self.axis)
        return Num(self.grid.mm(earliest, self.away).value - self.sign * self.clearance.value)

    def approach_feed(self) -> Num:
        machine = self.facts.machine
        return self.grid.mm_min(min(self.dresser.feed[1], machine.axes[self.axis].max_feed), "floor")

    def contact(self) -> Expr:
        """The contact position on the grid, rounded away from the wheel.

        Where it may be negative it is shifted by a whole number first, since
        controls differ in whether they round a negative number down or toward zero.
        """
        assert self.dresser.datum is not None
        facts, unit = self.facts, self.grid.mm_per_unit
        distance = reach(facts.geometry, Var("length"), Var("size"), mm_per_unit=float(unit), digits=self.grid.digits)
        datum = constant(float((self.dresser.datum - self.offset(self.axis)) / unit), self.grid.digits)
        shift = self.shift()
        raw = (datum + shift) - distance if self.sign > 0 else (datum + shift) + distance
        return on_grid(self.away, raw, self.grid.length) - shift

    def shift(self) -> int:
        worn, new = (float(size) for size in self.facts.size_range)
        shortest = float(self.facts.shortest_left)
        nearest = [
            self.facts.contact(size, length)
            for size in (worn, new)
            for length in (shortest, float(self.facts.length_range[1]))
        ]
        least = (min(nearest) - float(self.offset(self.axis))) / float(self.grid.mm_per_unit)
        return 0 if least > 1 else math.ceil((2 - least) / 1000) * 1000

    def shorter(self, *, last: bool) -> Iterator[Node]:
        """The stick is one plunge shorter: in the plan, and in its register once the motion has ended."""
        if self.write_back:
            factor = self.grid.mm_per_unit / self.facts.register_unit
            yield from self.wait_for_motion()
            yield Store("stick_length", times_unit(Var("length") - self.depth, factor))
        if not last:
            yield Let("length", Var("length") - self.depth, "stick length")

    def strokes(self) -> Iterator[Node]:
        """Every stroke of an incremental dresser: the slide ends one plunge further on, the stand-off kept."""
        assert self.dresser.stand_off is not None
        lanes = self.facts.lanes
        gap = self.grid.mm(self.dresser.stand_off)
        stroke = Num(self.sign * (gap.value + self.depth.value))
        back_all, back_gap = Num(-stroke.value), Num(-self.sign * gap.value)
        total = self.dress.plunges * len(lanes.offsets)
        for count in range(total):
            lane = count % len(lanes.offsets)
            if count and len(lanes.offsets) > 1:
                yield from self.to_lane(lane)
            yield Remark(f"plunge {count + 1} of {total}")
            advance = not lanes.stick_is_wider or lane == len(lanes.offsets) - 1
            yield Modes((("distance", "incremental"),))
            yield Travel(self.axis, stroke, Var("feed"), relative=True)
            yield Travel(self.axis, back_gap if advance else back_all, relative=True)
            yield Modes((("distance", "absolute"),))

    # -- after the last plunge

    def count(self) -> Iterator[Node]:
        """The counter starts again; the flag that a dress is under way goes last."""
        if not self.write_back:
            return
        yield from self.wait_for_motion()
        registers = self.facts.machine.registers
        if registers is not None and registers.parts_since_dress is not None:
            yield Store("parts_since_dress", num(0))
        yield from self.mark(under_way=False)

    def stop(self) -> Iterator[Node]:
        if self.dress.coolant:
            yield Flood(False)
        yield Turn(num(0), "off")
        yield Remark("modes the cycle expects")
        yield Leave(tuple(self.left_behind()))

    def left_behind(self) -> Iterator[str]:
        """The host's modes; after a dresser's own work offset also the usual one, unless the host names its own."""
        words = self.facts.machine.host.modes
        yield from words
        offsets = self.abilities.work_offsets
        if self.dresser.offset is not None and offsets and not set(offsets) & set(words):
            yield offsets[0]
