"""The machine file: what this grinder can do, and where its dresser stands.

Every length is in mm, feed in mm/min, speed in rpm, time in s; positions are
machine coordinates. The axes A, B and C turn: deg and deg/min.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from gen.base.errors import Disagreement, Problem, listed
from gen.base.fields import ORDERED, RISING, NamedWord, Part, RelativePath, Text, no_list, no_table
from gen.base.quantities import Quantity, Rotation
from gen.dressers import AnyDresser
from gen.dressers.axis_fields import Letter, Position, Ramp, Rate, by_axis
from gen.plan.step import ROTARY
from gen.shop.costs import CostKeys
from gen.shop.registers import Registers


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


class SpindleKeys(Part):
    """The spindle that carries the wheel."""

    speed: Annotated[tuple[Rotation, Rotation], ORDERED] = Field(
        description="Least and greatest speed, rpm.", examples=[["500 rpm", "6000 rpm"]]
    )
    direction: Literal["cw", "ccw"] = Field(
        description="The sense of M3 (cw) or M4 (ccw) that presses the stick onto its support, not out of the clamp.",
        examples=["cw"],
    )
    spin_up: Annotated[Decimal, Quantity("time", above=0)] = Field(
        description="The longest change between any two speeds, s.", examples=["3 s"]
    )


ModeWord: TypeAlias = Annotated[
    str, Field(strict=True, pattern=r"^[A-Z][0-9]{1,3}(\.[0-9])?( [PQ]([0-9]+\.?[0-9]*|\.[0-9]+)){0,2}$")
]
"""A modal word, a path mode with its tolerance behind it: ``G64 P0.005``."""


BuilderWord: TypeAlias = Annotated[
    str, Field(strict=True, pattern=r"^([A-Z][0-9]{1,5}(\.[0-9])?( [A-Z][0-9]{1,8}){0,2}|[A-Z_]{2}[A-Z0-9_]{0,30})$")
]
"""A word that the machine's builder added, alone (``M123``) or with a value beside it (``M64 P1``)."""

ProgramName: TypeAlias = Annotated[
    str, Field(strict=True, pattern=r"^([PLO]?[0-9]{1,8}|[A-Za-z_][A-Za-z_][A-Za-z0-9_]{0,30})$")
]
"""A program by its number, with the letter that calls it or without, or by its name."""


class Host(Part):
    """What the grinding programs of this machine have in common, where a dress is put into them."""

    modes: Annotated[list[ModeWord], Field(min_length=1, max_length=30)] | None = Field(
        None,
        description="The modal words that a free-standing block leaves, a path mode with its tolerance; splicing "
        "restores the cycle's own instead.",
        examples=[["G21", "G90", "G94", "G17"]],
    )
    safe: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
        default_factory=no_table,
        description="Machine positions, mm (A, B, C: deg), in which a grinding program must stand where a dress is "
        "put into it.",
        examples=[{"X": "180 mm"}],
    )
    known: Annotated[list[BuilderWord], Field(max_length=200)] = Field(
        default_factory=no_list,
        description="The machine builder's words that leave modes, positions, spindle and coolant as they were.",
        examples=[["M123", "M64"]],
    )
    unchanged: Annotated[list[ProgramName], Field(max_length=200)] = Field(
        default_factory=no_list,
        description="Programs kept elsewhere that leave everything as they found it; splice --with gives the file of "
        "one that does not.",
        examples=[["P3000", "L100", "measure"]],
    )


class Machine(Part):
    """A grinder with its auto-dresser, as ``machines/<machine>/machine.toml`` gives it."""

    title: Text = Field(description="What the shop calls the machine.", examples=["Bench grinder 2"])
    control: Text = Field(description="The folder under templates/controls that spells its programs.")
    controls: RelativePath | None = Field(
        None, description="A folder with controls of the shop's own, seen from this file.", examples=["../controls"]
    )
    units: Literal["mm", "inch"] = Field("mm", description="What its programs, and the shop, measure in.")
    axes: Annotated[dict[Letter, Axis], BeforeValidator(by_axis)] = Field(
        description="A table [axes.U] for each axis: where it can go, and how fast."
    )
    spindle: SpindleKeys = Field(description="The spindle's speeds, direction and spin-up time.")
    dresser: AnyDresser = Field(description="The auto-dresser and how it is approached.")
    codes: dict[str, NamedWord] = Field(
        default_factory=no_table,
        description="What differs from the control's own words.",
        examples=[{"coolant_on": "M8"}],
    )
    registers: Registers | None = Field(
        None, description="Registers for wheel and stick; without them every number is worked out for one state."
    )
    host: Host | None = Field(
        None,
        description="The modes a free-standing block leaves; unless given the machine's units, absolute, per minute "
        "and the plane XY, in the control's words: G21 G90 G94 G17 on most.",
    )
    costs: CostKeys | None = Field(None, description="What dressing on this machine costs; a recipe may override it.")

    @property
    def axis_feed(self) -> Decimal | None:
        """The most that the plunge axis can be fed at, mm/min; None where no axis plunges."""
        return None if self.dresser.axis is None else self.axes[self.dresser.axis].max_feed

    def no_place(self, letter: str, *, between: bool = False) -> str:
        """Why no file can give axis ``letter`` a place at a wheel, or ``between`` wheels; empty if one can."""
        if letter not in self.axes:
            known = listed(self.axes) if self.axes else "one that is"
            return f"axis {letter} is not described; add a table [axes.{letter}] to the machine file, or name {known}."
        if letter == self.dresser.axis:
            return "this axis plunges and stays parked while others move; take it out."
        if letter == self.dresser.lateral_axis and not between:
            return "this is the lateral axis, which the recipe's wheel.lateral places; take it out."
        return ""

    @model_validator(mode="after")
    def _axes_exist(self) -> Self:
        problems = list(self._axis_problems())
        if problems:
            raise Disagreement(problems)
        return self

    def _axis_problems(self) -> Iterator[Problem]:
        dresser = self.dresser
        named = {"dresser.plunge_axis": dresser.axis, "dresser.lateral_axis": dresser.lateral_axis}
        if dresser.offset is not None:
            named |= {f"dresser.offset.values.{letter}": letter for letter in dresser.offset.values}
        if self.host is not None:
            named |= {f"host.safe.{letter}": letter for letter in self.host.safe}
        for key, letter in named.items():
            if letter is not None and letter not in self.axes:
                yield Problem(key, self.no_place(letter))
        for key, letter in list(named.items())[:2]:
            if letter is not None and letter in ROTARY:
                yield Problem(key, f"axis {letter} turns; a stick is moved by a linear axis.")
        if dresser.axis is not None and dresser.lateral_axis == dresser.axis:
            yield Problem(
                "dresser.lateral_axis",
                f"axis {dresser.axis} already plunges; the lateral axis must be another one.",
            )
        for letter in dresser.at:
            if why := self.no_place(letter):
                yield Problem(f"dresser.at.{letter}", why)
        if dresser.recentre is not None and not (dresser.inclination and dresser.lateral_axis):
            missing = "inclination" if dresser.lateral_axis else "lateral_axis"
            yield Problem(
                "dresser.recentre",
                f"only an inclined plunge drifts aside, and only a lateral axis can follow it; add dresser.{missing}, "
                "or take recentre out.",
            )
