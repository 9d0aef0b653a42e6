"""What ``generate`` accepts and writes hurts neither machine nor wheel, judged by rules that share nothing with it.

The judge below knows the two files as tables of text, and the steps that a
program makes: on ``rs274`` where that can run it, else by the reader. Units,
geometry and limits are its own, from sections 4 and 5 of the design: contact =
datum - s (L + D/2), face: G in place of D/2, inclined: D/2 over cos a and half
the width in contact times tan a more. A limit may be passed by what a program
rounds: half of 0.0001 in, of 0.01 in/min, of one revolution.

``DRESSBLOCK_EXAMPLES`` asks for more examples than the usual ones.
"""

from __future__ import annotations

import math
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, TypeAlias

import pytest
from bench import as_rs274, hosted, ruling
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_files import MACHINE, RECIPE, tables
from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.draft import Program
from gen.control.options import Options
from gen.plan.node import State
from gen.plan.step import Aux, Coolant, Dwell, End, Move, Refuse, Spindle, Step, Stop, Write
from strategies import Pair, Table, accepted, options, pairs, read_back

EXAMPLES = int(os.environ.get("DRESSBLOCK_EXAMPLES", "150"))
NEAR = 0.006
"""mm: a position rounded by up to 0.0001 in, twice, and what the outside judge prints."""

Draw: TypeAlias = st.DrawFn

PER_UNIT = {"mm": 1.0, "in": 25.4, "deg": 1.0, "m": 1000.0, "s": 1.0, "rpm": 1.0, "min": 1.0}


def number(text: str) -> float:
    """A value with its unit in mm, mm/min, s, rpm or degrees."""
    value, unit = text.split()
    return float(value) * PER_UNIT[unit.split("/")[0]]


def metres_a_second(text: str) -> float:
    value, unit = text.split()
    return float(value) * {"m/s": 1.0, "ft/min": 0.3048 / 60}[unit]


@dataclass
class Bench:
    """Machine and recipe of a pair in plain numbers: mm, mm/min, s, rpm, degrees."""

    pair: Pair
    axis: str = ""
    sign: int = 1

    def __post_init__(self) -> None:
        self.dresser: Table = self.pair.machine["dresser"]
        self.wheel: Table = self.pair.recipe["wheel"]
        self.dress: Table = self.pair.recipe["dress"]
        self.axis = self.dresser["plunge_axis"]
        self.sign = 1 if self.dresser["toward_wheel"] == "+" else -1
        self.incremental = self.pair.incremental
        self.face = self.wheel["contact"] == "face"
        self.worn, self.new = (number(end) for end in self.wheel["gauge" if self.face else "diameter"])
        self.biggest = number(self.wheel["diameter"][1])
        self.width = number(self.wheel["width"])
        self.stick_width, self.height = (number(part) for part in self.pair.recipe["stick"]["section"])
        self.full = number(self.pair.recipe["stick"]["length"])
        self.depth = number(self.dress["plunge"])
        self.gap = number(self.dresser["stand_off" if self.incremental else "clearance"])
        self.tapered = "taper" in self.wheel
        self.angle = math.radians(number(self.wheel.get("taper", self.dresser.get("inclination", "0 deg"))))
        jaw = number(self.dresser["jaw"])
        self.shortest = max(number(self.dresser["min_stick"]), jaw + number(self.dresser["clearance"]) if jaw else 0.0)

    @property
    def footprint(self) -> float:
        """Width that the stick covers along the wheel's face."""
        return self.stick_width if self.tapered else self.stick_width / math.cos(self.angle)

    @property
    def bedding(self) -> float:
        across = min(self.width, self.footprint)
        return across * (math.tan(self.angle) if self.tapered else math.sin(self.angle))

    def contact(self, size: float, length: float) -> float:
        """Where the plunge axis stands when a square stick of ``length`` meets a wheel of ``size``."""
        if self.face:
            out = length + size
        elif self.tapered:
            out = length + size / 2
        else:
            out = length + size / 2 / math.cos(self.angle) + self.bedding / 2
        return number(self.dresser["datum"]) - self.sign * out

    @property
    def parked(self) -> float:
        return number(self.dresser["parked"])

    @property
    def marked(self) -> float:
        """The most that the marking allows, rpm."""
        if "max_rpm" in self.wheel:
            return number(self.wheel["max_rpm"])
        return metres_a_second(self.wheel["max_speed"]) * 60000 / math.pi / self.biggest

    def working_diameters(self, size: float) -> Sequence[float]:
        return (self.biggest - self.width, self.biggest - 2 * self.width) if self.face else (size,)


