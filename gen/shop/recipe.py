"""The recipe file: wheel, stick and how hard to dress.

Every length is in mm, peripheral speed in m/s, spindle speed in rpm, angles in
degrees. Aggressiveness has no unit: 10⁶ times plunge feed over wheel speed.
"""

from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, ConfigDict, Field, model_validator

from gen.base.errors import Disagreement, Problem
from gen.base.fields import ORDERED, Flag, Number, OneOrMany, Part, RelativePath, ShortText, Text, Whole, no_table
from gen.base.quantities import Gap, Length, Peripheral, Quantity, Rotation, Size, show
from gen.dressers.axis_fields import Letter, Position, by_axis, each_by_axis
from gen.shop.costs import CostKeys
from gen.shop.edition import Form


class WheelKeys(Part):
    """The grinding wheel."""

    name: Text = Field(
        description="What is written on the wheel, or what the shop calls it.", examples=["Flute wheel 7"]
    )
    shape: ShortText = Field(description="Shape after ISO 6104.", examples=["1A1"])
    contact: Literal["periphery", "face"] = Field(
        description="The working surface that the stick meets.", examples=["periphery"]
    )
    diameter: Annotated[tuple[Size, Size], ORDERED] = Field(
        description="Diameter worn out and new, mm.", examples=[["100 mm", "125 mm"]]
    )
    gauge: Annotated[tuple[Size, Size], ORDERED] | None = Field(
        None,
        description="Gauge plane of the spindle to the working face, worn out and new, mm; face contact only.",
        examples=[["40 mm", "46 mm"]],
    )
    width: Size = Field(
        description="Width of the working surface, mm; for face contact the rim's radial width.", examples=["10 mm"]
    )
    grit: Annotated[ShortText, Field(pattern=r"^D[0-9]{1,4}$")] = Field(
        description="Diamond size after ISO 6106.", examples=["D64"]
    )
    concentration: Annotated[Number, Field(le=200)] = Field(
        description="Diamond concentration; 100 is 25 % by volume.", examples=[100]
    )
    max_speed: Peripheral | None = Field(
        None, description="Greatest peripheral speed as marked, m/s.", examples=["63 m/s"]
    )
    max_rpm: Rotation | None = Field(None, description="Greatest spindle speed as marked, rpm.", examples=["9600 rpm"])
    lateral: Length | None = Field(
        None, description="Lateral-axis position, mm, with stick and wheel centred on each other.", examples=["42.5 mm"]
    )
    taper: Annotated[Decimal, Quantity("angle", least=0, most=30)] = Field(
        "0 deg",
        validate_default=True,
        description="Angle of a tapered periphery to the wheel's axis, deg; 0 for a cylinder.",
    )
    rim_depth: Size | None = Field(None, description="Depth of the abrasive layer, mm.", examples=["6 mm"])
    wheel_speed: Peripheral | None = Field(
        None, description="This wheel's own speed while dressing, m/s; as in dress unless given.", examples=["18 m/s"]
    )
    speed: Rotation | None = Field(
        None, description="This wheel's own spindle speed, rpm; as in dress unless given.", examples=["3056 rpm"]
    )
    aggressiveness: Number | None = Field(
        None, description="This wheel's own target; as in dress unless given.", examples=[220]
    )
    band: Annotated[tuple[Number, Number], ORDERED] | None = Field(
        None, description="This wheel's own band; as in dress unless given.", examples=[[200, 300]]
    )
    lanes: Literal["all", "one"] | None = Field(
        None, description="This wheel's own choice of lanes; as in dress unless given."
    )
    lane: Length | None = Field(
        None,
        description="Where its one lane lies, mm from the stick's middle, counted as the lanes are.",
        examples=["-5 mm"],
    )
    at: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
        default_factory=no_table,
        description="Positions of this wheel's own, mm (A, B, C: deg), in place of those in the machine's dresser.at. "
        "The datum must be right there too: touch at each of them.",
        examples=[{"X": "20 mm"}],
    )
    via: Annotated[
        tuple[Annotated[dict[Letter, Position], Field(min_length=1)], ...],
        BeforeValidator(each_by_axis),
        Field(max_length=20),
    ] = Field(
        (),
        description="Points to pass on the way to this wheel, mm (A, B, C: deg), and backwards on the way out: the "
        "axes of a point move one at a time, in the order written. An axis that no point names stays on the way out "
        "as the dress left it.",
        examples=[[{"X": "100 mm", "Z": "20 mm"}]],
    )

    @model_validator(mode="after")
    def _agrees(self) -> Self:
        problems = list(self._problems())
        if problems:
            raise Disagreement(problems)
        return self

    def _problems(self) -> Iterator[Problem]:
        if self.max_speed is None and self.max_rpm is None:
            yield Problem(
                "max_speed",
                'the marked maximum is missing; give max_speed = "63 m/s" or max_rpm = "9600 rpm", as on the wheel.',
            )
        if self.wheel_speed is not None and self.speed is not None:
            yield Problem("speed", "wheel_speed is given as well; keep one of the two.")
        if self.contact == "face":
            if self.gauge is None:
                yield Problem(
                    "gauge",
                    "this key is missing; face contact needs the distance from the gauge plane to the working "
                    'face, worn and new, such as gauge = ["40 mm", "46 mm"].',
                )
            if self.taper:
                yield Problem("taper", "only a periphery can be tapered; take it out for face contact.")
            if 2 * self.width >= self.diameter[0]:
                yield Problem(
                    "width",
                    f"twice the rim, {show(2 * self.width, 'length')}, is not less than the worn diameter, "
                    f"{show(self.diameter[0], 'length')}; for face contact this is the rim's radial width.",
                )
        elif self.gauge is not None:
            yield Problem("gauge", 'only face contact uses a gauge length; take it out, or write contact = "face".')


