"""What a plan does, held against the design's own formulas worked out again in plain numbers.

Nothing here asks the plan's own modules for a position, a speed or a feed: only
the number of lanes and where they lie are taken from ``gen.physics.lanes``, which has
its own tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from example_files import MACHINE, RECIPE, tables
from gen.control.draft import Program
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Aux, Coolant, Dwell, End, Move, Spindle, Step, Write
from strategies import CONTROLS, WITH_VARIABLES, Pair, accepted, options, pairs

thorough = settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@dataclass(repr=False)
class Run:
    """A plan at a state, and that state in mm."""

    program: Program
    state: State
    steps: list[Step]

    def __post_init__(self) -> None:
        dress, grid = self.program.dress, self.program.dialect.grid
        self.recipe, self.machine = dress.recipe, dress.machine
        keys: Any = dress.dresser
        self.dresser = keys  # a slide of either kind
        self.unit = float(grid.mm_per_unit)
        self.step, self.feed_step = float(grid.length) * self.unit, float(grid.feed) * self.unit
        self.sign = 1 if keys.toward_wheel == "+" else -1
        register = float(dress.register_unit)
        self.size = self.state.values[dress.first.size_name] * register
        self.length = self.state.values["stick_length"] * register
        self.offsets, self.wider = dress.first.lanes.offsets, dress.first.lanes.stick_is_wider
        steps = self.recipe.dress.plunge / grid.mm_per_unit / grid.length
        self.depth = float(steps.quantize(Decimal(1), ROUND_HALF_UP) * grid.length * grid.mm_per_unit)

    def __repr__(self) -> str:
        return f"Run of\n{self.program.text}\nat {self.state}"

    @property
    def alpha(self) -> float:
        return math.radians(float(self.recipe.wheel.taper or self.dresser.inclination))

    def contact(self, size: float, length: float) -> float:
        """Design section 5: datum − s (L + D/2), inclined: D/(2 cos α) + (w/2) tan α; face: G."""
        assert self.dresser.datum is not None
        half = size if self.recipe.wheel.contact == "face" else size / 2
        if self.dresser.inclination:
            half = half / math.cos(self.alpha) + float(self.recipe.stick.section[0]) / 2 * math.tan(self.alpha)
        return float(self.dresser.datum) - self.sign * (length + half)

    def forward(self, position: float, past: float) -> float:
        """How far ``position`` lies past another one, toward the wheel, mm."""
        return self.sign * (position - past)

    @property
    def nominal(self) -> float:
        wheel = self.recipe.wheel
        return float(wheel.diameter[1] - wheel.width) if wheel.contact == "face" else self.size

    @property
    def fastest_in_band(self) -> float:
        """F = 10⁻⁶ · Aggr · π D n / cos α at the top of the band, as much slower as the slowest place is at worst."""
        wheel = self.recipe.wheel
        worn, new = (float(end) for end in wheel.diameter)
        share = 1.0
        if wheel.contact == "face":
            share = (worn - 2 * float(wheel.width)) / (new - float(wheel.width))
        elif wheel.taper:
            share = 1 - 2 * float(wheel.width) * math.tan(self.alpha) / worn
        top = float(self.recipe.dress.band[1]) * share
        return 1e-6 * top * math.pi * self.nominal * self.rpm / math.cos(self.alpha)

    @property
    def rpm(self) -> float:
        spindles = [step for step in self.steps if isinstance(step, Spindle)]
        assert [step.direction for step in spindles] == [self.machine.spindle.direction, "off"]
        return spindles[0].rpm

    def place(self, wanted: Step) -> int:
        """Where ``wanted`` stands among the steps; another one may be equal to it."""
        return next(place for place, step in enumerate(self.steps) if step is wanted)

    @property
    def strokes(self) -> list[list[Move]]:
        """The plunge axis's moves of each visit, without the parking at the beginning."""
        axis = self.dresser.plunge_axis
        moves = [step for step in self.steps if isinstance(step, Move) and step.axes == (axis,)]
        if self.dresser.motion == "incremental":
            return [moves[first : first + 2] for first in range(0, len(moves), 2)]
        count = 4 if self.dresser.approach == "envelope" else 3
        return [moves[first : first + count] for first in range(1, len(moves), count)]