@dataclass
class Watch:
    """Follows the steps of one dress; ``faults`` says what it must never see."""

    bench: Bench
    size: float
    length: float
    places: dict[str, float]
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        bench = self.bench
        self.first = True
        self.turning: tuple[str, float] = ("off", 0.0)
        self.waited = self.wet = 0.0
        self.coolant = False
        self.leaving = 0.0
        """How far past contact the wheel went, while the stick is not yet clear again; 0 when it is."""
        self.cuts: list[tuple[float, float, float, float]] = []
        """Every plunge: from, to, across the stick, how deep from the end it began with, and how deep past contact."""
        self.origin = (
            self.places[bench.axis] + bench.sign * bench.gap
            if bench.incremental
            else bench.contact(self.size, self.length)
        )

    def say(self, fault: str) -> None:
        self.faults.append(fault)

    def all(self, steps: Sequence[Step]) -> Watch:
        for step in steps:
            self.step(step)
        self.over()
        return self

    def step(self, step: Step) -> None:
        match step:
            case Move():
                self.move(step)
                return
            case Dwell():
                self.waited += step.seconds
                self.wet += step.seconds
            case Spindle():
                if (step.direction, step.rpm) != self.turning:
                    self.waited = 0.0
                self.turning = step.direction, step.rpm
                self.spins(step)
            case Coolant():
                if step.on != self.coolant:
                    self.wet = 0.0
                self.coolant = step.on
            case Refuse():
                self.say(f"refuses an accepted state: {step.message}")
        if self.leaving and isinstance(step, Dwell | Spindle | Coolant | Write | Stop | End | Aux):
            self.say(f"{step.op} before the stick is clear")

    def spins(self, step: Spindle) -> None:
        low, high = (number(end) for end in self.bench.pair.machine["spindle"]["speed"])
        if step.direction == "off":
            return
        if step.direction != self.bench.pair.machine["spindle"]["direction"]:
            self.say("spindle the wrong way")
        if step.rpm > self.bench.marked + 1e-6:
            self.say(f"{step.rpm} rpm, marked {self.bench.marked}")
        if not low - 1e-6 <= step.rpm <= high + 1e-6:
            self.say(f"{step.rpm} rpm, spindle {low} to {high}")

    # -- motion

    def move(self, move: Move) -> None:
        # the outside judge prints one and the same place differently in mm and in inches
        told = [axis for axis in move.axes if axis in move.to]
        bench, moved = (
            self.bench,
            [axis for axis in told if abs(move.to[axis] - self.places.get(axis, math.inf)) > 0.003],
        )
        was = self.places.get(bench.axis)
        self.places.update(move.to)
        for axis in moved:
            low, high = (number(end) for end in bench.pair.machine["axes"][axis]["travel"])
            if not low - NEAR <= move.to[axis] <= high + NEAR:
                self.say(f"{axis} to {move.to[axis]}, travel {low} to {high}")
        if len(moved) > 1:
            self.say(f"{moved} move together")
        if self.first and not bench.incremental:
            self.first = False
            if move.op != "rapid" or set(moved) - {bench.axis} or abs(move.to[bench.axis] - bench.parked) > NEAR:
                self.say(f"first motion is {move}")
        if moved and moved != [bench.axis]:
            self.across(move)
        elif bench.axis in move.to:
            self.along(move, was, move.to[bench.axis])

    def across(self, move: Move) -> None:
        """Another axis than the stick's own moves: nothing may be near."""
        bench = self.bench
        if move.op != "rapid":
            self.say(f"{move.axes} at a feed")
        if self.leaving:
            self.say(f"{move.axes} before the stick is clear")
        if bench.incremental:
            if bench.sign * (self.nearest() - self.places[bench.axis]) < bench.gap - NEAR:
                self.say(f"{move.axes} nearer than the stand-off")
        elif abs(self.places[bench.axis] - bench.parked) > NEAR:
            self.say(f"{move.axes} while {bench.axis} is not parked")

    def along(self, move: Move, was: float | None, now: float) -> None:
        bench, surface = self.bench, self.surface()
        inside = bench.sign * (now - surface)
        back = was is not None and bench.sign * (now - was) < -NEAR
        if move.op == "rapid" and not back and was is not None and abs(now - was) > NEAR:
            self.rapid(now)
        if move.op == "arc":
            self.say("an arc")
        if move.op == "feed":
            if back:
                self.say(f"back at a feed, {was} to {now}")
            self.feeds(move, inside > NEAR)
        if self.leaving and back:
            if move.op != "rapid":
                self.say("drawn back at a feed")
            if bench.sign * (self.nearest() - now) < (0.0 if bench.incremental else bench.gap) - NEAR:
                self.say(f"drawn back to {now}, and a shoulder of the stick stands at {self.nearest()}")
            if bench.sign * (self.surface() - now) < bench.gap - NEAR:
                self.say(f"drawn back to {now} only")
            self.leaving = 0.0
        if inside > NEAR:
            if move.op != "feed":
                self.say(f"rapid {inside} deep into the wheel")
            self.plunged(inside, surface)

    def rapid(self, now: float) -> None:
        """A rapid toward the wheel ends at the envelope, or a clearance before the stick as it is."""
        bench = self.bench
        surface = self.surface()
        if not bench.incremental and bench.dresser.get("approach", "envelope") == "envelope":
            surface = bench.contact(bench.new, bench.full)
        if bench.sign * (surface - now) < bench.gap - NEAR:
            self.say(f"rapid to {now}, contact {surface}, wanted {bench.gap} before it")

    def feeds(self, move: Move, inside: bool) -> None:
        bench = self.bench
        low, high = (number(end) for end in bench.dresser["feed"])
        high = min(high, number(bench.pair.machine["axes"][bench.axis]["max_feed"]))
        rate = move.rate or 0.0
        slowest = max(self.turning[1], 1.0)
        slack = 0.13 + high * 0.5 / slowest
        if rate > high + slack:
            self.say(f"feed {rate}, {high} allowed")
        if not inside:
            return
        if rate < low - slack:
            self.say(f"feed {rate}, {low} at least")
        if self.turning[0] != bench.pair.machine["spindle"]["direction"]:
            self.say("contact, and the wheel does not turn as it must")
        least, most = (float(end) for end in bench.dress.get("band", (200, 300)))
        for diameter in bench.working_diameters(self.size):
            speed = math.pi * diameter * slowest / 60  # mm/s
            aggressiveness = 1e6 * rate / 60 * math.cos(bench.angle) / speed
            allowed = 1e6 * 0.13 / 60 / speed
            if not least - allowed <= aggressiveness <= most + allowed:
                self.say(f"aggressiveness {aggressiveness} on {diameter}")
        if self.waited < number(bench.pair.machine["spindle"]["spin_up"]) - 1e-6:
            self.say(f"spindle had {self.waited} s")
        if bench.dress["coolant"] and not (
            self.coolant and self.wet >= number(bench.dresser.get("coolant_wait", "2 s")) - 1e-6
        ):
            self.say(f"coolant {self.coolant} for {self.wet} s")

    # -- the stick's end, as stretches between the edges of all cuts

    def under(self) -> tuple[float, float]:
        """The stretch across the stick that the wheel covers, from the stick's middle."""
        bench, middle = self.bench, 0.0
        if "lateral_axis" in bench.dresser and "lateral" in bench.wheel:
            sense = 1 if bench.dresser.get("lateral_sign", "+") == "+" else -1
            centre = number(bench.wheel["lateral"])
            # geometry: worn by ΔD, a plunge at α crosses the surface ΔD/2 · tan α aside; an axis may follow
            aside = 0.0 if bench.tapered or bench.face else (bench.new - self.size) / 2 * math.tan(bench.angle)
            centre += {"+": aside, "-": -aside, "": 0.0}[bench.dresser.get("recentre", "")]
            middle = sense * (self.places.get(bench.dresser["lateral_axis"], centre) - centre)
        return middle - bench.width / 2, middle + bench.width / 2

    def profile(self, low: float, high: float) -> list[float]:
        """How deep each stretch of the end from ``low`` to ``high`` is cut."""
        half = self.bench.footprint / 2
        low, high = max(low, -half), min(high, half)
        edges = sorted({low, high, *(edge for cut in self.cuts for edge in cut[:2] if low < edge < high)})
        return [
            max([cut[2] for cut in self.cuts if cut[0] < (a + b) / 2 < cut[1]], default=0.0)
            for a, b in pairwise(edges)
            if b - a > 0.03
        ]

    def surface(self) -> float:
        """Where the plunge axis stands when the wheel meets the stick as it now is."""
        return self.origin + self.bench.sign * min(self.profile(*self.under()), default=math.inf)

    def nearest(self) -> float:
        """The same, wherever across the stick the wheel may come by."""
        half = self.bench.footprint / 2
        return self.origin + self.bench.sign * min(self.profile(-half, half), default=0.0)

    def plunged(self, inside: float, surface: float) -> None:
        low, high = self.under()
        held = {letter: number(place) for letter, place in self.bench.dresser["at"].items()}
        if "lateral_axis" in self.bench.dresser and self.bench.dresser["lateral_axis"] not in self.places:
            self.say("meets the wheel before the lateral axis has a place")
        for letter, place in held.items():
            if abs(self.places.get(letter, math.inf) - place) > NEAR:
                self.say(f"{letter} at {self.places.get(letter)} in contact, wanted {place}")
        self.leaving = inside
        self.cuts.append((low, high, self.bench.sign * (surface - self.origin) + inside, inside))

    def over(self) -> None:
        bench = self.bench
        if self.leaving:
            self.say("ends in contact")
        for _, _, _, depth in self.cuts:
            if abs(depth - bench.depth) > NEAR:
                self.say(f"a plunge of {depth}, {bench.depth} planned")
        if not self.cuts:
            self.say("never meets the wheel")
        if bench.bedding >= bench.depth:
            self.say(f"whole width cuts after {bench.bedding} only")
        deepest = max((cut[2] for cut in self.cuts), default=0.0)
        if not bench.incremental and self.length - deepest < bench.shortest - NEAR:
            self.say(f"{self.length - deepest} of the stick left")
        self.lanes(deepest)
        home = bench.parked if not bench.incremental else self.origin + bench.sign * (deepest - bench.gap)
        if abs(self.places[bench.axis] - home) > NEAR * max(1, len(self.cuts)):
            self.say(f"{bench.axis} ends at {self.places[bench.axis]}, {home} is where it belongs")
        if self.turning[0] != "off" or self.coolant:
            self.say("spindle or coolant left on")

    def lanes(self, deepest: float) -> None:
        """All of the face is opened, and the end is left flat, or one slot not too deep for its walls."""
        bench, half = self.bench, self.bench.footprint / 2
        left = self.profile(-half, half)
        if bench.dress["lanes"] == "all":
            if max(left) - min(left) > NEAR:
                self.say(f"the end is left in steps: {left}")
            reached = sorted((low, high) for low, high, _, _ in self.cuts)
            centres = [(low + high) / 2 for low, high in reached]
            # the wheel's own face, as seen from the wheel: the stick covers half its width either side of -centre
            if bench.footprint < bench.width and centres:
                covered = max(centres) - min(centres) + bench.footprint
                if covered < bench.width - 0.03:
                    self.say(f"{covered} of a face {bench.width} wide is opened")
        elif bench.footprint > bench.width:
            wall = (bench.footprint - bench.width) / 2
            slot = bench.full - self.length + deepest
            if not bench.incremental and slot > 2 * wall + NEAR:
                self.say(f"a slot {slot} deep between walls of {wall}")


