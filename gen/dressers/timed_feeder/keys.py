"""The keys of a timed feeder: a valve lets it out at a fixed rate, and how long it is out decides how deep it goes."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field

from gen.base.fields import Flag, Whole
from gen.base.quantities import Quantity, Size, Speed
from gen.dressers.kind import Dresser
from gen.physics.valve import Valve

Interruption = Literal["retracts", "stays", "advances", "unknown"]
"""What a timed feeder does when a dress is broken off."""


class TimedFeederKeys(Dresser):
    """A pneumatic or hydraulic feeder that M-codes switch; no axis moves it."""

    kind: Literal["timed"] = Field(
        description="A feeder that M-codes switch moves the stick, while a dwell decides how far it goes.",
        examples=["timed"],
    )
    rate: Speed = Field(
        description="The speed in mm/min that the feeder's valve is set to, measured with a stick in contact.",
        examples=["300 mm/min"],
    )
    rate_tolerance: Annotated[Decimal, Quantity("share", least=0, most=50)] = Field(
        description="How far the valve's speed may be off, up or down, %.", examples=["5 %"]
    )
    air_tolerance: Annotated[Decimal, Quantity("share", least=0, most=100)] = Field(
        "20 %",
        validate_default=True,
        description="How far the feeder's speed in air, before the stick meets the wheel, may be off the rate, up or "
        "down, %; 20 % unless it was measured.",
        examples=["10 %"],
    )
    stand_off: Size = Field(description="The gap that the set-up leaves, mm.", examples=["4 mm"])
    retract_wait: Annotated[Decimal, Quantity("time", above=0, most=600)] = Field(
        description="The longest the feeder takes to come back, s; a word codes.feeder_retracted, which waits "
        "for the retracted signal, is used instead where there is one.",
        examples=["1.5 s"],
    )
    on_hold: Interruption = Field(
        "unknown", description='What the feeder does on a feed hold; nothing but "retracts" is accepted.'
    )
    on_reset: Interruption = Field(
        "unknown", description='What the feeder does on a reset; nothing but "retracts" is accepted.'
    )
    on_power_loss: Interruption = Field(
        "unknown", description='What the feeder does when power fails; nothing but "retracts" is accepted.'
    )
    single_block: Literal["one-line", "inhibited", "unknown"] = Field(
        "unknown",
        description="What keeps single block from stopping between feeder-on and its dwell. one-line: the "
        "control takes both in one line and switches first; inhibited: the machine ignores single block while the "
        "feeder is on; unknown is refused.",
    )
    self_adjusting: Flag = Field(
        False,
        description="Whether the feeder comes back by the stand-off from where the stick's end then is. "
        "If not, the stand-off grows with every plunge, and is set anew after every dress.",
    )
    dresses_per_set_up: Annotated[Whole, Field(ge=1, le=10_000)] | None = Field(
        None,
        description="Dresses between two set-ups of the stand-off: 20 unless given for a self-adjusting feeder; any "
        "other is set up for every dress.",
    )

    @property
    def valve(self) -> Valve:
        return Valve(
            self.rate, self.rate_tolerance / 100, self.stand_off, self.self_adjusting, self.air_tolerance / 100
        )

    @property
    def one_line(self) -> bool:
        return self.single_block == "one-line"
