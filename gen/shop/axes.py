"""The ``[axes.…]`` of a machine file: where each axis can go, and how fast."""

from typing import Annotated

from pydantic import Field

from gen.base.fields import RISING, Part
from gen.dressers.axis_fields import Position, Ramp, Rate


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