@st.composite
def runs(draw: st.DrawFn, *, controls: tuple[str, ...] = CONTROLS, registers: bool | None = None) -> Run:
    pair = draw(pairs(controls=controls, registers=registers, forms=("program",)))
    dress = pair.dress()
    if pair.has_registers:
        program = pair.program()
        state = draw(accepted(dress))
    else:
        program = pair.program(draw(options(dress)))
        state = program.state
    return Run(program, state, at(program.plan, state))


absolute = runs().filter(lambda run: run.dresser.motion == "absolute")
incremental = runs().filter(lambda run: run.dresser.motion == "incremental")


@thorough
@given(runs())
def test_the_spindle_turns_as_asked_and_never_above_marking_or_spindle(run: Run) -> None:
    dress, wheel = run.recipe.dress, run.recipe.wheel
    new = float(wheel.diameter[1])
    marked = [float(wheel.max_rpm)] if wheel.max_rpm else []
    marked += [60_000 * float(wheel.max_speed) / (math.pi * new)] if wheel.max_speed else []
    assert run.rpm == int(run.rpm)
    if dress.speed is not None:
        assert run.rpm == math.floor(dress.speed)
        return
    assert dress.wheel_speed is not None
    most = min(*marked, float(run.machine.spindle.speed[1]))
    asked = 60_000 * float(dress.wheel_speed) / (math.pi * run.nominal)
    assert run.rpm <= most
    assert run.rpm == pytest.approx(min(asked, math.floor(most)), abs=0.5 + 1e-3)


@thorough
@given(runs())
def test_the_plunge_feed_makes_the_target_at_the_speed_that_turns(run: Run) -> None:
    target = float(run.recipe.dress.aggressiveness)
    # design section 4: F = 10⁻⁶ · Aggr · π D n / cos α
    wanted = 1e-6 * target * math.pi * run.nominal * run.rpm / math.cos(run.alpha)
    for stroke in run.strokes:
        feed = stroke[0] if run.dresser.motion == "incremental" else stroke[-2]
        assert feed.op == "feed"
        assert feed.rate == pytest.approx(wanted, abs=run.feed_step * 0.501)


@thorough
@given(absolute)
def test_every_plunge_begins_clear_of_the_stick_and_ends_at_its_depth(run: Run) -> None:
    asked, clearance = run.recipe.dress, float(run.dresser.clearance)
    strokes = run.strokes
    assert len(strokes) == asked.plunges * len(run.offsets)
    assert run.dresser.parked is not None
    parked = float(run.dresser.parked)
    dress = run.program.dress
    earliest = run.contact(float(dress.first.size_range[1]), float(run.recipe.stick.length))
    for number, stroke in enumerate(strokes):
        cuts = number // len(run.offsets) if run.wider else number
        contact = run.contact(run.size, run.length - cuts * run.depth)
        last = number == len(strokes) - 1
        *approach, start, end, back = stroke
        # rounded away from the wheel, by less than a step of the program for each of the two numbers
        assert clearance - 1e-6 <= -run.forward(start.to[run.dresser.plunge_axis], contact) <= clearance + 2 * run.step
        depth = run.forward(end.to[run.dresser.plunge_axis], contact)
        assert run.depth - run.step - 1e-6 <= depth <= run.depth + 1e-6
        for move in approach:
            held_off = -run.forward(move.to[run.dresser.plunge_axis], earliest)
            assert move.op == "rapid"
            assert clearance - 1e-6 <= held_off <= clearance + 2 * run.step
        if approach:
            # no faster than dresser and axis, nor than the top of the band where the wheel works slowest
            most = min(run.dresser.feed[1], run.machine.axes[run.dresser.plunge_axis].max_feed)
            fastest = min(float(most), run.fastest_in_band)
            assert start.op == "feed"
            assert start.rate is not None
            assert fastest - run.feed_step - 1e-3 <= start.rate <= fastest + 1e-6
        else:
            assert start.op == "rapid"
        assert (end.op, back.op) == ("feed", "rapid")
        behind = back.to[run.dresser.plunge_axis]
        if last or len(run.offsets) > 1:
            assert behind == pytest.approx(parked, abs=run.step)
        else:
            assert -run.forward(behind, earliest) >= clearance - 1e-6


