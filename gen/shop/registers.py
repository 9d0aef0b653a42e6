"""The ``[registers]`` of a machine file: the numbered variables that outlive a program."""

from collections.abc import Iterator
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import Field, model_validator

from gen.base.errors import Disagreement, Problem
from gen.base.fields import ORDERED, OneOrMany, Part, Whole

RegisterNumber: TypeAlias = Annotated[Whole, Field(ge=1, le=99_999)]
OneOrMore: TypeAlias = Annotated[
    tuple[RegisterNumber, ...],
    OneOrMany(RegisterNumber),
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
    next_lane: RegisterNumber | None = Field(
        None,
        description='Number of the register that counts the lanes of dress.lanes = "next"; enter 1 with a new stick.',
        examples=[506],
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
    def _distinct(self) -> Self:
        problems = list(self._clashes())
        if problems:
            raise Disagreement(problems)
        return self

    @property
    def numbered(self) -> list[tuple[str, int]]:
        """Every register that is kept, as the key that gives it and its number."""
        singles = ("wheel_gauge", "stick_length", "parts_since_dress", "next_lane", "in_progress")
        given = ((name, getattr(self, name)) for name in singles)
        diameters = [("wheel_diameter", number) for number in self.wheel_diameter or ()]
        return [*diameters, *((name, number) for name, number in given if number is not None)]

    def _clashes(self) -> Iterator[Problem]:
        first, last = self.scratch
        taken: dict[int, str] = {}
        for name, number in self.numbered:
            if number in taken:
                yield Problem(name, f"register {number} is already used for {taken[number]}; give each its own number.")
            if first <= number <= last:
                yield Problem(
                    name, f"register {number} lies inside scratch, {first} to {last}, and would be overwritten."
                )
            taken[number] = name
