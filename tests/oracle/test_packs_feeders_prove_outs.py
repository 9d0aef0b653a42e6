"""Packs, timed feeders and prove-outs: what is written stays within its bounds, judged by simulations of their own.

Like the watch of ``test_never_out_of_bounds``, these know the files as tables
of text and the steps of a program, and share nothing with the rules.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from test_never_out_of_bounds import EXAMPLES, NEAR, Bench, likely, number, steps_of

import feeder_bench
import pack_bench
from changed import changed
from gen.base.errors import DressblockError
from gen.base.finding import Change, Finding
from gen.bounds.build import build
from gen.control.options import Options
from gen.jobs.advice import advised
from gen.plan.node import State
from gen.plan.step import Aux, Coolant, Dwell, End, Move, Refuse, Spindle, Step, Stop, Write
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from strategies import Pair, Table, accepted, options, read_back

FEWER = max(40, EXAMPLES // 3)
USUAL = settings(
    max_examples=FEWER,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much, HealthCheck.data_too_large],
)


def spindle_faults(pair_machine: Table, marked: float, steps: Sequence[Step]) -> list[str]:
    """Speeds beyond the spindle's or the marking, and the wrong way round; left on at the end."""
    low, high = (number(end) for end in pair_machine["spindle"]["speed"])
    turns = [step for step in steps if isinstance(step, Spindle)]
    faults = [
        f"{step}"
        for step in turns
        if step.direction != "off"
        and (
            step.direction != pair_machine["spindle"]["direction"]
            or not low - 1e-6 <= step.rpm <= min(high, marked) + 1e-6
        )
    ]
    left_on = bool(turns) and turns[-1].direction != "off"
    wet = [step.on for step in steps if isinstance(step, Coolant)]
    return faults + ["spindle left on"] * left_on + ["coolant left on"] * (wet[-1:] == [True])


def travel_faults(machine: Table, steps: Sequence[Step]) -> list[str]:
    faults = []
    for step in steps:
        for axis in step.axes if isinstance(step, Move) else ():
            low, high = (number(end) for end in machine["axes"][axis]["travel"])
            if isinstance(step, Move) and axis in step.to and not low - NEAR <= step.to[axis] <= high + NEAR:
                faults.append(f"{axis} to {step.to[axis]}, travel {low} to {high}")
    return faults


# -- prove-outs


def with_room(pair: Pair) -> Pair:
    """``pair`` as a whole program, its dresser parked 40 mm further back, its slide long enough for that.

    An incremental slide is taken to stand in the middle of its travel, and not at its end.
    """
    bench = Bench(pair)
    long = {**pair.machine["axes"][bench.axis], "travel": ["-2000 mm", "2000 mm"]}
    dresser = dict(pair.machine["dresser"])
    dresser["parked"] = "0 mm" if bench.incremental else f"{bench.parked - 40 * bench.sign:.3f} mm"
    axes = {**pair.machine["axes"], bench.axis: long}
    recipe = {**pair.recipe, "form": "program"}
    return Pair({**pair.machine, "dresser": dresser, "axes": axes}, recipe)


def test_a_prove_out_touches_nothing_and_writes_nothing() -> None:
    tally = {"drawn": 0, "written": 0}

    @USUAL
    @given(likely(plain=True), st.data())
    def holds(pair: Pair, data: st.DataObject) -> None:
        pair = with_room(pair)
        dress = pair.dress()
        tally["drawn"] += 1
        if not pair.has_registers and dress.length_range[0] > dress.length_range[1]:
            return
        chosen = Options() if pair.has_registers else data.draw(options(dress))
        try:
            program = build(dress.recipe, dress.machine, ("grinder", "dress"), replace(chosen, purpose="prove-out"))
        except DressblockError:
            return
        if not program.accepted:
            return
        tally["written"] += 1
        state = data.draw(accepted(dress)) if pair.has_registers else program.state
        steps, complaint = steps_of(program, state)
        assert complaint == ""
        bench = Bench(pair)
        assert travel_faults(pair.machine, steps) + spindle_faults(pair.machine, bench.marked, steps) == []
        assert not [step for step in steps if isinstance(step, Write | Refuse)]
        # the nearest that a stick can come: the new wheel and the full stick, or where an incremental slide stands
        start = state.positions.get(bench.axis)
        nearest = bench.contact(bench.new, bench.full) - bench.sign * bench.gap if start is None else start
        places = [step.to[bench.axis] for step in steps if isinstance(step, Move) and bench.axis in step.to]
        assert places
        assert all(bench.sign * (nearest - place) >= -NEAR for place in places), (nearest, places)

    holds()
    assert tally["written"] >= 0.6 * tally["drawn"], tally


