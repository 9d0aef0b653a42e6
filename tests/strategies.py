"""Machines and recipes that validation lets through, and the states a dress of theirs accepts.

What is drawn is the files' own tables, text with units, so that a test can
change a key and build the same pair for another control.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, Literal, TypeAlias

from hypothesis import assume
from hypothesis import strategies as st

from gen.bounds.readback import read_state
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.order.guards import REGISTER_STEP
from gen.plan.node import State
from gen.reader import Reading, lower, run
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

Table: TypeAlias = dict[str, Any]
Draw: TypeAlias = st.DrawFn

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983")
WITH_VARIABLES = ("rs274ngc", "hash-variables", "r-variables")
INCH = Decimal("25.4")
REGISTERS: Table = {
    "wheel_diameter": 501,
    "wheel_gauge": 505,
    "stick_length": 502,
    "in_progress": 504,
    "scratch": [590, 599],
}


@dataclass(frozen=True)
class Pair:
    """The tables of a machine file and a recipe file that go together."""

    machine: Table
    recipe: Table

    def __repr__(self) -> str:
        return f"Pair({self.machine!r},\n     {self.recipe!r})"

    @property
    def incremental(self) -> bool:
        return bool(self.machine["dresser"].get("motion") == "incremental")

    @property
    def has_registers(self) -> bool:
        return "registers" in self.machine

    def dress(self) -> Dress:
        return Dress(Recipe.model_validate(self.recipe), Machine.model_validate(self.machine))

    def on(self, control: str) -> Pair:
        """The same pair, on another control."""
        return replace(self, machine={**self.machine, "control": control})

    def in_plain_words(self) -> Pair:
        """The same pair, its machine without words of its own; a timed feeder depends on a digital output."""
        if self.machine["dresser"]["kind"] != "timed":
            return replace(self, machine={**self.machine, "codes": {}})
        codes = {"feeder_on": "M64 P0", "feeder_off": "M65 P0"}
        dresser = {**self.machine["dresser"], "single_block": "inhibited"}
        return replace(self, machine={**self.machine, "codes": codes, "dresser": dresser})

    def with_registers(self) -> Pair:
        """The same pair, its machine with registers, in the unit of its programs."""
        registers = {**REGISTERS, "units": self.machine.get("units", "mm")}
        return replace(self, machine={**self.machine, "registers": registers})

    def titled(self, title: str) -> Pair:
        return replace(self, recipe={**self.recipe, "title": title})

    def program(self, options: Options | None = None, names: tuple[str, str] = ("grinder", "dress")) -> Program:
        """The program as drafted, not judged."""
        dress = self.dress()
        return draft(dress.recipe, dress.machine, names, options or Options())


@dataclass(frozen=True)
class Sized:
    """A length as a file gives it, and as it is in mm."""

    mm: Decimal
    text: str


def length(draw: Draw, low: float, high: float, unit: str = "") -> Sized:
    """A length from ``low`` to ``high`` mm, in mm or inches with as many digits as a drawing gives."""
    unit = unit or draw(st.sampled_from(("mm", "mm", "in")))
    per_unit, step = (Decimal(1), Decimal("0.01")) if unit == "mm" else (INCH, Decimal("0.0005"))
    first = math.ceil(Decimal(repr(low)) / per_unit / step)
    last = max(first, math.floor(Decimal(repr(high)) / per_unit / step))
    value = draw(st.integers(first, last)) * step
    return Sized(value * per_unit, f"{value} {unit}")


def whole(draw: Draw, low: int, high: int, unit: str) -> str:
    return f"{draw(st.integers(low, high))} {unit}"


def chance(draw: Draw, one_in: int = 2) -> bool:
    return draw(st.integers(1, one_in)) == 1


# -- the wheel and the stick, as they lie on each other


@dataclass(frozen=True)
class Lie:
    """How wheel and stick face each other, before either has a table."""

    face: bool
    worn: Sized
    new: Sized
    width: Sized
    stick: Sized
    inclination: Decimal
    taper: Decimal
    one_lane: bool


def lies(draw: Draw, *, face: bool, incremental: bool, lateral: bool) -> Lie:
    """A wheel and a stick; where the plunge is inclined the stick covers no more than the wheel's width."""
    worn = length(draw, 40, 300)
    new = length(draw, float(worn.mm), float(worn.mm) + draw(st.sampled_from((0, 5, 60))))
    if new.mm < worn.mm:
        new = worn
    width = length(draw, 2, min(40, float(worn.mm) / 2 - 1) if face else 40)
    inclination = taper = Decimal(0)
    slant = "none" if face or incremental else draw(st.sampled_from(("none", "none", "inclined", "tapered")))
    one_lane = not lateral or chance(draw, 4)
    across = float(width.mm)
    if slant == "inclined":
        inclination = Decimal(draw(st.integers(1, 120))) / 2
        if not lateral and not chance(draw, 4):
            new = worn  # nothing follows the stick aside, so that a wheel that wears is refused
        most = across * math.cos(math.radians(float(inclination)))
        stick = length(draw, most / 5, most * 0.999, "mm")
    elif slant == "tapered":
        taper = Decimal(draw(st.integers(1, 60))) / 2
        stick = width if chance(draw) else length(draw, across, across * 2)
        if stick.mm < width.mm:
            stick = width
        one_lane = stick.mm > width.mm or one_lane
    else:
        stick = width if chance(draw, 4) else length(draw, across / 4, across * 4)
    return Lie(face, worn, new, width, stick, inclination, taper, one_lane)


