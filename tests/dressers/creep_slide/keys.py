from __future__ import annotations

from typing import Literal

from pydantic import Field

from gen.base.quantities import Length, Speed
from gen.dressers.axis_dresser import AxisDresser


class CreepSlideKeys(AxisDresser):
    kind: Literal["creep"] = Field(description="A slide that creeps all the way in.", examples=["creep"])
    toward_wheel: Literal["+"] = Field(description="It pushes.", examples=["+"])
    datum: Length = Field(description="The position of an empty seat at the centre line, mm.", examples=["260 mm"])
    parked: Length = Field(description="The position at which other axes may move, mm.", examples=["0 mm"])
    creep_feed: Speed = Field(description="The most it creeps at, mm/min.", examples=["250 mm/min"])
