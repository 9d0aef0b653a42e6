"""Where in a block stick and wheel meet, worked out from the motion and the physics alone.

The stick's end is a map of depth across its width. Each time the wheel goes
past what stands there, the stick is cut back to where the wheel was, so that
every next contact is where the stick really is, whatever the program assumed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

from gen.facts import Facts
from gen.plan import State
from gen.steps import Direction, Move, Spindle, Step

if TYPE_CHECKING:
    from collections.abc import Iterator

TOLERANCE = 0.005
"""mm. Contact is rounded away from the wheel by up to one step (0.0001 in), the depth by half a step."""

SLIVER = 0.02
"""mm. Narrower remains between two lanes are left by rounding, and break off."""


@dataclass(frozen=True, slots=True)
class Plunge:
    """One stay in contact.

    ``enters`` and ``leaves`` number the step that first goes past contact and
    the one that comes out again (None: nothing in the block does). Positions
    in mm; ``feed`` mm/min, None for a rapid; the spindle as it was when
    contact was made (None: not told inside the block).
    """

    enters: int
    leaves: int | None
    line: int
    last_line: int
    contact: float
    reached: float
    depth: float
    feed: float | None
    rpm: float | None
    direction: Direction | None


@dataclass(frozen=True, slots=True)
class Contacts:
    """``plunges`` in order; ``gaps`` from step number to the distance in mm left to contact after it.

    A gap below 0 is the depth in contact; None, or a step that is missing: not
    known. ``positions`` are the plunge axis', ``cut`` the greatest depth taken
    off the stick after each step, mm. ``before`` is where the plunge axis stood.
    """

    plunges: tuple[Plunge, ...]
    gaps: Mapping[int, float | None]
    positions: Mapping[int, float | None]
    cut: Mapping[int, float]
    before: float | None

    def advance(self, index: int, sign: int) -> float | None:
        """How far step ``index`` takes the plunge axis toward the wheel, mm; None where it is not known."""
        now, earlier = self.positions.get(index), self.positions.get(index - 1, self.before)
        return None if now is None or earlier is None else sign * (now - earlier)


def follow(steps: Sequence[Step], block: range, facts: Facts, state: State, size: float, length: float) -> Contacts:
    """Every contact in the steps ``block``, for a wheel of ``size`` and a stick of ``length``, both mm."""
    before = _last_known(steps, block.start, state.positions)
    walk = _Walk(facts, first_contact(facts, before, size, length))
    walk.position = before.get(walk.axis)
    walk.lateral = before.get(walk.across) if walk.across else None
    started = walk.position
    for index in block:
        walk.step(index, steps[index])
    walk.close(None)
    return Contacts(tuple(walk.plunges), walk.gaps, walk.positions, walk.cut, started)


def first_contact(facts: Facts, before: Mapping[str, float], size: float, length: float) -> float | None:
    """The plunge-axis position, mm, of first contact; None where an incremental slide's own is not known."""
    dresser = facts.machine.dresser
    if dresser.stand_off is None:
        return facts.contact(size, length)
    stands = before.get(dresser.plunge_axis)
    return None if stands is None else stands + dresser.sign * float(dresser.stand_off)


def _last_known(steps: Sequence[Step], start: int, positions: Mapping[str, float]) -> Mapping[str, float]:
    for index in range(start - 1, -1, -1):
        step = steps[index]
        if isinstance(step, Move):
            return {**positions, **step.to}
    return positions


Stretch: TypeAlias = tuple[float, float, float]
"""From, to, and how deep it is cut, mm."""


class _End:
    """The stick's end: how deep it is cut, mm, in stretches across its width, its middle being 0."""

    def __init__(self, width: float) -> None:
        self.stretches: list[Stretch] = [(-width / 2, width / 2, 0.0)]

    def highest(self, low: float, high: float) -> float | None:
        """The least cut between ``low`` and ``high``; None if the stick is not there at all."""
        return min((depth for a, b, depth in self.stretches if min(b, high) - max(a, low) > SLIVER), default=None)

    def cut(self, low: float, high: float, depth: float) -> None:
        self.stretches = [piece for stretch in self.stretches for piece in _cut(stretch, low, high, depth)]

    @property
    def deepest(self) -> float:
        return max(depth for _, _, depth in self.stretches)