@thorough
@given(absolute)
def test_nothing_but_the_plunge_axis_acts_between_approach_and_retract(run: Run) -> None:
    axis = run.dresser.plunge_axis
    for stroke in run.strokes:
        first = run.place(stroke[0])
        assert [step is move for step, move in zip(run.steps[first:], stroke, strict=False)] == [True] * len(stroke)
    for before, step in zip(run.steps, run.steps[1:], strict=False):
        if isinstance(step, Move) and step.axes != (axis,):
            assert step.op == "rapid"
            assert len(step.axes) == 1
            assert step.to[axis] == pytest.approx(float(run.dresser.parked or 0), abs=run.step), before


@thorough
@given(runs())
def test_other_axes_go_in_the_order_written_then_the_lateral_one(run: Run) -> None:
    axis, across = run.dresser.plunge_axis, run.dresser.lateral_axis
    others = [step for step in run.steps if isinstance(step, Move) and step.axes != (axis,)]
    held = list(run.dresser.at.items())
    for (letter, place), move in zip(held, others, strict=False):
        assert move.axes == (letter,)
        assert move.to[letter] == pytest.approx(float(place), abs=run.step if letter not in "ABC" else 0.001)
    lanes = others[len(held) :]
    if across is None or run.recipe.wheel.lateral is None:
        assert lanes == []
        return
    sense = 1 if run.dresser.lateral_sign == "+" else -1
    visits = list(run.offsets) * run.recipe.dress.plunges if len(run.offsets) > 1 else [0.0]
    # geometry: on a wheel worn by ΔD the inclined plunge's line crosses the surface ΔD/2 · tan α further on
    slope = math.tan(math.radians(float(run.dresser.inclination)))
    aside = (float(run.recipe.wheel.diameter[1]) - run.size) / 2 * slope
    follows = {"+": aside, "-": -aside, None: 0.0}[run.dresser.recentre]
    expected = [float(run.recipe.wheel.lateral) + follows + sense * offset for offset in visits]
    assert [move.axes for move in lanes] == [(across,)] * len(expected)
    assert [move.to[across] for move in lanes] == pytest.approx(expected, abs=run.step)


@thorough
@given(runs())
def test_spindle_and_coolant_run_and_have_waited_before_the_stick_comes_near(run: Run) -> None:
    axis = run.dresser.plunge_axis
    first = run.place(run.strokes[0][0])
    started = [step for step in run.steps[:first] if isinstance(step, (Spindle, Dwell, Coolant))]
    spindle = run.machine.spindle
    expected: list[Step] = [Spindle(0, run.rpm, spindle.direction), Dwell(0, float(spindle.spin_up))]
    if run.recipe.dress.coolant:
        expected += [Coolant(0, True), Dwell(0, float(run.dresser.coolant_wait))]
    assert differences(expected, started) == []
    last = max(place for place, step in enumerate(run.steps) if isinstance(step, Move) and step.axes == (axis,))
    between = [step for step in run.steps[first:last] if isinstance(step, (Spindle, Dwell, Coolant))]
    assert between == []
    ending: list[Step] = [*([Coolant(0, False)] if run.recipe.dress.coolant else []), Spindle(0, 0.0, "off"), End(0)]
    assert differences(ending, [step for step in run.steps[last + 1 :] if not isinstance(step, (Aux, Write))]) == []