# -- packs


@dataclass
class PackWatch:
    """The end of one stick, and several wheels on one spindle; ``faults`` says what it must never see."""

    machine: Table
    recipe: Table
    state: State
    faults: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.wheels: list[Table] = self.recipe["wheel"]
        dresser = self.machine["dresser"]
        self.axis, self.across = dresser["plunge_axis"], dresser["lateral_axis"]
        self.datum, self.gap = number(dresser["datum"]), number(dresser["clearance"])
        self.half = number(self.recipe["stick"]["section"][0]) / 2
        self.cuts: list[tuple[float, float, float]] = []
        self.places: dict[str, float] = {}
        self.rpm, self.opened = 0.0, set[int]()

    def contact(self, wheel: int) -> float:
        values = self.state.values
        names = [name for name in values if name.startswith("wheel_diameter")]
        return self.datum - (values["stick_length"] + values[sorted(names)[wheel]] / 2)

    def pieces(self, low: float, high: float) -> list[tuple[float, float, float]]:
        """The stretches of the end from ``low`` to ``high``, with how deep each is cut."""
        low, high = max(low, -self.half), min(high, self.half)
        if low >= high:
            return []
        edges = sorted({low, high, *(edge for cut in self.cuts for edge in cut[:2] if low < edge < high)})
        return [
            (a, b, max([cut[2] for cut in self.cuts if cut[0] < (a + b) / 2 < cut[1]], default=0.0))
            for a, b in pairwise(edges)
            if b - a > 0.03
        ]

    def over(self, wheel: int, place: float) -> tuple[float, float]:
        """What of the stick's end lies under a wheel when the lateral axis stands at ``place``."""
        middle, width = place - number(self.wheels[wheel]["lateral"]), number(self.wheels[wheel]["width"])
        return middle - width / 2, middle + width / 2

    def all(self, steps: Sequence[Step]) -> list[str]:
        for step in steps:
            if isinstance(step, Spindle):
                self.rpm = 0.0 if step.direction == "off" else step.rpm
            if isinstance(step, Move):
                self.move(step)
        missed = set(range(len(self.wheels))) - self.opened
        return self.faults + [f"wheel {wheel} is not opened" for wheel in sorted(missed)]

    def move(self, move: Move) -> None:
        before = dict(self.places)
        self.places.update(move.to)
        if self.axis not in self.places or self.across not in self.places:
            return
        stands = self.places[self.axis]
        moved = {axis for axis in move.to if abs(move.to[axis] - before.get(axis, math.inf)) > 0.003}
        for wheel in range(len(self.wheels)):
            deep = stands - self.contact(wheel)
            if self.across in moved and self.across in before:
                ends = [self.over(wheel, place[self.across]) for place in (before, self.places)]
                swept = min(end[0] for end in ends), max(end[1] for end in ends)
                if swept[0] < self.half and swept[1] > -self.half and deep > -NEAR:
                    self.faults.append(f"{self.across} moves with the stick at wheel {wheel}, {deep} past its contact")
            if self.axis in moved:
                self.plunge(move, wheel, deep)

    def plunge(self, move: Move, wheel: int, deep: float) -> None:
        low, high = self.over(wheel, self.places[self.across])
        bite = max([deep - cut for _, _, cut in self.pieces(low, high)], default=-math.inf)
        if bite <= NEAR:
            return
        dress, own = self.recipe["dress"], self.wheels[wheel]
        if move.op != "feed":
            self.faults.append(f"rapid {bite} deep into wheel {wheel}")
            return
        planned = number(own.get("plunge", dress["plunge"]))
        if abs(bite - planned) > NEAR:
            self.faults.append(f"wheel {wheel} takes {bite}, {planned} planned")
        diameter = 2 * (self.datum - self.contact(wheel) - self.state.values["stick_length"])
        aggressiveness = 1e6 * (move.rate or 0) / (math.pi * diameter * max(self.rpm, 1.0))
        slack = 1e6 * 0.13 / (math.pi * diameter * max(self.rpm, 1.0))
        if not 200 - slack <= aggressiveness <= 300 + slack:
            self.faults.append(f"aggressiveness {aggressiveness} on wheel {wheel}")
        self.opened.add(wheel)
        self.cuts.append((low, high, deep))


