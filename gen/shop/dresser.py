"""The ``[dresser]`` of a machine file: what moves the stick, from where, and how it is approached."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    Field,
    GetJsonSchemaHandler,
    model_validator,
)
from pydantic_core import CoreSchema

from gen.base.errors import Disagreement, Problem, listed
from gen.base.fields import ORDERED, Flag, Part, ShortText, Whole
from gen.base.quantities import Gap, Length, Quantity, Removal, Size, Speed, Time
from gen.physics.valve import Valve
from gen.shop.axes import LETTERS, Letter, PlungeLetter, Position, by_axis
from gen.shop.feeder import FOLLOWS, NO_AXIS, ONLY_TIMED, SET_UPS, filled

Sign = Literal["+", "-"]
Interruption = Literal["retracts", "stays", "advances", "unknown"]
"""What a timed feeder does when a dress is broken off."""


class Offset(Part):
    """A work offset kept for the dresser alone: machine position = programmed value + offset."""

    word: Annotated[ShortText, Field(pattern=r"^G[0-9]+(\.[0-9]+)?( ?P[0-9]+)?$")] = Field(
        description="The word that selects the offset.", examples=["G59"]
    )
    values: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
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
    at: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
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

    @property
    def gap(self) -> Decimal:
        """What must lie between stick and wheel before anything but the plunge may happen, mm."""
        return self.clearance if self.stand_off is None else self.stand_off

    @property
    def valve(self) -> Valve:
        """The valve of a timed feeder."""
        assert self.rate is not None
        assert self.rate_tolerance is not None
        assert self.stand_off is not None
        return Valve(self.rate, self.rate_tolerance / 100, self.stand_off, self.self_adjusting)

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
