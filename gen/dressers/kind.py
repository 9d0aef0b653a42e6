"""What every kind of dresser has in common: the keys, and the questions that the other rooms ask of one.

A kind is a class with its own keys and its own answers; see the folders beside
this file. Lengths mm, feeds mm/min, times s.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.fields import Flag, Part, ShortText, no_table
from gen.base.quantities import Gap, Quantity, Removal, Size, Time
from gen.dressers.axis_fields import Letter, Position, by_axis

if TYPE_CHECKING:
    from gen.dressers.task import Task
    from gen.physics.contact import Geometry
    from gen.physics.lanes import Lanes
    from gen.physics.valve import Valve
    from gen.plan.node import Node
    from gen.plan.step import Move, Step

Sign = Literal["+", "-"]

SET_UPS = 20
"""Dresses between two set-ups of a stand-off that stays as it is, unless the file says."""


class Offset(Part):
    """A work offset kept for the dresser alone: machine position = programmed value + offset."""

    word: Annotated[ShortText, Field(pattern=r"^G[0-9]+(\.[0-9]+)?( ?P[0-9]+)?$")] = Field(
        description="The word that selects the offset.", examples=["G59"]
    )
    values: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
        description="What the offset holds on each axis, mm (A, B, C: deg); 0 on any that is not named.",
        examples=[{"U": "0 mm"}],
    )


@dataclass(frozen=True, slots=True)
class WearRange:
    """Over what a dress wears: ``sizes`` worn and new of every wheel, ``lengths`` of the stick it may begin with, mm.

    ``per_dress`` is the stick that one dress takes, ``stands`` where the plunge axis stands after set-up, for a
    kind that is set up so.
    """

    sizes: tuple[tuple[Decimal, Decimal], ...]
    lengths: tuple[Decimal, Decimal]
    per_dress: Decimal
    stands: Decimal | None


@dataclass(frozen=True, slots=True)
class Corner:
    """An end of wear: the size of every wheel, mm, and where they count, stick length and place of the axis."""

    sizes: tuple[Decimal, ...]
    length: Decimal | None = None
    stands: Decimal | None = None


class Dresser(Part):
    """The auto-dresser: keys that every kind has, and what the other rooms ask of any kind."""

    NAME: ClassVar[str]
    """What a message calls this kind, such as ``a timed feeder``."""
    WRITTEN: ClassVar[str]
    """The key with which a file asks for this kind, such as ``kind = "timed"``."""
    LACKS: ClassVar[str] = ""
    """Why keys of other kinds have no place in this one; empty: the message names the kind that has them."""
    moves_by_steps: ClassVar[bool] = False
    """Whether the axis plunges by steps from where it stands, and must end where it began."""
    needs_length: ClassVar[bool] = False
    """Whether the contact depends on the stick's length, which a register or an option then gives."""

    kind: str
    min_stick: Size = Field(description="Stick length left after the last plunge, mm.", examples=["30 mm"])
    lateral_axis: Letter | None = Field(
        None, description="The axis that moves the stick along the wheel's width.", examples=["Z"]
    )
    lateral_sign: Sign = Field("+", description="The direction of the lateral axis in which lanes are counted.")
    at: Annotated[dict[Letter, Position], BeforeValidator(by_axis)] = Field(
        default_factory=no_table,
        description="Positions of other axes that the datum depends on, mm (A, B, C: deg), in moving order.",
        examples=[{"X": "0 mm"}],
    )
    jaw: Gap = Field("0 mm", validate_default=True, description="Length of stick held by the clamp, mm from the seat.")
    inclination: Annotated[Decimal, Quantity("angle", least=0, most=60)] = Field(
        "0 deg",
        validate_default=True,
        description="Angle between the plunge and the working face's normal, deg, in the axial plane.",
    )
    recentre: Sign | None = Field(
        None,
        description="The way the lateral axis has to go to keep an inclined stick on the middle of a wheel that gets "
        "smaller; wheel.lateral is then right for the new wheel. Absent: the axis stays, and the stick drifts aside.",
    )
    coolant_wait: Time = Field("2 s", validate_default=True, description="Time until coolant flows on the stick, s.")
    max_plunge: Size | None = Field(None, description="Greatest depth of one plunge, mm.", examples=["12 mm"])
    offset: Offset | None = Field(None, description="A work offset kept for the dresser alone.")
    stick_tolerance: Gap = Field(
        "0.5 mm", validate_default=True, description="How far a new stick's length may be off, mm."
    )
    holder: tuple[Size, Size] | None = Field(
        None,
        description="Width of the stick's holder and how far it reaches from the seat, mm; a wheel pack needs it.",
        examples=[["20 mm", "30 mm"]],
    )
    side_clearance: Gap = Field(
        "1 mm",
        validate_default=True,
        description="How far beside stick and holder another wheel of a pack must stand, mm.",
    )
    max_removal: Removal | None = Field(
        None, description="The most stick that may be removed in a minute, mm3/min.", examples=["90000 mm3/min"]
    )
    max_overhang: Size | None = Field(
        None, description="The most that the stick may stand out of its clamp, mm.", examples=["140 mm"]
    )
    guided: Flag = Field(False, description="Whether the stick is guided close to the wheel.")

    # -- what moves

    @property
    @abstractmethod
    def axis(self) -> str | None:
        """The letter of the axis that plunges; None where no axis does."""

    @property
    def vouched(self) -> bool:
        """Whether no feed of this dresser depends on a control that may obey its machine-frame word in a rapid only."""
        return True

    @property
    @abstractmethod
    def sign(self) -> int:
        """The direction along :attr:`way` that closes the gap: 1 or -1."""

    @property
    def way(self) -> str:
        """The coordinate along which the stick goes: the axis, or a name that no axis has."""
        return self.axis or "dresser"

    @property
    def held_offsets(self) -> dict[str, dict[str, float]]:
        """What its own work offset holds, mm (A, B, C: deg) by axis, by the word for it; empty where there is none."""
        own = self.offset
        return {} if own is None else {own.word: {axis: float(value) for axis, value in own.values.items()}}

    def in_its_frame(self, move: Move) -> bool:
        """Whether ``move`` is in machine coordinates or its own offset, or a step of an axis that moves by steps."""
        stepped = self.moves_by_steps and move.axes == (self.axis,) and move.frame == "incremental"
        return stepped or move.frame == "machine" or move.frame in self.held_offsets

    @property
    def valve(self) -> Valve | None:
        """The valve that sets the dresser's speed; None where the program feeds an axis."""
        return None

    @property
    @abstractmethod
    def feed_limits(self) -> tuple[Decimal, Decimal]:
        """Least and greatest speed at which the dresser brings the stick in, mm/min; a valve has one only."""

    def approach_limit(self, axis_feed: Decimal | None) -> Decimal | None:
        """The most that the stick may be fed at on its way to the wheel, mm/min, where ``axis_feed`` is the axis'.

        None where the way to the wheel is part of each plunge.
        """
        return None

    @property
    def stated_approach(self) -> Decimal | None:
        """The feed on the way to the wheel as the machine file states it, mm/min; None: no faster than the band."""
        return None

    # -- from where

    @property
    def datum_position(self) -> Decimal | None:
        """The position of the axis from which contact is worked out, mm; None for a dresser with a stand-off."""
        return None

    @property
    def parked_at(self) -> Decimal | None:
        """Where the axis stands while others move, and at the end of a dress, mm; None where nothing is parked."""
        return None

    @property
    def stands_at(self) -> Decimal | None:
        """Where the axis stands when a dress begins, as far as the file tells, mm."""
        return self.parked_at

    @property
    def rapids_by_state(self) -> bool:
        """Whether rapids go as far as wheel and stick allow as they are, not as they are when new."""
        return False

    @property
    def per_set_up(self) -> int | None:
        """For how many dresses a set-up of the stand-off is; None where contact is worked out from a datum."""
        return None

    @property
    @abstractmethod
    def gap(self) -> Decimal:
        """What must lie between stick and wheel before anything but the plunge may happen, mm."""

    @property
    @abstractmethod
    def keeps_clear(self) -> Decimal:
        """What jaw, holder and a stick that is held off keep from the wheel, mm."""

    @abstractmethod
    def contact(self, geometry: Geometry, size: float, length: float, stands: float | None = None) -> float | None:
        """The position along :attr:`way`, mm, at which a stick of ``length`` first meets a wheel of ``size``.

        ``stands`` is where the axis stands at its stand-off, for a kind that needs it; None where that is not known.
        """

    def set_up_position(self, travel: Mapping[str, tuple[Decimal, Decimal]]) -> Decimal | None:
        """Where the axis is taken to stand after set-up, mm, with the ``travel`` of each axis; None if that is moot."""
        return None

    @abstractmethod
    def corners(self, wear: WearRange) -> Iterator[Corner]:
        """The ends of wear at which a dress is looked at."""

    @property
    def measured_gap(self) -> Decimal | None:
        """The gap that a gap check leaves for somebody to measure, mm; None for a kind that has no gap check."""
        return None

    def gap_check_feed(self, axis_feed: Decimal | None) -> Decimal:
        """The feed at which a gap check brings the stick in, mm/min, where ``axis_feed`` is the most of the axis."""
        return self.feed_limits[0]

    # -- what a program needs and may do

    @property
    def keeps_lanes(self) -> bool:
        """Whether a dress may visit one lane, and the next dress the next one: it goes back from any depth of slot."""
        return False

    def refusals(self, lanes: Lanes, *, one_lane: bool) -> Iterator[str]:
        """Why this kind cannot visit ``lanes``; ``one_lane``: the recipe asks for one."""
        return iter(())

    def check_words(self, codes: Mapping[str, str], dwell: str) -> None:
        """:class:`DressblockError` unless ``codes``, and ``dwell`` as the word that waits, are what this kind needs."""

    def follower(self) -> Callable[[Step], Move | None] | None:
        """What follows a dresser that no axis moves; None where the moves of the axis tell where it is.

        Given the steps of a program one after the other, it tells what each makes the dresser do, as a move along
        :attr:`way`; None for nothing.
        """
        return None

    @property
    def longest_return(self) -> float:
        """The longest that the dresser takes to come back by itself, s; an axis is moved back instead."""
        return 0.0

    @property
    def one_line(self) -> bool:
        """Whether single block would part the word that lets the stick out from its dwell in another line."""
        return False

    def hazards(self) -> Iterator[str]:
        """What of the machine file makes an interrupted dress dangerous, in sentences."""
        return iter(())

    @property
    def interruptions(self) -> Mapping[str, str]:
        """What the dresser does when a dress is broken off, by key, for maintenance to keep so."""
        return {}

    # -- the motion

    def begin(self, task: Task) -> Iterator[Node]:
        """What brings the stick clear before anything else happens, whatever state a reset left it in."""
        return iter(())

    @abstractmethod
    def plunges(self, task: Task) -> Iterator[Node]:
        """Every plunge into one wheel, each with its straight retract."""

    def gap_check(self, task: Task) -> Iterator[Node]:
        """The stick to a gap before one wheel that stands still, and back; :class:`DressblockError` without a datum."""
        raise DressblockError(
            f"{self.NAME} has no datum that a gap could prove: its stand-off is a gap that every set-up measures.",
            key="dresser.kind",
        )

    @abstractmethod
    def held_off(self, task: Task) -> Iterator[Node]:
        """The same order of motion with the stick held off the wheel; :class:`DressblockError` where it cannot be."""
