"""The machine file: what this grinder can do, and where its dresser stands.

Every length is in mm, feed in mm/min, speed in rpm, time in s; positions are
machine coordinates. The axes A, B and C turn: deg and deg/min.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import (
    BeforeValidator,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    TypeAdapter,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import CoreSchema, core_schema

from gen.errors import Disagreement, Problem, listed, said
from gen.feeder import FOLLOWS, NO_AXIS, ONLY_TIMED, SET_UPS, filled
from gen.fields import ORDERED, RISING, Code, FieldError, Flag, OneOrMany, Part, RelativePath, ShortText, Text, Whole
from gen.quantities import Gap, Length, Quantity, Removal, Rotation, Size, Speed, Time
from gen.steps import ROTARY

LETTERS = "XYZABCUVW"
Sign = Literal["+", "-"]


@dataclass(frozen=True, slots=True)
class _OnAxis:
    """A value as read, with the axis it is for: the letter decides between mm and degrees."""

    letter: str
    raw: object

    def __str__(self) -> str:
        return str(self.raw)


def _placed(value: object, letter: str) -> object:
    match value:
        case dict():
            return {key: _placed(inner, letter) for key, inner in value.items()}
        case list() | tuple():
            return [_placed(inner, letter) for inner in value]
        case _:
            return _OnAxis(letter, value)


def _by_axis(value: object) -> object:
    """Tells every value of a table with axis letters as keys which axis it is for."""
    if not isinstance(value, dict):
        return value
    return {letter: _placed(inner, str(letter)) for letter, inner in value.items()}


@dataclass(frozen=True, slots=True)
class _AxisQuantity:
    """A field that reads ``linear`` or ``rotary``, as the axis it stands under moves or turns."""

    linear: Quantity
    rotary: Quantity

    def read(self, value: object) -> Decimal:
        if isinstance(value, _OnAxis):
            return (self.rotary if value.letter in ROTARY else self.linear).read(value.raw)
        return self.linear.read(value)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(str, when_used="json")
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "anyOf": [{"pattern": one.pattern()} for one in (self.linear, self.rotary)]}


Position: TypeAlias = Annotated[Decimal, _AxisQuantity(Quantity("length"), Quantity("angle"))]
Rate: TypeAlias = Annotated[Decimal, _AxisQuantity(Quantity("feed", above=0), Quantity("rotary_feed", above=0))]
Ramp: TypeAlias = Annotated[
    Decimal, _AxisQuantity(Quantity("acceleration", above=0), Quantity("rotary_acceleration", above=0))
]


def _letter(value: object) -> object:
    if value not in tuple(LETTERS):
        raise FieldError(f"read {said(value)}; an axis is one of the letters {listed(LETTERS)}.")
    return value


def _letter_or_none(value: object) -> object:
    return value if value == NO_AXIS else _letter(value)


Letter: TypeAlias = Annotated[
    str, BeforeValidator(_letter), WithJsonSchema({"type": "string", "pattern": f"^[{LETTERS}]$"})
]
PlungeLetter: TypeAlias = Annotated[
    str, BeforeValidator(_letter_or_none), WithJsonSchema({"type": "string", "pattern": f"^[{LETTERS}]$"})
]
Interruption = Literal["retracts", "stays", "advances", "unknown"]
"""What a timed feeder does when a dress is broken off."""


class Axis(Part):
    """One axis: where it can go, and how fast."""

    travel: Annotated[tuple[Position, Position], RISING] = Field(
        description="Least and greatest machine position, mm (A, B, C: deg).", examples=[["0 mm", "190 mm"]]
    )
    max_feed: Rate = Field(description="Greatest feed, mm/min (A, B, C: deg/min).", examples=["600 mm/min"])
    max_rapid: Rate = Field(description="Speed of a rapid move, mm/min (A, B, C: deg/min).", examples=["5 m/min"])
    acceleration: Ramp | None = Field(
        None, description="Acceleration, mm/s2 (A, B, C: deg/s2); for the cycle time only.", examples=["500 mm/s2"]
    )


class Spindle(Part):
    """The spindle that carries the wheel."""

    speed: Annotated[tuple[Rotation, Rotation], ORDERED] = Field(
        description="Least and greatest speed, rpm.", examples=[["500 rpm", "6000 rpm"]]
    )
    direction: Literal["cw", "ccw"] = Field(
        description="The sense of M3 (cw) or M4 (ccw) that pushes the stick into its seat.", examples=["cw"]
    )
    spin_up: Annotated[Decimal, Quantity("time", above=0)] = Field(
        description="The longest change between any two speeds, s.", examples=["3 s"]
    )


class Offset(Part):
    """A work offset kept for the dresser alone: machine position = programmed value + offset."""

    word: Annotated[ShortText, Field(pattern=r"^G[0-9]+(\.[0-9]+)?( ?P[0-9]+)?$")] = Field(
        description="The word that selects the offset.", examples=["G59"]
    )
    values: Annotated[dict[Letter, Position], BeforeValidator(_by_axis)] = Field(
        description="What the offset holds on each axis, mm (A, B, C: deg).", examples=[{"U": "0 mm"}]
    )


class Dresser(Part):
    """The auto-dresser, and how it is approached.

    The datum is the position of the plunge axis at which an empty seat would
    reach the spindle centre line (periphery contact) or the spindle's gauge
    plane (face contact). Set-up measures it: touch, then
    datum = p_touch + s (L + D/2), face: G in place of D/2.
    """

    kind: Literal["slide", "table", "timed"] = Field(
        description="What moves: the stick on its own axis (slide), the wheel or table into a fixed stick (table), "
        "or a feeder that M-codes switch, while a dwell decides how far it goes (timed).",
        examples=["slide"],
    )
    motion: Literal["absolute", "incremental"] = Field(
        "absolute",
        description="From a measured datum (absolute), or forward and back from a set stand-off (incremental).",
    )
    plunge_axis: PlungeLetter = Field(
        description="The axis that plunges, in machine coordinates; a timed feeder has none.", examples=["U"]
    )
    toward_wheel: Sign = Field(description="The direction of the plunge axis that closes the gap.", examples=["+"])
    datum: Length | None = Field(
        None,
        description="Plunge-axis position, mm, at which an empty seat would reach the spindle centre line "
        "(face contact: the gauge plane). Not used by an incremental dresser.",
        examples=["260 mm"],
    )
    parked: Length | None = Field(
        None,
        description="Plunge-axis position, mm, at which other axes may move. Not used by an incremental dresser.",
        examples=["0 mm"],
    )
    clearance: Size = Field(
        description="Distance from the earliest contact, mm, where rapid moves end.", examples=["4 mm"]
    )
    feed: Annotated[tuple[Speed, Speed], ORDERED] = Field(
        description="Least and greatest feed of the dresser, mm/min.", examples=[["10 mm/min", "400 mm/min"]]
    )
    min_stick: Size = Field(description="Stick length left after the last plunge, mm.", examples=["30 mm"])
    lateral_axis: Letter | None = Field(
        None, description="The axis that moves the stick along the wheel's width.", examples=["Z"]
    )
    lateral_sign: Sign = Field("+", description="The direction of the lateral axis in which lanes are counted.")
    at: Annotated[dict[Letter, Position], BeforeValidator(_by_axis)] = Field(
        default_factory=dict,
        description="Positions of other axes that the datum depends on, mm (A, B, C: deg), in moving order.",
        examples=[{"X": "0 mm"}],
    )
    approach: Literal["envelope", "state"] = Field(
        "envelope",
        description="How far in a rapid may go: short of the newest wheel and longest stick (envelope), "
        "or short of the wheel and stick as they are (state).",
    )
    jaw: Gap = Field("0 mm", validate_default=True, description="Length of stick held by the clamp, mm from the seat.")
    inclination: Annotated[Decimal, Quantity("angle", least=0, most=60)] = Field(
        "0 deg",
        validate_default=True,
        description="Angle between the plunge and the working face's normal, deg, in the axial plane.",
    )
    recentre: Sign | None = Field(
        None,
        description="The way the lateral axis has to go to keep an inclined stick on the middle of a wheel that gets "
        "smaller; wheel.lateral is then right for the new wheel. Absent: the axis stays, and the stick drifts aside.",
    )
    stand_off: Size | None = Field(
        None,
        description='Gap that the set-up leaves, mm; only for motion = "incremental" and kind = "timed".',
        examples=["2 mm"],
    )
    dresses_per_set_up: Annotated[Whole, Field(ge=1, le=10_000)] | None = Field(
        None,
        description="Dresses between two set-ups of the stand-off; incremental only, there 20 unless given. "
        "A timed feeder that is not self_adjusting is set up for every dress.",
    )
    coolant_wait: Time = Field("2 s", validate_default=True, description="Time until coolant flows on the stick, s.")
    max_plunge: Size | None = Field(None, description="Greatest depth of one plunge, mm.", examples=["12 mm"])
    offset: Offset | None = Field(None, description="A work offset kept for the dresser alone.")
    stick_tolerance: Gap = Field(
        "0.5 mm", validate_default=True, description="How far a new stick's length may be off, mm."
    )
    holder: tuple[Size, Size] | None = Field(
        None,
        description="Width of the stick's holder and how far it reaches from the seat, mm; a wheel pack needs it.",
        examples=[["20 mm", "30 mm"]],
    )
    side_clearance: Gap = Field(
        "1 mm",
        validate_default=True,
        description="How far beside stick and holder another wheel of a pack must stand, mm.",
    )
    max_removal: Removal | None = Field(
        None, description="The most stick that may be removed in a minute, mm3/min.", examples=["90000 mm3/min"]
    )
    max_overhang: Size | None = Field(
        None, description="The most that the stick may stand out of its clamp, mm.", examples=["140 mm"]
    )
    guided: Flag = Field(False, description="Whether the stick is guided close to the wheel.")
    rate: Speed | None = Field(
        None,
        description="Timed: the speed in mm/min that the feeder's valve is set to, measured with a stick in contact.",
        examples=["300 mm/min"],
    )
    rate_tolerance: Annotated[Decimal, Quantity("share", least=0, most=50)] | None = Field(
        None, description="Timed: how far the valve's speed may be off, up or down, %.", examples=["5 %"]
    )
    retract_wait: Annotated[Decimal, Quantity("time", above=0, most=600)] | None = Field(
        None,
        description="Timed: the longest the feeder takes to come back, s. With a word codes.feeder_retracted, which "
        "waits for the retracted signal, the program uses that word instead.",
        examples=["1.5 s"],
    )
    on_hold: Interruption = Field(
        "unknown", description='Timed: what the feeder does on a feed hold; nothing but "retracts" is accepted.'
    )
    on_reset: Interruption = Field(
        "unknown", description='Timed: what the feeder does on a reset; nothing but "retracts" is accepted.'
    )
    on_power_loss: Interruption = Field(
        "unknown", description='Timed: what the feeder does when power fails; nothing but "retracts" is accepted.'
    )
    single_block: Literal["one-line", "inhibited", "unknown"] = Field(
        "unknown",
        description="Timed: what keeps single block from stopping between feeder-on and its dwell. one-line: the "
        "control takes both in one line and switches first; inhibited: the machine ignores single block while the "
        "feeder is on; unknown is refused.",
    )
    self_adjusting: Flag = Field(
        False,
        description="Timed: whether the feeder comes back by the stand-off from where the stick's end then is. "
        "If not, the stand-off grows with every plunge, and is set anew after every dress.",
    )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """What follows from the keys of a timed feeder is required of every other dresser."""
        reference = handler(schema)
        table = handler.resolve_ref_schema(reference)
        table["required"] = [key for key in table["required"] if key not in FOLLOWS]
        table |= {"if": {"properties": {"kind": {"const": "timed"}}}, "else": {"required": list(FOLLOWS)}}
        return reference

    @model_validator(mode="before")
    @classmethod
    def _fill(cls, table: Any) -> Any:
        if isinstance(table, dict) and table.get("kind") == "timed":
            return filled(table)
        if isinstance(table, dict) and table.get("motion") == "incremental":
            return {"dresses_per_set_up": SET_UPS, **table}
        return table

    @property
    def sign(self) -> int:
        """The direction that closes the gap: 1 or -1."""
        return 1 if self.toward_wheel == "+" else -1

    @model_validator(mode="after")
    def _agrees_with_motion(self) -> Dresser:
        problems = list(self._motion_problems())
        if problems:
            raise Disagreement(problems)
        return self

    def _motion_problems(self) -> Iterator[Problem]:
        if self.kind != "timed":
            if self.plunge_axis == NO_AXIS:
                yield Problem("plunge_axis", f'read ""; an axis is one of the letters {listed(LETTERS)}.')
            for key in [key for key in ONLY_TIMED if key in self.model_fields_set]:
                yield Problem(key, f'this is {ONLY_TIMED[key]}; take it out, or write kind = "timed".')
        if self.motion == "incremental":
            if self.stand_off is None:
                yield Problem(
                    "stand_off",
                    'an incremental dresser needs the gap that its set-up leaves, such as stand_off = "2 mm".',
                )
            return
        if self.datum is None:
            yield Problem(
                "datum",
                "this key is missing; it gives the plunge-axis position at which an empty seat would reach "
                'the spindle centre line, such as datum = "260 mm".',
            )
        if self.parked is None:
            yield Problem(
                "parked",
                "this key is missing; it gives the plunge-axis position at which other axes may move, "
                'such as parked = "0 mm".',
            )
        if self.stand_off is not None:
            yield Problem(
                "stand_off",
                'only an incremental dresser has a stand-off; take it out, or write motion = "incremental".',
            )
        if self.dresses_per_set_up is not None:
            yield Problem(
                "dresses_per_set_up",
                "only an incremental dresser is set up again after so many dresses; "
                'take it out, or write motion = "incremental".',
            )


RegisterNumber: TypeAlias = Annotated[Whole, Field(ge=1, le=99_999)]
OneOrMore: TypeAlias = Annotated[
    tuple[RegisterNumber, ...],
    OneOrMany(TypeAdapter(RegisterNumber).validate_python),
    Field(min_length=1, max_length=8),
]


class Registers(Part):
    """Numbered variables that outlive the program, on controls that have them."""

    wheel_diameter: OneOrMore | None = Field(
        None,
        description="Number of the register with the wheel's diameter; a list has one for each wheel of a pack.",
        examples=[501],
    )
    wheel_gauge: RegisterNumber | None = Field(
        None, description="Number of the register with the wheel's gauge length, for face contact.", examples=[505]
    )
    stick_length: RegisterNumber = Field(
        description="The number of the register with the stick's length.", examples=[502]
    )
    parts_since_dress: RegisterNumber | None = Field(
        None, description="Number of the register that counts parts since the last dress.", examples=[503]
    )
    in_progress: RegisterNumber = Field(
        description="The number of the register that is set while a dress is under way.", examples=[504]
    )
    scratch: Annotated[tuple[RegisterNumber, RegisterNumber], ORDERED] = Field(
        description="First and last register that the block may use as it likes.", examples=[[590, 599]]
    )
    labels: Annotated[tuple[RegisterNumber, RegisterNumber], ORDERED] = Field(
        (9000, 9099), description="First and last N-number or O-word number that the block may use."
    )
    units: Literal["mm", "inch"] = Field("mm", description="The unit of the lengths that the registers hold.")

    @model_validator(mode="after")
    def _distinct(self) -> Registers:
        problems = list(self._clashes())
        if problems:
            raise Disagreement(problems)
        return self

    def _clashes(self) -> Iterator[Problem]:
        first, last = self.scratch
        taken: dict[int, str] = {}
        singles = ("wheel_gauge", "stick_length", "parts_since_dress", "in_progress")
        numbered = [("wheel_diameter", number) for number in self.wheel_diameter or ()]
        for name, number in [*numbered, *((name, getattr(self, name)) for name in singles)]:
            if number is None:
                continue
            if number in taken:
                yield Problem(name, f"register {number} is already used for {taken[number]}; give each its own number.")
            if first <= number <= last:
                yield Problem(
                    name, f"register {number} lies inside scratch, {first} to {last}, and would be overwritten."
                )
            taken[number] = name


ModeWord: TypeAlias = Annotated[str, Field(strict=True, pattern=r"^[A-Z][0-9]{1,3}(\.[0-9])?$")]


class Host(Part):
    """What the grinding programs of this machine have in common, where a dress is put into them."""

    modes: Annotated[list[ModeWord], Field(min_length=1, max_length=30)] | None = Field(
        None,
        description="The modal words that a free-standing block leaves; splicing restores the cycle's own instead.",
        examples=[["G21", "G90", "G94", "G17"]],
    )
    safe: Annotated[dict[Letter, Position], BeforeValidator(_by_axis)] = Field(
        default_factory=dict,
        description="Machine positions, mm (A, B, C: deg), in which a grinding program must stand where a dress is "
        "put into it.",
        examples=[{"X": "180 mm"}],
    )


class Machine(Part):
    """A grinder with its auto-dresser, as ``machines/<machine>/machine.toml`` gives it."""

    title: Text = Field(description="What the shop calls the machine.", examples=["Bench grinder 2"])
    control: Text = Field(description="The folder under templates/controls that spells its programs.")
    controls: RelativePath | None = Field(
        None, description="A folder with controls of the shop's own, seen from this file.", examples=["../controls"]
    )
    units: Literal["mm", "inch"] = Field("mm", description="What its programs, and the shop, measure in.")
    axes: Annotated[dict[Letter, Axis], BeforeValidator(_by_axis)] = Field(
        description="A table [axes.U] for each axis: where it can go, and how fast."
    )
    spindle: Spindle = Field(description="The spindle's speeds, direction and spin-up time.")
    dresser: Dresser = Field(description="The auto-dresser and how it is approached.")
    codes: dict[str, Code] = Field(
        default_factory=dict, description="What differs from the control's own words.", examples=[{"coolant_on": "M8"}]
    )
    registers: Registers | None = Field(
        None, description="Registers for wheel and stick; without them every number is worked out for one state."
    )
    host: Host | None = Field(
        None,
        description="The modes a free-standing block leaves; unless given the machine's units, absolute, per minute "
        "and the plane XY, in the control's words: G21 G90 G94 G17 on most.",
    )

    @model_validator(mode="after")
    def _axes_exist(self) -> Machine:
        problems = list(self._axis_problems())
        if problems:
            raise Disagreement(problems)
        return self

    def _axis_problems(self) -> Iterator[Problem]:
        dresser = self.dresser
        named = {"dresser.plunge_axis": dresser.plunge_axis, "dresser.lateral_axis": dresser.lateral_axis}
        named |= {f"dresser.at.{letter}": letter for letter in dresser.at}
        if dresser.offset is not None:
            named |= {f"dresser.offset.values.{letter}": letter for letter in dresser.offset.values}
        if self.host is not None:
            named |= {f"host.safe.{letter}": letter for letter in self.host.safe}
        for key, letter in named.items():
            if letter not in (None, NO_AXIS) and letter not in self.axes:
                yield Problem(
                    key, f"axis {letter} is not described; add a table [axes.{letter}], or name {_choice(self.axes)}."
                )
        for key, letter in list(named.items())[:2]:
            if letter is not None and letter in ROTARY:
                yield Problem(key, f"axis {letter} turns; a stick is moved by a linear axis.")
        if dresser.lateral_axis == dresser.plunge_axis:
            yield Problem(
                "dresser.lateral_axis",
                f"axis {dresser.plunge_axis} already plunges; the lateral axis must be another one.",
            )
        if dresser.plunge_axis in dresser.at:
            yield Problem(
                f"dresser.at.{dresser.plunge_axis}",
                "this axis plunges and cannot be held at a position; take it out.",
            )
        if dresser.recentre is not None and not (dresser.inclination and dresser.lateral_axis):
            missing = "inclination" if dresser.lateral_axis else "lateral_axis"
            yield Problem(
                "dresser.recentre",
                f"only an inclined plunge drifts aside, and only a lateral axis can follow it; add dresser.{missing}, "
                "or take recentre out.",
            )
        if dresser.lateral_axis in dresser.at:
            yield Problem(
                f"dresser.at.{dresser.lateral_axis}",
                "this is the lateral axis, which the recipe's wheel.lateral places; take it out.",
            )


def _choice(axes: dict[str, Axis]) -> str:
    return listed(axes) if axes else "one that is"