# -- pairs that are often accepted, close to their limits on both sides


def mm(value: float) -> str:
    return f"{value:.3f} mm"


@st.composite
def likely(draw: Draw, /, **kinds: Any) -> Pair:
    """A drawn pair whose limits are drawn again, around what its dress needs."""
    pair = draw(pairs(**kinds))
    machine, recipe = pair.machine, pair.recipe
    bench = Bench(pair)
    wheel, stick, dress = dict(recipe["wheel"]), dict(recipe["stick"]), dict(recipe["dress"])
    dresser = dict(machine["dresser"])
    wheel.pop("max_rpm", None)
    wheel["max_speed"] = draw(st.sampled_from(("32 m/s", "50 m/s", "63 m/s")))
    if "speed" in dress:
        dress["speed"] = f"{draw(st.integers(60, 99)) * 60000 * 0.0032 / math.pi / bench.biggest * 100:.1f} rpm"
    if bench.face:
        # the inside edge is slower than the middle of the rim, and must stay in the band
        wheel["width"] = mm(min(bench.width, bench.biggest * draw(st.sampled_from((0.02, 0.05, 0.08)))))
        stick["section"] = [wheel["width"], stick["section"][1]]
        dress["aggressiveness"] = draw(st.integers(2050, 2650)) / 10
    elif dress["lanes"] == "one" and bench.footprint > bench.width:
        if bench.tapered:
            stick["section"] = [wheel["width"], stick["section"][1]]
        else:
            stick["section"] = [mm(bench.width * 0.9 * math.cos(bench.angle)), stick["section"][1]]
    elif "lateral_axis" in dresser and not bench.angle and draw(st.integers(0, 3)):
        # by widths drawn alone every fifth program has lanes or stations, three of four of these stations
        dress["lanes"] = "all"
        stick["section"] = [
            mm(bench.width * draw(st.sampled_from((0.4, 0.7, 1.4, 1.8, 2.2, 3.1)))),
            stick["section"][1],
        ]
    recipe = {**recipe, "wheel": wheel, "stick": stick, "dress": {**dress, "overlap": "0.2 mm"}}
    bench = Bench(Pair(machine, recipe))
    dress = {**recipe["dress"], "plunge": mm(max(bench.depth, bench.bedding + draw(st.sampled_from((0.06, 1)))))}
    recipe["dress"] = dress
    small = number(wheel["diameter"][0])
    height = min(bench.height, small * 0.7)
    stick["section"] = [stick["section"][0], mm(height)]
    groove = 0.0 if bench.face else small / 2 - math.sqrt(small**2 / 4 - height**2 / 4)
    slant = 1.0 if bench.tapered else math.cos(bench.angle)
    gap = groove / slant + 7.01 + draw(st.integers(0, 200)) / 100
    dresser |= {"clearance": mm(gap), "feed": ["10 mm/min", "1200 mm/min"]}
    if bench.incremental:
        dresser |= {"stand_off": mm(gap), "dresses_per_set_up": draw(st.sampled_from((1, 1, 2, 20)))}
    bench = Bench(Pair({**machine, "dresser": dresser}, recipe))
    need = bench.shortest + 6 * 3 * number(dress["plunge"]) + 1
    stick["length"] = mm(max(bench.full, need))
    bench = Bench(Pair({**machine, "dresser": dresser}, recipe))
    axes = {letter: dict(axis) for letter, axis in machine["axes"].items()}
    axes[bench.axis]["max_feed"] = "2 m/min"
    if not bench.incremental:
        place = bench.contact(bench.new, bench.full) - bench.sign * (gap + draw(st.sampled_from((0, 0.01, 30))))
        dresser["parked"] = mm(place)
        far = bench.contact(bench.worn, bench.shortest) + bench.sign * draw(st.sampled_from((0.01, 3, 90)))
        axes[bench.axis]["travel"] = sorted((mm(place - bench.sign), mm(far)), key=number)
    spindle = {**machine["spindle"], "speed": ["100 rpm", draw(st.sampled_from(("30000 rpm", "12000 rpm")))]}
    return Pair({**machine, "dresser": dresser, "axes": axes, "spindle": spindle}, recipe)


