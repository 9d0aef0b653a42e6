"""What dressing costs: ``[costs]`` of a machine file, or of a recipe, which overrides it key by key.

Prices are plain numbers in the shop's own money. A price that is not given is
not known; it is never taken as nothing.
"""

from decimal import Decimal
from typing import Annotated

from pydantic import BeforeValidator, Field

from gen.base.fields import Number, Part, ShortText
from gen.base.quantities import Quantity


def _in_mm(value: object) -> object:
    """A plain number is in mm, as the key's name says."""
    is_number = isinstance(value, (int, float, Decimal)) and not isinstance(value, bool)
    return f"{value} mm" if is_number else value


class CostKeys(Part):
    """Prices of dressing, in the shop's own money."""

    currency: ShortText | None = Field(None, description="What the money is called.", examples=["EUR"])
    machine_hour: Number | None = Field(None, description="An hour of the machine.", examples=[85])
    stick: Number | None = Field(None, description="One new stick.", examples=[9.5])
    wheel_mm: Number | None = Field(None, description="1 mm of the wheel's radius.", examples=[30])
    truing_time: Annotated[Decimal, Quantity("time", above=0, most=86_400)] | None = Field(
        None, description="How long one truing stops the machine, first opening included, s.", examples=["15 min"]
    )
    truing_mm: Annotated[Decimal, Quantity("length", above=0), BeforeValidator(_in_mm)] | None = Field(
        None, description="What one truing takes off the wheel's radius, mm.", examples=["0.05 mm"]
    )
    dress_mm: Annotated[Decimal, Quantity("length", above=0), BeforeValidator(_in_mm)] | None = Field(
        None,
        description="What one dress takes off the wheel's radius, mm, as it was measured; `trial read` tells it.",
        examples=["0.005 mm"],
    )
    dresses_per_truing: Annotated[int, Field(ge=1)] | None = Field(
        None, description="How often the wheel is dressed from one truing to the next.", examples=[40]
    )


def own_prices(general: CostKeys | None, own: CostKeys | None) -> CostKeys | None:
    """The ``general`` prices with a recipe's ``own`` in their place, key by key; None where there are none."""
    if general is None or own is None:
        return own or general
    given = {key: value for key in CostKeys.model_fields if (value := getattr(own, key)) is not None}
    return general.model_copy(update=given)