class StickKeys(Part):
    """The aluminium oxide stick."""

    grit: ShortText = Field(description="Grit size after ISO 8486.", examples=["F400"])
    section: tuple[Size, Size] = Field(
        description="Width across the rim and height along the wheel's motion, mm.", examples=[["10 mm", "25 mm"]]
    )
    length: Size = Field(description="Length of a new stick, mm.", examples=["150 mm"])


class AfterTruing(Part):
    """What the first opening after truing does otherwise; what is not given is as in the dress."""

    program: Annotated[Whole, Field(ge=1, le=99_999)] | None = Field(
        None, description="Program number of the first opening; the recipe's and 100 unless given.", examples=[7111]
    )
    plunge: Size | None = Field(None, description="Depth of one plunge, mm.", examples=["10 mm"])
    plunges: Annotated[Whole, Field(ge=1, le=50)] | None = Field(None, description="Plunges.", examples=[3])
    aggressiveness: Number | None = Field(None, description="Target aggressiveness, no unit.", examples=[280])
    band: Annotated[tuple[Number, Number], ORDERED] | None = Field(
        None, description="Least and greatest aggressiveness that will do."
    )


class DressKeys(Part):
    """How hard, how deep and how often."""

    wheel_speed: Peripheral | None = Field(
        None, description="Peripheral speed while dressing, m/s, held as the wheel wears.", examples=["20 m/s"]
    )
    speed: Rotation | None = Field(None, description="Spindle speed while dressing, rpm.", examples=["3056 rpm"])
    aggressiveness: Number = Field(
        250,
        validate_default=True,
        description="Target aggressiveness: 10⁶ times plunge feed over wheel speed, no unit.",
        examples=[250],
    )
    band: Annotated[tuple[Number, Number], ORDERED] = Field(
        (200, 300),
        validate_default=True,
        description="Least and greatest aggressiveness that will do.",
        examples=[[200, 300]],
    )
    plunge: Size = Field(description="Depth of one plunge, mm.", examples=["8 mm"])
    plunges: Annotated[Whole, Field(ge=1, le=50)] = Field(1, description="Plunges in each dress.", examples=[1])
    coolant: Flag = Field(True, description="Whether coolant runs during the dress.", examples=[True])
    every_parts: Annotated[Whole, Field(ge=1, le=1_000_000)] | None = Field(
        None, description="Parts from one dress to the next; empty: at every call.", examples=[6]
    )
    warn_left: Annotated[Whole, Field(ge=1, le=1000)] | None = Field(
        None,
        description="Dresses left on the stick at which the program says so after each dress, by a message and by "
        "codes.stick_low of the machine file, and goes on; empty: it says nothing.",
        examples=[2],
    )
    when_used_up: Literal["stop", "go-on"] = Field(
        "stop",
        description="What a dress does for which the stick is too short: it stops the program with a message, or is "
        "left out, told by a message that stops nothing and by codes.dress_left_out of the machine file, and the "
        "program goes on with a loaded wheel. The count of parts stays, so that a dress is due until one is made. A "
        "prove-out and the first opening after truing stop all the same, and so does a length that no dress leaves.",
    )
    lanes: Literal["all", "one", "next"] = Field(
        "all",
        description="Where stick and wheel differ in width: visit every lane of the wider one in each dress, the "
        "middle only, or of a stick wider than the wheel one lane in each dress, the next one each time.",
    )
    overlap: Gap = Field(
        "1 mm", validate_default=True, description="How far neighbouring lanes overlap, mm.", examples=["1 mm"]
    )

    after_truing: AfterTruing | None = Field(
        None, description="A first opening of its own after truing, generated beside the dress."
    )

    @model_validator(mode="after")
    def _one_speed(self) -> Self:
        if self.wheel_speed is None and self.speed is None:
            raise Disagreement(
                [Problem("wheel_speed", 'the speed is missing; give wheel_speed = "20 m/s" or speed = "3056 rpm".')]
            )
        if self.wheel_speed is not None and self.speed is not None:
            raise Disagreement([Problem("speed", "wheel_speed is given as well; keep one of the two.")])
        return self


