"""The keys of a slide that strokes from a stand-off."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from gen.base.fields import Whole
from gen.base.quantities import Length, Size
from gen.dressers.axis_dresser import AxisDresser
from gen.dressers.kind import SET_UPS


class StandOffSlideKeys(AxisDresser):
    """A slide that goes forward and back by steps from the stand-off that its set-up left."""

    kind: Literal["slide"] = Field(description="The stick moves on its own axis.", examples=["slide"])
    motion: Literal["incremental"] = Field(description="Forward and back from a set stand-off.")
    stand_off: Size = Field(description="The gap that the set-up leaves, mm.", examples=["2 mm"])
    dresses_per_set_up: Annotated[Whole, Field(ge=1, le=10_000)] = Field(
        SET_UPS, description="Dresses between two set-ups of the stand-off."
    )
    parked: Length | None = Field(
        None,
        description="Where the slide stands after set-up, mm; the far end of its travel unless given.",
        examples=["12 mm"],
    )