# -- the property


@dataclass
class Tally:
    drawn: int = 0
    written: int = 0
    by_judge: int = 0
    in_lanes: int = 0
    """Those that go to several lanes or stations."""
    wider: int = 0
    """Those of them whose stick is wider than the wheel."""


def steps_of(program: Program, state: State) -> tuple[list[Step], str]:
    """What the program does at ``state`` on ``rs274`` if that can run it, else by the reader; and its complaints."""
    if not _judged(program):
        return list(read_back(program, state).steps), ""
    text = None if program.dress.machine.control == "rs274ngc" else as_rs274(hosted(program))
    verdict = ruling(program, state, text)
    return verdict.steps, verdict.error


def watch(bench: Bench, state: State, steps: Sequence[Step]) -> list[str]:
    """What the watch has against ``steps``, done at ``state``."""
    unit = 25.4 if bench.pair.has_registers and bench.pair.machine["registers"].get("units", "mm") == "inch" else 1.0
    unit = unit if bench.pair.has_registers else 25.4 if bench.pair.machine.get("units", "mm") == "inch" else 1.0
    size = state.values["wheel_gauge" if bench.face else "wheel_diameter"] * unit
    length = state.values["stick_length"] * unit
    return Watch(bench, size, length, dict(state.positions)).all(steps).faults


