"""Every quantity of a dress that something limits, as numbers: value, limit, and the margin between the two.

The rows follow from the plan and from the files, not from a program's text, so
that a recipe that is refused has its rows too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal, TypeAlias

from gen.base.quantities import Dimension, plain, show
from gen.bounds.advice_valve import aggressiveness_ends
from gen.bounds.clearance import clearance_needed
from gen.control.draft import Program
from gen.order.compose import compose
from gen.paper.dressing import Dressing, dressing
from gen.paper.extremes import NOTHING, marked_speed, plunge_depths, slot, visited
from gen.physics.contact import aggressiveness, peripheral_speed
from gen.plan.node import State
from gen.plan.step import ROTARY
from gen.shop.dress import Dress
from gen.shop.family import suffix
from gen.shop.wheel import Wheel

Side: TypeAlias = Literal["most", "least"]


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity of one recipe, at its tightest over the ends of wear and stick.

    ``value``, ``limit`` and ``margin`` are numbers in ``unit`` (empty: none), the
    shop's own; ``side`` tells whether the limit is the most or the least there may
    be. ``relative`` is the margin as a share of the limit (of the whole way, for a
    position); below 0 the limit is broken.
    """

    machine: str
    recipe: str
    quantity: str
    value: float
    limit: float
    margin: float
    unit: str
    side: Side
    relative: float

    @property
    def holds(self) -> bool:
        return self.relative >= -NOTHING


def tightest_first(rows: Iterable[Row]) -> list[Row]:
    """``rows`` by relative margin, what is broken first; rows that are equal in that by their names."""
    return sorted(rows, key=lambda row: (round(row.relative, 9), row.machine, row.recipe, row.quantity))


def rows(program: Program) -> list[Row]:
    """The rows of ``program``'s recipe on its machine, tightest first."""
    return tightest_first(_Rows(program).all())