def _cut(stretch: Stretch, low: float, high: float, depth: float) -> Iterator[Stretch]:
    a, b, held = stretch
    low, high = max(a, low), min(b, high)
    if high <= low:
        yield stretch
        return
    if a < low:
        yield a, low, held
    yield low, high, max(held, depth)
    if high < b:
        yield high, b, held


@dataclass
class _Walk:
    """One pass over the steps: what is where, and the plunge under way."""

    facts: Facts
    origin: float | None
    position: float | None = None
    lateral: float | None = None
    rpm: float | None = None
    direction: Direction | None = None
    entered: tuple[int, Move, float] | None = None
    last_line: int = 0
    reached: float = 0.0
    plunges: list[Plunge] = field(default_factory=list)
    gaps: dict[int, float | None] = field(default_factory=dict)
    positions: dict[int, float | None] = field(default_factory=dict)
    cut: dict[int, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        dresser = self.facts.machine.dresser
        self.axis, self.across, self.sign = dresser.plunge_axis, dresser.lateral_axis, dresser.sign
        self.end = _End(self.facts.geometry.footprint)

    def step(self, index: int, step: Step) -> None:
        match step:
            case Spindle():
                self.rpm, self.direction = step.rpm, step.direction
            case Move():
                self.move(index, step)
        self.positions[index] = self.position
        self.gaps[index] = self.gap()
        self.cut[index] = self.end.deepest

    def move(self, index: int, move: Move) -> None:
        self.position = move.to.get(self.axis, self.position)
        if self.across is not None:
            self.lateral = move.to.get(self.across, self.lateral)
        furthest = self.position
        if move.span is not None and self.axis in move.span:
            furthest = max(move.span[self.axis], key=lambda place: self.sign * place)
        if self.entered is not None and furthest is not None and self.sign * (self.reached - furthest) > TOLERANCE:
            # what stood there is cut away, so that the first step back already leaves contact
            self.close(index)
        surface = self.surface()
        if surface is None or furthest is None:
            return
        if self.sign * (furthest - surface) > TOLERANCE:
            if self.entered is None:
                self.entered, self.reached = (index, move, surface), furthest
            self.reached = max(self.reached, furthest, key=lambda place: self.sign * place)
            self.last_line = move.line

    def close(self, index: int | None) -> None:
        """Contact ends, and the stick is as short as it was cut."""
        if self.entered is None or self.origin is None:
            return
        enters, move, surface = self.entered
        self.entered = None
        self.end.cut(*self.under(self.at(move)), self.sign * (self.reached - self.origin))
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
                rpm=self.rpm,
                direction=self.direction,
            )
        )

    def at(self, move: Move) -> float | None:
        return None if self.across is None else move.to.get(self.across, self.lateral)

    def gap(self) -> float | None:
        surface = self.surface()
        return None if surface is None or self.position is None else self.sign * (surface - self.position)

    def surface(self) -> float | None:
        """The plunge-axis position at which the wheel meets what stands under it; inf beside the stick."""
        if self.origin is None:
            return None
        cut = self.end.highest(*self.under(self.lateral))
        return self.sign * math.inf if cut is None else self.origin + self.sign * cut

    def under(self, lateral: float | None) -> tuple[float, float]:
        """The stretch of the stick's end that the wheel covers with the lateral axis at ``lateral``."""
        centre = self.facts.wheel.lateral
        sign = 1 if self.facts.machine.dresser.lateral_sign == "+" else -1
        middle = 0.0 if lateral is None or centre is None else sign * (lateral - float(centre))
        half = self.facts.geometry.wheel_width / 2
        return middle - half, middle + half