class Recipe(Part):
    """A dress on one machine, as ``machines/<machine>/dress/<recipe>.toml`` gives it.

    ``wheels`` are those of one spindle, in the order in which they are dressed.
    """

    model_config = ConfigDict(serialize_by_alias=True)

    title: Text = Field(description="What the shop calls the recipe.", examples=["Flute wheel, opening"])
    program: Annotated[Whole, Field(ge=1, le=99_999)] = Field(description="Program number.", examples=[7101])
    machine: RelativePath | None = Field(
        None,
        description="Path of the machine file, from this file's folder; ../machine.toml unless given.",
        examples=["../machine.toml"],
    )
    prove_out_program: Annotated[Whole, Field(ge=1, le=99_999)] | None = Field(
        None, description="Program number of the prove-out; the recipe's and 500 unless given.", examples=[7601]
    )
    gap_check_program: Annotated[Whole, Field(ge=1, le=99_999)] | None = Field(
        None, description="Program number of the gap check; the recipe's and 300 unless given.", examples=[7401]
    )
    form: Form = Field("program", description="A whole program, a block to drop into one, or a subprogram to call.")
    wheels: Annotated[tuple[WheelKeys, ...], OneOrMany(WheelKeys), Field(min_length=1, max_length=8)] = Field(
        alias="wheel",
        description="The grinding wheel, as marked and as mounted; [[wheel]] once for each wheel of a pack.",
    )
    stick: StickKeys = Field(description="The dressing stick.")
    dress: DressKeys = Field(description="How hard, how deep and how often to dress.")
    costs: CostKeys | None = Field(None, description="Prices of this dress that differ from the machine's.")

    @property
    def wheel(self) -> WheelKeys:
        """The only wheel, or the first of a pack."""
        return self.wheels[0]