def _judged(program: Program) -> bool:
    """Whether ``rs274`` can run it: its own words, or plain address words that are not a subprogram."""
    control = program.dress.machine.control
    return control == "rs274ngc" or (control == "iso6983" and program.edition.form != "subprogram")


def _lanes(steps: Sequence[Step], pair: Pair) -> int:
    """At how many places across the stick a feed begins."""
    across = pair.machine["dresser"].get("lateral_axis", "")
    return len({step.to.get(across) for step in steps if isinstance(step, Move) and step.op == "feed"})


def test_what_is_written_stays_within_its_bounds() -> None:
    tally = Tally()

    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
    )
    @given(likely(plain=True), st.data())
    def holds(pair: Pair, data: st.DataObject) -> None:
        dress = pair.dress()
        tally.drawn += 1
        low, high = dress.length_range
        registers = pair.has_registers
        chosen = Options() if registers or low > high else data.draw(options(dress))
        try:
            program = build(dress.recipe, dress.machine, ("grinder", "dress"), chosen)
        except DressblockError:
            return
        if not program.accepted:
            return
        state = data.draw(accepted(dress)) if registers else program.state
        steps, complaint = steps_of(program, state)
        tally.written += 1
        tally.by_judge += _judged(program)
        tally.in_lanes += _lanes(steps, pair) > 1
        tally.wider += _lanes(steps, pair) > 1 and dress.first.lanes.stick_is_wider
        assert complaint == ""
        assert watch(Bench(pair), state, steps) == []

    holds()
    assert tally.written >= 0.6 * tally.drawn, tally
    assert tally.by_judge >= 0.2 * tally.written, tally
    assert tally.in_lanes >= 0.2 * tally.written, tally
    assert tally.wider >= 0.05 * tally.written, tally