def recipes(draw: Draw, lie: Lie, *, lateral: bool, shortest: float) -> Table:
    narrower = float(min(lie.width.mm, lie.stick.mm))
    plunge = length(draw, 0.5, 9)
    plunges = draw(st.integers(1, 3))
    visits = 1 if lie.one_lane else 6
    longest = length(draw, shortest + float(plunge.mm) * plunges * visits + 5, 320)
    wheel: Table = {
        "name": "Drawn wheel",
        "shape": "1A1",
        "contact": "face" if lie.face else "periphery",
        "diameter": [lie.worn.text, lie.new.text],
        "width": lie.width.text,
        "grit": "D64",
        "concentration": 75,
        **draw(st.sampled_from(({"max_speed": "63 m/s"}, {"max_rpm": "2500 rpm"}, {"max_rpm": "90000 rpm"}))),
    }
    if lie.face:
        worn = length(draw, 10, 120)
        new = length(draw, float(worn.mm), float(worn.mm) + 15)
        wheel["gauge"] = [worn.text, (new if new.mm >= worn.mm else worn).text]
    if lie.taper:
        wheel["taper"] = f"{lie.taper} deg"
    if lateral:
        wheel["lateral"] = length(draw, -200, 200).text
    target = draw(st.integers(2000, 3000)) / Decimal(10)
    dress: Table = {
        **draw(st.sampled_from(({"wheel_speed": "20 m/s"}, {"wheel_speed": "4000 ft/min"}, {"wheel_speed": "31.7 m/s"},
                                {"speed": "2200 rpm"}, {"speed": "3056.5 rpm"}))),
        "aggressiveness": target,
        "plunge": plunge.text,
        "plunges": plunges,
        "coolant": draw(st.booleans()),
        "lanes": "one" if lie.one_lane else "all",
        "overlap": length(draw, 0, narrower * 0.3).text,
    }  # fmt: skip
    height = length(draw, 1, float(lie.worn.mm) * 0.9)
    return {
        "title": "Drawn dress",
        "program": draw(st.integers(1, 8999)),
        "wheel": wheel,
        "stick": {"grit": "F400", "section": [lie.stick.text, height.text], "length": longest.text},
        "dress": dress,
    }


# -- the machine