@thorough
@given(incremental)
def test_a_slide_ends_one_plunge_further_on_for_each_cut(run: Run) -> None:
    axis, gap = run.dresser.plunge_axis, run.dresser.stand_off
    assert gap is not None
    stood = run.state.positions[axis]
    for number, (forth, back) in enumerate(run.strokes):
        cuts = number // len(run.offsets) if run.wider else number
        advance = not run.wider or (number + 1) % len(run.offsets) == 0
        begun = stood + run.sign * cuts * run.depth
        assert run.forward(forth.to[axis], begun) == pytest.approx(float(gap) + run.depth, abs=run.step)
        assert run.forward(back.to[axis], begun) == pytest.approx(run.depth if advance else 0, abs=run.step * 0.01)
        assert (forth.op, back.op) == ("feed", "rapid")
        assert forth.frame == back.frame == "incremental"


@thorough
@given(runs(controls=WITH_VARIABLES, registers=True))
def test_what_is_written_and_when(run: Run) -> None:
    table = {number: name for name, number in run.program.plan.registers.items()}
    placed = enumerate(run.steps)
    writes = [(place, table[step.register], step.value) for place, step in placed if isinstance(step, Write)]
    first = run.place(run.strokes[0][0])
    last = max(place for place, step in enumerate(run.steps) if isinstance(step, Move))
    assert (writes[0][1:], writes[-1][1:]) == (("in_progress", 1), ("in_progress", 0))
    assert writes[0][0] < first
    assert writes[-1][0] > last
    counts = [(place, value) for place, name, value in writes if name == "parts_since_dress"]
    assert [value for _, value in counts] == [0] * ("parts_since_dress" in table.values())
    assert all(last < place < writes[-1][0] for place, _ in counts)
    lengths = [(place, value) for place, name, value in writes if name == "stick_length"]
    if run.dresser.motion == "incremental":
        assert lengths == []
        return
    cuts = run.recipe.dress.plunges * (1 if run.wider else len(run.offsets))
    unit = float(run.program.dress.register_unit)
    left = [(run.length - run.depth * (cut + 1)) / unit for cut in range(cuts)]
    assert [value for _, value in lengths] == pytest.approx(left, abs=1e-6)
    for place, _ in lengths:
        retract, wait = run.steps[place - 2 : place]
        assert isinstance(wait, Aux), "written only when the motion before has ended"
        assert wait.function == "synchronise"
        assert retract.op == "rapid"


def test_the_designs_own_example_by_hand() -> None:
    """Design section 6's files at D = 110, L = 120, each number worked out on paper.

    n = 60000 · 20 / (π · 110) = 3472.47 → 3472; F = 250 · 10⁻⁶ · π · 110 · 3472 = 299.96 → 300.0;
    at the top of the band 300 · 10⁻⁶ · π · 110 · 3472 = 359.95 → 359.9;
    contact = 260 − (120 + 55) = 85; envelope = 260 − (150 + 62.5) − 4 = 43.5.
    """
    program = Pair(tables(MACHINE, {}), tables(RECIPE, {})).program()
    steps = at(program.plan, program.dress.state(Decimal(110), Decimal(120)))
    moves = [(step.op, step.axes[0], step.to[step.axes[0]], step.rate) for step in steps if isinstance(step, Move)]
    assert moves == [
        ("rapid", "U", 0, None),
        ("rapid", "Z", 42.5, None),
        ("rapid", "U", 43.5, None),
        ("feed", "U", 81, 359.9),
        ("feed", "U", 93, 300),
        ("rapid", "U", 0, None),
    ]
    assert [step for step in steps if isinstance(step, (Spindle, Dwell, Coolant))] == [
        Spindle(0, 3472, "cw"),
        Dwell(0, 3),
        Coolant(0, True),
        Dwell(0, 2),
        Coolant(0, False),
        Spindle(0, 0, "off"),
    ]
    assert [(step.register, step.value) for step in steps if isinstance(step, Write)] == [
        (504, 1),
        (502, 112),
        (503, 0),
        (504, 0),
    ]
