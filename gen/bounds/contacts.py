"""Where in a block stick and wheel meet, worked out from the motion and the physics alone.

The stick's end is a map of depth across its width. Each time the wheel goes
past what stands there, the stick is cut back to where the wheel was, so that
every next contact is where the stick really is, whatever the program assumed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from gen.base.dataclass import dataclass
from gen.bounds.wear import Wear
from gen.physics.end_face import EndFace, WornEnd
from gen.plan.step import Move, Spindle, Step
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel

TOLERANCE = 0.005
"""mm. Contact is rounded away from the wheel by up to one step (0.0001 in), the depth by half a step."""


@dataclass(frozen=True, slots=True)
class Plunge:
    """One stay in contact.

    ``enters`` and ``leaves`` number the step that first goes past contact and
    the one that comes out again (None: nothing in the block does). Positions
    in mm, of a timed feeder from where it rested at set-up; ``feed`` mm/min,
    None for a rapid; ``feeds`` by line all with which it goes on, the first included;
    ``rpm`` as it was when contact was made (None: not told inside the block).
    ``wheel`` numbers the wheel that is met first; ``lateral`` is where the lateral axis
    stood, ``end`` the stick's end before.
    """

    enters: int
    line: int
    last_line: int
    contact: float
    reached: float
    wheel: int
    lateral: float | None
    end: EndFace
    depth: float = 0.0
    leaves: int | None = None
    feed: float | None = None
    feeds: tuple[tuple[int, float], ...] = ()
    rpm: float | None = None


class Apart(NamedTuple):
    """How far stick and wheel are apart after a step, mm.

    ``position`` is the plunge axis', ``gap`` what is left to contact, below 0 the depth in contact; both None where
    that is not known. ``places`` are those of all axes. ``cut`` is the greatest depth taken off the stick by then,
    ``shortened`` the depth taken off its longest part under any lane.
    """

    position: float | None
    gap: float | None
    places: Mapping[str, float]
    cut: float
    shortened: float


@dataclass(frozen=True, slots=True)
class Contacts:
    """``plunges`` in order, and by step number how far both are apart ``after`` each step of the block.

    ``before`` is where the plunge axis stood, ``end`` the stick's end after the block.
    """

    plunges: tuple[Plunge, ...]
    after: dict[int, Apart]
    before: float | None
    end: EndFace

    @property
    def left(self) -> Apart:
        """How far they are apart when the block is over, which must have a step."""
        return next(reversed(self.after.values()))

    def place_before(self, index: int) -> float | None:
        """Where the plunge axis stands when step ``index`` begins, mm; None where that is not known."""
        earlier = self.after.get(index - 1)
        return self.before if earlier is None else earlier.position

    def advance(self, index: int, sign: int) -> float | None:
        """How far step ``index`` takes the plunge axis toward the wheel, mm; None where it is not known."""
        now, earlier = self.after[index].position, self.place_before(index)
        return None if now is None or earlier is None else sign * (now - earlier)


def follow(steps: Sequence[Step], block: range, wear: Wear) -> Contacts:
    """Every contact in the steps ``block``, with wheels and stick as they are at ``wear`` when it begins."""
    walk = _Walk(wear, _last_known(steps, block.start, wear.state.positions))
    stands = walk.position
    for index in block:
        walk.step(index, steps[index])
    walk.close(None)
    return Contacts(tuple(walk.plunges), walk.after, stands, walk.stick.end)


def _last_known(steps: Sequence[Step], start: int, positions: Mapping[str, float]) -> Mapping[str, float]:
    for index in range(start - 1, -1, -1):
        step = steps[index]
        if isinstance(step, Move):
            return {**positions, **step.to}
    return positions


def before_the_stick(dress: Dress, places: Mapping[str, float]) -> list[int]:
    """The numbers of the wheels that are at their own positions with the axes at ``places``.

    All of them where they share these positions, as the datum then says where each is all the way.
    """
    if all(one.at == dress.first.at for one in dress.wheels):
        return list(range(len(dress.wheels)))
    return [one.index for one in dress.wheels if all(stands_at(at, places.get(axis)) for axis, at in one.at.items())]


def stands_at(place: float | Decimal, stands: float | None) -> bool:
    """Whether what ``stands`` there, mm or degrees, is at ``place``; False where nobody knows."""
    return stands is not None and abs(stands - float(place)) <= TOLERANCE


class _Walk:
    """One pass over the steps: what is where, and the plunge under way."""

    def __init__(self, wear: Wear, places: Mapping[str, float]) -> None:
        dress, dresser = wear.dress, wear.dress.dresser
        self.dress, self.places = dress, places
        self.axis, self.across, self.sign = dresser.way, dresser.lateral_axis, dresser.sign
        self.follower = dresser.follower()
        self.position = places.get(self.axis)
        self.lateral = None if self.across is None else places.get(self.across)
        self.sizes = [wear.size_of(one) for one in dress.wheels]
        reach = wear.stick_length, self.position
        self.origins = [one.contact(size, *reach) for one, size in zip(dress.wheels, self.sizes, strict=True)]
        end = dress.end_face(wear.stick_length, wear.turn)
        self.stick = WornEnd(end, ((bite.low, bite.high) for bite in dress.bites()))
        self.worn = self.stick.end.deepest, self.stick.longest
        self.here: Sequence[int] = range(len(dress.wheels))
        self.rpm: float | None = None
        self.entered: tuple[int, Move, float, int] | None = None
        self.last_line, self.reached = 0, 0.0
        self.feeds: list[tuple[int, float]] = []
        self.plunges: list[Plunge] = []
        self.after: dict[int, Apart] = {}
        # since the last move, and what "met" gives since the last contact and sideways move; None: to be worked out
        self.apart: Apart | None = None
        self.nearest: tuple[float, int] | None = None

    def step(self, index: int, step: Step) -> None:
        if isinstance(step, Move):
            self.places = step.to
            self.move(index, step)
        elif isinstance(step, Spindle):
            self.rpm = step.rpm
        if self.follower is not None and (stroke := self.follower(step)) is not None:
            self.move(index, stroke)
        if self.apart is None:
            self.apart = Apart(self.position, self.gap(), self.places, *self.worn)
        self.after[index] = self.apart

    def move(self, index: int, move: Move) -> None:
        self.apart = None
        self.position = move.to.get(self.axis, self.position)
        if self.across is not None and (lateral := move.to.get(self.across, self.lateral)) != self.lateral:
            self.lateral, self.nearest = lateral, None
        furthest = self.position
        if move.span is not None and self.axis in move.span:
            furthest = max(move.span[self.axis], key=lambda place: self.sign * place)
        if self.entered is not None and furthest is not None and self.sign * (self.reached - furthest) > TOLERANCE:
            # what stood there is cut away, so that the first step back already leaves contact
            self.close(index)
        if move.axes != (self.axis,):
            self.see(move)
        met = self.met()
        if met is None or furthest is None:
            return
        surface, wheel = met
        if self.sign * (furthest - surface) > TOLERANCE:
            if self.entered is None:
                self.entered, self.reached, self.feeds = (index, move, surface, wheel), furthest, []
            self.reached = max(self.reached, furthest, key=lambda place: self.sign * place)
            self.last_line = move.line
            if move.op != "rapid" and move.rate:
                self.feeds.append((move.line, move.rate))

    def close(self, index: int | None) -> None:
        """Contact ends, and the stick is as short as it was cut."""
        if self.entered is None:
            return
        enters, move, surface, wheel = self.entered
        self.entered = self.nearest = None
        before = self.stick.end
        lateral = None if self.across is None else move.to.get(self.across, self.lateral)
        for number in self.here:
            one, origin, size = self.dress.wheels[number], self.origins[number], self.sizes[number]
            if origin is not None:
                self.stick.cut(*one.under(lateral, size), self.sign * (self.reached - origin))
        self.worn = self.stick.end.deepest, self.stick.longest
        self.plunges.append(
            Plunge(
                enters=enters,
                leaves=index,
                line=move.line,
                last_line=self.last_line,
                contact=surface,
                reached=self.reached,
                depth=self.sign * (self.reached - surface),
                feed=None if move.op == "rapid" else move.rate,
                feeds=tuple(self.feeds),
                rpm=self.rpm,
                wheel=wheel,
                lateral=lateral,
                end=before,
            )
        )

    def gap(self) -> float | None:
        met = self.met()
        return None if met is None or self.position is None else self.sign * (met[0] - self.position)

    def met(self) -> tuple[float, int] | None:
        """The plunge-axis position at which the stick meets a wheel, and which; inf beside all of them."""
        if None in self.origins or self.nearest is not None:
            return self.nearest
        surfaces = {
            index: self.surface(self.dress.wheels[index], origin, self.sizes[index])
            for index in self.here
            if (origin := self.origins[index]) is not None
        }
        wheel = min(surfaces, key=lambda wheel: self.sign * surfaces[wheel])
        self.nearest = surfaces[wheel], wheel
        return self.nearest

    def see(self, move: Move) -> None:
        """Which wheels stand where their positions say; all of them where none does, so that none is overlooked."""
        here = before_the_stick(self.dress, move.to) or range(len(self.dress.wheels))
        if list(here) != list(self.here):
            self.here, self.nearest = here, None

    def surface(self, wheel: Wheel, origin: float, size: float) -> float:
        """Where ``wheel`` of ``size`` meets what stands under it; a new end it meets at ``origin``."""
        cut = self.stick.end.highest(*wheel.under(self.lateral, size))
        return self.sign * math.inf if cut is None else origin + self.sign * cut