def codes(draw: Draw, control: str, *, plain: bool) -> Table:
    """What a machine spells otherwise; ``plain``: nothing that would mean something else to another control."""
    choices: list[Table] = [
        {"number_step": draw(st.sampled_from((1, 5, 10)))},
        {"length_decimals": draw(st.integers(3, 5))},
        {"feed_decimals": draw(st.integers(1, 3))},
    ]
    if not plain:
        choices += [
            {"dwell_unit": "ms", "dwell_word": "P"},
            {"dwell_word": "X"},
            {"coolant_on": "M77", "coolant_off": "M79"},
            {"spindle_cw": "M103", "spindle_ccw": "M104"},
            {"synchronise": "M66 P3 L0" if control == "rs274ngc" else "M66 Q3"} if control != "iso6983" else {},
        ]
    chosen: Table = {}
    for choice in draw(st.lists(st.sampled_from(choices), max_size=3)):
        chosen |= choice
    return chosen


def place(draw: Draw, letter: str, most: int) -> str:
    """A position of axis ``letter``: the axes A, B and C turn."""
    return whole(draw, -180, 180, "deg") if letter in "ABC" else length(draw, -most, most).text


def axis_letters(draw: Draw, *, lateral: bool) -> tuple[str, str | None, list[str]]:
    """Plunge axis, lateral axis, and the axes held at a place; three that move straight at most."""
    letters = draw(st.permutations("XYZUVW"))
    rotary = draw(st.sampled_from((None, "A", "B", "C")))
    held = [*letters[2 : 2 + draw(st.integers(0, 1))], *([rotary] if rotary else [])]
    return letters[0], letters[1] if lateral else None, draw(st.permutations(held))


def machines(
    draw: Draw, lie: Lie, *, control: str, incremental: bool, lateral: bool, registers: bool, plain: bool
) -> Table:
    plunge, across, held = axis_letters(draw, lateral=lateral)
    places = {letter: place(draw, letter, 200) for letter in held}
    units = draw(st.sampled_from(("mm", "mm", "inch")))
    dresser: Table = {
        "kind": "slide" if incremental else draw(st.sampled_from(("slide", "table"))),
        "plunge_axis": plunge,
        "machine_frame_feeds": True,
        "toward_wheel": draw(st.sampled_from("+-")),
        "clearance": length(draw, 1, 12).text,
        "feed": ["10 mm/min", draw(st.sampled_from(("400 mm/min", "15.05 in/min", "333.33 mm/min")))],
        "min_stick": length(draw, 10, 40).text,
        "jaw": draw(st.sampled_from(("0 mm", "22 mm"))),
        "at": places,
        "coolant_wait": draw(st.sampled_from(("1 s", "2.5 s"))),
    }
    if incremental:
        dresser |= {"motion": "incremental", "stand_off": length(draw, 1, 5).text}
    else:
        dresser |= {
            "datum": length(draw, -400, 600).text,
            "parked": length(draw, -300, 300).text,
            "approach": draw(st.sampled_from(("envelope", "envelope", "state"))),
        }
    if lie.inclination:
        dresser["inclination"] = f"{lie.inclination} deg"
    if lie.inclination and across:
        way = draw(st.sampled_from(("+", "-", "+", "-", None)))
        dresser |= {} if way is None else {"recentre": way}
    if across:
        dresser |= {"lateral_axis": across, "lateral_sign": draw(st.sampled_from("+-"))}
    if not incremental and chance(draw, 4):
        moving = [letter for letter in (plunge, across, *held) if letter]
        dresser["offset"] = {"word": "G57", "values": {letter: place(draw, letter, 50) for letter in moving}}
    fastest = draw(st.sampled_from(("600 mm/min", "10 in/min")))
    linear = {"travel": ["-600 mm", "600 mm"], "max_feed": fastest, "max_rapid": "5 m/min"}
    rotary = {"travel": ["-200 deg", "200 deg"], "max_feed": "720 deg/min", "max_rapid": "3600 deg/min"}
    table: Table = {
        "title": "Drawn grinder",
        "control": control,
        "units": units,
        "axes": {letter: rotary if letter in "ABC" else linear for letter in filter(None, (plunge, across, *held))},
        "spindle": {
            "speed": draw(st.sampled_from((["300 rpm", "9000 rpm"], ["300 rpm", "2750.5 rpm"]))),
            "direction": draw(st.sampled_from(("cw", "ccw"))),
            "spin_up": draw(st.sampled_from(("3 s", "0.25 s"))),
        },
        "dresser": dresser,
        "codes": codes(draw, control, plain=plain),
    }
    if registers:
        table["registers"] = {
            **REGISTERS,
            "units": draw(st.sampled_from(("mm", "mm", "inch"))),
            **draw(st.sampled_from(({}, {"parts_since_dress": 503}))),
        }
    return table


