"""What the kinds share that move the stick, or the wheel, by an axis of the machine."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import Field

from gen.base.fields import ORDERED, Flag
from gen.base.quantities import Size, Speed
from gen.dressers.axis_fields import Letter
from gen.dressers.kind import Dresser, Sign


class AxisDresser(Dresser):
    """A dresser whose plunge is a feed move of one axis."""

    plunge_axis: Letter = Field(description="The axis that plunges, in machine coordinates.", examples=["U"])
    toward_wheel: Sign = Field(description="The direction of the plunge axis that closes the gap.", examples=["+"])
    clearance: Size = Field(
        description="Distance from the earliest contact, mm, where rapid moves end.", examples=["4 mm"]
    )
    feed: Annotated[tuple[Speed, Speed], ORDERED] = Field(
        description="Least and greatest feed of the dresser, mm/min.", examples=[["10 mm/min", "400 mm/min"]]
    )

    machine_frame_feeds: Flag = Field(
        False,
        description="Whether this control obeys a feed in the block of its machine-frame word; some obey it in a rapid "
        "only. Try it slowly, well clear of the wheel.",
    )

    @property
    def axis(self) -> str:
        return self.plunge_axis

    @property
    def sign(self) -> int:
        return 1 if self.toward_wheel == "+" else -1

    @property
    def feed_limits(self) -> tuple[Decimal, Decimal]:
        return self.feed

    @property
    def keeps_clear(self) -> Decimal:
        return self.clearance