@st.composite
def packs(draw: st.DrawFn) -> tuple[Table, Table]:
    """A grinder with two or three wheels on its spindle, beside each other or with room between them."""
    wheels, at = [], 30.0
    for _ in range(draw(st.integers(2, 3))):
        width, small = draw(st.integers(4, 24)), draw(st.integers(85, 150))
        at += draw(st.integers(10, 40)) + width / 2
        own: Table = draw(st.sampled_from(({}, {"aggressiveness": 220}, {"wheel_speed": "18 m/s"}, {})))
        large = f"{small + draw(st.integers(0, 15))} mm"
        wheels.append(pack_bench.wheel((f"{small} mm", large), f"{width} mm", f"{at} mm", **own))
        at += width / 2
    section = [f"{draw(st.integers(6, 30))} mm", "20 mm"]
    plunge = f"{draw(st.integers(10, 50)) / 10} mm"
    recipe = changed(pack_bench.RECIPE, {"wheel": wheels, "stick.section": section, "dress.plunge": plunge})
    return changed(pack_bench.MACHINE, {"dresser.clearance": "8 mm"}), recipe


def test_a_pack_is_dressed_within_its_bounds() -> None:
    tally = {"drawn": 0, "written": 0}

    @USUAL
    @given(packs(), st.booleans())
    def holds(pack: tuple[Table, Table], resolve: bool) -> None:
        machine, recipe = pack
        tally["drawn"] += 1
        made = Recipe.model_validate(recipe), Machine.model_validate(machine)
        try:
            program = build(*made, ("bench", "pack"), Options(resolve=resolve))
        except DressblockError:
            return
        if not program.accepted:
            return
        tally["written"] += 1
        state = program.state
        steps, complaint = steps_of(program, state)
        assert complaint == ""
        assert travel_faults(machine, steps) == []
        assert spindle_faults(machine, 63 * 60000 / math.pi / 85, steps) == []
        assert PackWatch(machine, recipe, state).all(steps) == []

    holds()
    assert tally["written"] >= 0.6 * tally["drawn"], tally


# -- timed feeders


def feeder_faults(machine: Table, recipe: Table, state: State, steps: Sequence[Step]) -> list[str]:
    """What a stick does that moves by time alone, at the slowest and at the fastest its valve may be."""
    dresser, dress = machine["dresser"], recipe["dress"]
    rate, stand_off = number(dresser["rate"]) / 60, number(dresser["stand_off"])
    tolerance = float(dresser["rate_tolerance"].split()[0]) / 100
    faults, out, rest, waited, turning = [], 0.0, math.inf, 0.0, Spindle(0, 0.0, "off")
    switched, plunges, taken = False, 0, 0.0
    for step in steps:
        match step:
            case Dwell():
                waited += step.seconds
                rest += step.seconds
                out += step.seconds if switched else 0.0
            case Spindle():
                waited = 0.0 if (step.rpm, step.direction) != (turning.rpm, turning.direction) else waited
                turning = step
            case Aux(function="feeder-on"):
                switched, out = True, 0.0
                if waited < number(machine["spindle"]["spin_up"]) - 1e-6:
                    faults.append(f"the stick comes {waited} s after the spindle was told")
                if turning.direction != machine["spindle"]["direction"]:
                    faults.append("the stick comes, and the wheel does not turn as it must")
            case Aux(function="feeder-off"):
                if not switched:
                    continue
                switched, rest, plunges = False, 0.0, plunges + 1
                deep = out * rate - stand_off - taken
                taken += deep
                if abs(deep - number(dress["plunge"])) > rate * 0.05 + NEAR:
                    faults.append(f"{deep} deep, {dress['plunge']} planned")
                speed = math.pi * state.values["wheel_diameter"] * turning.rpm / 60
                for share in (1 - tolerance, 1 + tolerance):
                    aggressiveness = 1e6 * rate * share / speed
                    if not float(dress["band"][0]) <= aggressiveness <= float(dress["band"][1]):
                        faults.append(f"aggressiveness {aggressiveness}")
        if switched and isinstance(step, Move | Spindle | Coolant | Stop | Write | End):
            faults.append(f"{step.op} while the stick is out")
        if isinstance(step, Move) and rest < number(dresser["retract_wait"]) - 1e-6:
            faults.append(f"a move {rest} s after the stick was drawn back")
    return faults + ["the stick is left out"] * switched + ["never meets the wheel"] * (plunges == 0)