class _Rows:
    """The rows of one program: what its dresses at the ends of wear and stick come to."""

    def __init__(self, program: Program) -> None:
        self.dress = program.dress
        kind = suffix("after-truing" if program.heading.after_truing else "dress", prove_out=False)
        self.names = program.heading.machine, f"{program.heading.recipe}{kind}"
        numeric = _by_numbers(program)
        self.dresses = [dressing(numeric, state) for state in _ends(self.dress)]

    def all(self) -> Iterator[Row]:
        for one in self.dress.wheels:
            yield from self._feed(one)
            yield from self._aggressiveness(one)
            yield from self._wheel_speed(one)
            yield from self._bedding(one)
        yield from self._spindle()
        yield from self._travel()
        yield from self._stick()
        yield from self._room()

    def row(
        self, quantity: str, dimension: Dimension | None, value: float, limit: float, side: Side, scale: float = 0.0
    ) -> Row:
        """One row; ``scale`` is what its margin is a share of, the limit unless given."""
        margin = limit - value if side == "most" else value - limit
        whole = abs(scale or limit) or 1.0
        units = self.dress.machine.units
        texts = [
            plain(number, 1, strip=True) if dimension is None else show(number, dimension, units)
            for number in (value, limit, margin)
        ]
        shown, least_or_most, left = (float(text.partition(" ")[0]) for text in texts)
        unit = texts[0].partition(" ")[2]
        return Row(*self.names, quantity, shown, least_or_most, left, unit, side, margin / whole)

    def within(
        self, quantity: str, dimension: Dimension | None, values: Iterable[float], low: float, high: float
    ) -> Row:
        """The row for a range, of whose two ends the tighter one counts."""
        seen = list(values)
        both = (
            self.row(quantity, dimension, min(seen), low, "least"),
            self.row(quantity, dimension, max(seen), high, "most"),
        )
        return min(both, key=lambda row: row.relative)

    def of(self, one: Wheel, quantity: str) -> str:
        """``quantity``, of a pack with the number of the wheel."""
        return f"{quantity}, wheel {one.index + 1}" if len(self.dress.wheels) > 1 else quantity

    # -- each wheel

    def plunges(self, one: Wheel) -> Iterator[tuple[float, float, float]]:
        """Size of the wheel mm, spindle speed rpm and feed mm/min of its first plunge in each dress."""
        for dress in self.dresses:
            met = next((plunge for plunge in dress.contacts.plunges if plunge.wheel == one.index), None)
            if met is not None and met.feed is not None and met.rpm:
                yield dress.state.values[one.size_name] * float(self.dress.register_unit), met.rpm, met.feed

    def _feed(self, one: Wheel) -> Iterator[Row]:
        dresser = one.machine.dresser
        feeds = [feed for _, _, feed in self.plunges(one)]
        if not feeds:
            return
        if dresser.max_removal is not None:
            most = max(map(one.removal, feeds))
            yield self.row(self.of(one, "removal"), "removal", most, float(dresser.max_removal), "most")
        axis = dresser.axis
        if axis is None:
            return
        low, high = (float(end) for end in dresser.feed_limits)
        yield self.within(self.of(one, "plunge feed, dresser"), "feed", feeds, low, high)
        most = float(one.machine.axes[axis].max_feed)
        yield self.row(self.of(one, f"plunge feed, axis {axis}"), "feed", max(feeds), most, "most")

    def _aggressiveness(self, one: Wheel) -> Iterator[Row]:
        low, high = (float(end) for end in one.settings.band)
        valve = self.dress.dresser.valve
        nominal: list[float] = []
        inside: list[float] = []
        for size, rpm, feed in self.plunges(one):
            if valve is not None:
                nominal += aggressiveness_ends(one, valve, size, rpm)
                continue
            speeds = (peripheral_speed(at, rpm) for at in one.working_diameters(size))
            first, *rest = (aggressiveness(feed, speed, float(one.angle)) for speed in speeds)
            nominal.append(first)
            inside += rest
        name = "timed rate, aggressiveness" if valve is not None else "aggressiveness"
        if nominal:
            yield self.within(self.of(one, name), None, nominal, low, high)
        if inside:
            yield self.within(self.of(one, "aggressiveness, inside edge"), None, inside, low, high)

    def _wheel_speed(self, one: Wheel) -> Iterator[Row]:
        """The speed as asked with the new wheel, and as run later: a cap helps a worn wheel, not a recipe."""
        wheel = one.keys
        new = float(one.size_range[1])
        outer = float(wheel.diameter[1])
        speeds = [peripheral_speed(outer, one.asked_rpm(new))]
        speeds += [peripheral_speed(one.diameter_at(size), rpm) for size, rpm, _ in self.plunges(one)]
        marked = [] if wheel.max_rpm is None else [peripheral_speed(outer, float(wheel.max_rpm))]
        marked += [] if wheel.max_speed is None else [float(wheel.max_speed)]
        yield self.row(self.of(one, "wheel speed, marking"), "peripheral", max(speeds), min(marked), "most")

    def _bedding(self, one: Wheel) -> Iterator[Row]:
        if one.geometry.bedding:
            least = float(plunge_depths(self.dress)[0])
            yield self.row(self.of(one, "plunge, to bed in"), "length", least, one.geometry.bedding, "least")

    # -- the machine

    def _spindle(self) -> Iterator[Row]:
        dress = self.dress
        low, high = (float(end) for end in dress.machine.spindle.speed)
        run = {
            name: [
                rpm for one in dress.wheels for size, rpm, _ in self.plunges(one) if _near(size, one.size_range[end])
            ]
            for name, end in (("new", 1), ("worn", 0))
        }
        run["new"] += [one.asked_rpm(float(one.size_range[1])) for one in dress.wheels]
        for name, speeds in run.items():
            if speeds:
                yield self.within(f"spindle speed, {name} wheel", "rotation", speeds, low, high)
        fastest = max(speed for speeds in run.values() for speed in speeds)
        yield self.row("spindle speed, marking", "rotation", fastest, marked_speed(dress), "most")

    def _travel(self) -> Iterator[Row]:
        """Each axis as far as it goes: the one that plunges back, and forward with the first stick and the last."""
        dresser = self.dress.machine.dresser
        axis = dresser.way
        ahead: Side = "most" if dresser.sign > 0 else "least"
        behind: Side = "least" if dresser.sign > 0 else "most"
        places = visited(self.dresses)
        if axis in places:
            yield self._end(axis, f"travel {axis}, parked", places[axis], behind)
            for stage, dresses in self._stages().items():
                yield self._end(axis, f"travel {axis}, {stage}", visited(dresses)[axis], ahead)
        for letter, seen in places.items():
            if letter != axis:
                low = self._end(letter, f"travel {letter}", seen, "least")
                high = self._end(letter, f"travel {letter}", seen, "most")
                yield min(low, high, key=lambda row: row.relative)

    def _stages(self) -> dict[str, list[Dressing]]:
        """The dresses at the beginning and at the end of a stick, or from one set-up of a stand-off to the next."""
        if self.dress.dresser.set_up is not None:
            axis, names = self.dress.dresser.way, ("first dress", "last dress")
            stands = [dress.state.positions.get(axis, 0.0) * self.dress.machine.dresser.sign for dress in self.dresses]
        else:
            names = ("full stick", "last stick")
            stands = [-dress.length for dress in self.dresses]
        return {
            name: [dress for dress, stand in zip(self.dresses, stands, strict=True) if stand == end]
            for name, end in zip(names, (min(stands), max(stands)), strict=True)
        }

    def _end(self, letter: str, quantity: str, places: list[float], side: Side) -> Row:
        """One end of an axis, with its margin as a share of the whole way."""
        low, high = (float(end) for end in self.dress.machine.axes[letter].travel)
        dimension: Dimension = "angle" if letter in ROTARY else "length"
        place, limit = (min(places), low) if side == "least" else (max(places), high)
        return self.row(quantity, dimension, place, limit, side, high - low)

    # -- stick and room

    def _stick(self) -> Iterator[Row]:
        dress = self.dress
        dresses = max(1, dress.dresses_per_stick)
        left = float(dress.stick.length - dresses * dress.stick_per_dress)
        yield self.row("stick left", "length", left, float(dress.shortest_left), "least")
        most = dress.machine.dresser.max_overhang
        if most is not None:
            yield self.row("stick out of its clamp", "length", float(dress.overhang), float(most), "most")

    def _room(self) -> Iterator[Row]:
        dress, dresser = self.dress, self.dress.machine.dresser
        if dresser.max_plunge is not None:
            yield self.row("plunge", "length", float(plunge_depths(dress)[1]), float(dresser.max_plunge), "most")
        name = dresser.gap_key.replace("_", "-")
        yield self.row(name, "length", float(dresser.gap), clearance_needed(dress), "least")
        cut = slot(dress)
        if cut is not None:
            yield self.row("slot in the stick", "length", *cut, "most")


def _by_numbers(program: Program) -> Program:
    """``program`` without registers, and so without guards that would hide what is out of range."""
    grid, abilities = program.dialect.grid, program.dialect.abilities
    return replace(program, plan=compose(program.dress, grid, abilities, registers=False, form="program"))


def _ends(dress: Dress) -> list[State]:
    """The ends of wear and stick; where no stick is long enough for a dress, those of wear with a full one."""
    worn = dress.state(sizes=[size for size, _ in dress.sizes.values()])
    return list(dress.corners()) or [dress.state(), worn]


def _near(size: float, end: Decimal) -> bool:
    return math.isclose(size, float(end), abs_tol=NOTHING)