Steps: TypeAlias = list[Step]
Harm: TypeAlias = Callable[[Steps], Steps]


def _first(steps: Steps, op: str, count: int = 0) -> int:
    return [index for index, step in enumerate(steps) if step.op == op][count]


def _instead(kind: str, count: int, **changes: Any) -> Harm:
    def harm(steps: Steps) -> Steps:
        at = _first(steps, kind, count)
        return [*steps[:at], steps[at]._replace(**changes), *steps[at + 1 :]]

    return harm


def _without(op: str, count: int = 0) -> Harm:
    def harm(steps: Steps) -> Steps:
        at = _first(steps, op, count)
        return [*steps[:at], *steps[at + 1 :]]

    return harm


def _further(op: str, count: int, by: float) -> Harm:
    def harm(steps: Steps) -> Steps:
        at = _first(steps, op, count)
        move = steps[at]
        assert isinstance(move, Move)
        return [*steps[:at], move._replace(to={**move.to, "U": move.to["U"] + by}), *steps[at + 1 :]]

    return harm


def _behind(op: str, count: int, *new: Step) -> Harm:
    def harm(steps: Steps) -> Steps:
        at = _first(steps, op, count) + 1
        return [*steps[:at], *new, *steps[at:]]

    return harm


# the design's example: park, X none, Z to its lane, M3, waits, U 43.5, U 43.5 at 400, U 55.5 at 300, U 0
HARMS: dict[str, tuple[Harm, str]] = {
    "not parked first": (_without("rapid", 0), "first motion"),
    "lateral while not parked": (
        _behind("feed", 0, Move("rapid", 0, {"U": 43.5, "Z": 9.0}, None, ("Z",), "")),
        "not parked",
    ),
    "rapid into the wheel": (_instead("feed", 1, op="rapid", rate=None), "rapid to"),
    "rapid past the envelope": (_further("rapid", 2, 0.1), "rapid to"),
    "too deep": (_further("feed", 1, 0.1), "planned"),
    "too shallow": (_further("feed", 1, -0.1), "planned"),
    "past the travel": (_further("feed", 1, 150.0), "travel"),
    "never there": (_without("feed", 1), "never meets"),
    "too fast": (_instead("feed", 1, rate=390.0), "aggressiveness"),
    "too slow": (_instead("feed", 1, rate=200.0), "aggressiveness"),
    "more than the dresser has": (_instead("feed", 1, rate=410.0), "allowed"),
    "not drawn back": (_without("rapid", 3), "ends in contact"),
    "drawn back at a feed": (_instead("rapid", 3, op="feed", rate=100.0), "drawn back at a feed"),
    "drawn back a little": (_further("rapid", 3, 52.0), "drawn back to"),
    "backwards": (_instead("spindle", 0, direction="ccw"), "wrong way"),
    "never started": (_without("spindle", 0), "does not turn"),
    "above the marking": (_instead("spindle", 0, rpm=9700.0), "marked"),
    "more than the spindle has": (_instead("spindle", 0, rpm=6100.0), "spindle 500"),
    "no wait": (_without("dwell", 0), "spindle had"),
    "coolant off": (_without("coolant", 0), "coolant"),
    "coolant not waited for": (_without("dwell", 1), "coolant"),
    "wait in contact": (_behind("feed", 1, Dwell(0, 1.0)), "dwell before"),
    "switch in contact": (_behind("feed", 1, Coolant(0, False)), "coolant before"),
    "spindle left on": (_without("spindle", 1), "left on"),
}


@pytest.mark.parametrize("name", HARMS)
def test_the_watch_sees_what_it_is_there_for(name: str) -> None:
    harm, said = HARMS[name]
    machine = tables(MACHINE, {"dresser.jaw": "0 mm"})
    pair = Pair(machine, tables(RECIPE, {"stick.section": ["10 mm", "20 mm"], "dress.lanes": "all"}))
    program = pair.program(Options(resolve=True))
    steps = read_back(program, program.state).steps
    assert watch(Bench(pair), program.state, steps) == []
    assert any(said in fault for fault in watch(Bench(pair), program.state, harm(list(steps))))