@st.composite
def feeders(draw: st.DrawFn) -> tuple[Table, Table]:
    """A bench with an air feeder set near what its recipe wants."""
    small = draw(st.integers(80, 120))
    speed, target = draw(st.integers(16, 24)), draw(st.integers(235, 265))
    rate = round(0.06 * target * speed * draw(st.integers(95, 105)) / 100)
    machine: dict[str, Any] = {
        "dresser.rate": f"{rate} mm/min",
        "dresser.rate_tolerance": f"{draw(st.integers(1, 8))} %",
        "dresser.air_tolerance": f"{draw(st.integers(1, 10))} %",
        "dresser.stand_off": f"{draw(st.integers(40, 90)) / 10} mm",
        "dresser.retract_wait": f"{draw(st.integers(5, 20)) / 10} s",
        "spindle.spin_up": f"{draw(st.integers(1, 6))} s",
    }
    if draw(st.booleans()):
        machine |= feeder_bench.ON_AN_OUTPUT
    recipe = {
        "wheel.diameter": [f"{small} mm", f"{small + draw(st.integers(0, 20))} mm"],
        "dress.wheel_speed": f"{speed} m/s",
        "dress.aggressiveness": target,
        "dress.plunge": f"{draw(st.integers(10, 80)) / 10} mm",
        "dress.plunges": draw(st.integers(1, 3)),
    }
    return changed(feeder_bench.MACHINE, machine), changed(feeder_bench.RECIPE, recipe)


def test_a_timed_feeder_stays_within_its_bounds() -> None:
    tally = {"drawn": 0, "written": 0}

    @USUAL
    @given(feeders(), st.booleans())
    def holds(bench: tuple[Table, Table], resolve: bool) -> None:
        machine, recipe = bench
        tally["drawn"] += 1
        made = Recipe.model_validate(recipe), Machine.model_validate(machine)
        try:
            program = build(*made, ("bench", "opening"), Options(resolve=resolve and "registers" in machine))
        except DressblockError:
            return
        if not program.accepted:
            return
        tally["written"] += 1
        reading = read_back(program, program.state)
        marked = 63 * 60000 / math.pi / number(recipe["wheel"]["diameter"][1])
        assert travel_faults(machine, reading.steps) + spindle_faults(machine, marked, reading.steps) == []
        assert feeder_faults(machine, recipe, program.state, reading.steps) == []

    holds()
    assert tally["written"] >= 0.6 * tally["drawn"], tally


# -- what would help


def applied(change: Change, recipe: Table, machine: Table) -> None:
    """Makes ``change`` in the tables, by its key."""
    place: Any = recipe if change.file == "recipe" else machine
    *path, last = change.key.split(".")
    for part in path:
        name, _, index = part.rstrip("]").partition("[")
        place = place.setdefault(name, {})
        place = place[int(index)] if index else place
    if change.value is None:
        place.pop(last, None)
    else:
        place[last] = change.value


TIGHTER = [
    Change("machine", "dresser.feed", ["10 mm/min", "200 mm/min"], ""),
    Change("machine", "dresser.clearance", "1 mm", ""),
    Change("machine", "spindle.speed", ["100 rpm", "900 rpm"], ""),
    Change("machine", "dresser.min_stick", "90 mm", ""),
    Change("recipe", "dress.aggressiveness", 320, ""),
    Change("recipe", "wheel.max_speed", "15 m/s", ""),
    Change("recipe", "dress.plunge", "20 mm", ""),
]


def test_what_is_proposed_is_accepted() -> None:
    tally = {"refused": 0, "proposed": 0}

    @USUAL
    @given(
        likely(plain=True, registers=True, controls=("rs274ngc",)),
        st.lists(st.sampled_from(TIGHTER), min_size=1, max_size=2),
    )
    def holds(pair: Pair, harms: list[Change]) -> None:
        recipe, machine = copy.deepcopy(pair.recipe), copy.deepcopy(pair.machine)
        for harm in harms:
            applied(harm, recipe, machine)

        def judged(recipe: Table, machine: Table) -> tuple[Finding, ...] | None:
            try:
                return build(Recipe.model_validate(recipe), Machine.model_validate(machine), ("a", "b")).findings
            except (DressblockError, ValueError):
                return None

        found = judged(recipe, machine)
        if found is None or not broken(found):
            return
        tally["refused"] += 1
        changes = {one.changes[0] for one in advised(found, recipe, machine, judged) if one.changes}
        if not changes:
            return
        tally["proposed"] += 1
        for change in changes:
            applied(change, recipe, machine)
        assert broken(judged(recipe, machine) or ()) == [], changes

    holds()
    assert tally["proposed"] >= 0.5 * tally["refused"] > 0, tally


def broken(findings: Sequence[Finding]) -> list[str]:
    return [finding.rule for finding in findings if finding.severity == "error"]