Form: TypeAlias = Literal["program", "block", "subprogram"]


@st.composite
def pairs(
    draw: Draw,
    *,
    controls: tuple[str, ...] = CONTROLS,
    registers: bool | None = None,
    plain: bool = False,
    forms: tuple[Form, ...] = ("program", "program", "block", "subprogram"),
) -> Pair:
    """A machine and a recipe for it. ``registers``: whether it has some; None: perhaps, on a control with variables."""
    control = draw(st.sampled_from(controls))
    with_registers = control in WITH_VARIABLES and draw(st.booleans()) if registers is None else registers
    incremental = chance(draw, 4)
    lateral = not chance(draw, 3)
    lie = lies(draw, face=chance(draw, 4), incremental=incremental, lateral=lateral)
    machine = machines(
        draw, lie, control=control, incremental=incremental, lateral=lateral, registers=with_registers, plain=plain
    )
    dresser = Machine.model_validate(machine).dresser
    recipe = recipes(draw, lie, lateral=lateral, shortest=float(dresser.min_stick + dresser.jaw + dresser.keeps_clear))
    if not with_registers and not incremental and not chance(draw, 4):
        # numbers of one wheel and one stick are right once, and as a subprogram refused
        forms = tuple(form for form in forms if form != "subprogram") or forms
    return Pair(machine, {**recipe, "form": draw(st.sampled_from(forms))})


# -- states


def within(draw: Draw, ends: tuple[Decimal, Decimal], step: Decimal) -> Decimal:
    """A multiple of ``step`` between ``ends``, the outermost ones often."""
    low, high = math.ceil(ends[0] / step), math.floor(ends[1] / step)
    assume(low <= high)
    return draw(st.one_of(st.sampled_from((low, high)), st.integers(low, high))) * step


@st.composite
def options(draw: Draw, dress: Dress) -> Options:
    """The state for which every number of a program is to be worked out."""
    step = Decimal("0.0001")
    size = within(draw, dress.first.size_range, step)
    chosen = Options(resolve=True, gauge=size) if dress.first.face else Options(resolve=True, diameter=size)
    if not dress.dresser.needs_length:
        return replace(chosen, slide_position=within(draw, (Decimal(-300), Decimal(300)), Decimal("0.001")))
    return replace(chosen, length=within(draw, dress.length_range, step))


@st.composite
def accepted(draw: Draw, dress: Dress) -> State:
    """A state that the guards of a register program let through, as its registers hold it."""
    unit = dress.register_unit
    ranges = {dress.first.size_name: dress.first.size_range}
    if dress.dresser.needs_length:
        ranges["stick_length"] = dress.length_range
    state = dress.state()
    values = {
        name: float(within(draw, (low / unit, high / unit), REGISTER_STEP)) for name, (low, high) in ranges.items()
    }
    return state.having(**values, parts_since_dress=float(draw(st.integers(0, 20))))


def read_back(program: Program, state: State, *, past_stops: bool = False) -> Reading:
    """What the reader makes of a program's text at ``state``."""
    lowered = lower(program.text, program.dialect.control)
    registers = set(program.plan.registers.values())
    return run(lowered, read_state(program, state), registers=registers, past_stops=past_stops)
