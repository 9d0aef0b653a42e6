"""The keys of a dresser that plunges from a measured datum."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, field_validator

from gen.base.fields import FieldError
from gen.base.quantities import Length, Size, Speed
from gen.dressers.axis_dresser import AxisDresser


class DatumSlideKeys(AxisDresser):
    """A slide that carries the stick, or a table that carries the wheel to a fixed stick.

    The datum is the position of the plunge axis at which an empty seat would
    reach the spindle centre line (periphery contact) or the spindle's gauge
    plane (face contact). Set-up measures it: touch, then
    datum = p_touch + s (L + D/2), face: G in place of D/2.
    """

    kind: Literal["slide", "table"] = Field(
        description="What moves: the stick on its own axis (slide), or the wheel or table into a fixed stick (table).",
        examples=["slide"],
    )
    motion: Literal["absolute"] = Field("absolute", description="From a measured datum.")
    datum: Length = Field(
        description="The plunge-axis position, mm, at which an empty seat would reach the spindle centre line "
        "(face contact: the gauge plane).",
        examples=["260 mm"],
    )
    parked: Length = Field(description="The plunge-axis position, mm, at which other axes may move.", examples=["0 mm"])
    approach_feed: Speed | None = Field(
        None,
        description="Feed from where rapids end to the clearance before contact, mm/min. Unless given, no faster than "
        "the top of the band allows at the wheel's speed, so that a stick met too soon loses stick only.",
        examples=["300 mm/min"],
    )
    approach: Literal["envelope", "state"] = Field(
        "envelope",
        description="How far in a rapid may go: short of the newest wheel and longest stick (envelope), "
        "or short of the wheel and stick as they are (state).",
    )

    check_gap: Size = Field(
        "1 mm",
        validate_default=True,
        description="The gap at which a gap check stops the stick, mm, measured square to the wheel's face.",
    )
    check_feed: Speed = Field(
        "60 mm/min",
        validate_default=True,
        description="The feed of a gap check, mm/min, as far as dresser and axis can go so slowly or so fast.",
    )

    @field_validator("motion", mode="before")
    @classmethod
    def _never_by_steps(cls, value: object) -> object:
        if value == "incremental":
            raise FieldError(
                "a table moves while it grinds too, so that the stand-off would be whatever the grinding cycle left; "
                'write motion = "absolute", with datum and parked.'
            )
        return value
