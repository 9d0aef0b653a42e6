"""One dress worked out at one state: the plan's steps, and where in them stick and wheel meet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from gen.base.dataclass import dataclass
from gen.bounds.contacts import Contacts, follow
from gen.bounds.states import when_due
from gen.bounds.wear import Wear
from gen.control.draft import Program
from gen.paper.duration import dress_time
from gen.physics.contact import aggressiveness, peripheral_speed
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Aux, Move, Spindle, Step
from gen.shop.dress import Dress
from gen.shop.wheel import Wheel


@dataclass(frozen=True, eq=False)
class Dressing(Wear):
    """The steps at a state, as ``wheel`` sees them."""

    wheel: Wheel
    steps: tuple[Step, ...]
    contacts: Contacts

    @property
    def wheels(self) -> tuple[Dressing, ...]:
        """This dress as each wheel of the pack sees it."""
        cuts = self.contacts.plunges
        return tuple(
            replace(
                self,
                wheel=one,
                contacts=replace(self.contacts, plunges=tuple(cut for cut in cuts if cut.wheel == one.index)),
            )
            for one in self.dress.wheels
        )

    @property
    def size(self) -> float:
        """Diameter, or gauge for face contact, of ``wheel``, mm."""
        return self.size_of(self.wheel)

    @property
    def rpm(self) -> float:
        """The speed at the first plunge, or told first where there is none."""
        if self.contacts.plunges:
            return self.contacts.plunges[0].rpm or 0.0
        return next((step.rpm for step in self.steps if isinstance(step, Spindle)), 0.0)

    @property
    def feed(self) -> float:
        """The feed of the first plunge as the program writes it, mm/min; 0 where there is none."""
        return (self.contacts.plunges[0].feed or 0.0) if self.contacts.plunges else 0.0

    @property
    def diameters(self) -> tuple[float, ...]:
        """The diameter in mm at which the target holds, and the one at which a cup or a taper runs slowest."""
        nominal, *others = self.wheel.working_diameters(self.size)
        return nominal, *sorted(others)[:1]

    @property
    def speeds(self) -> tuple[float, ...]:
        """Wheel speed in m/s at each of :attr:`diameters`."""
        return tuple(peripheral_speed(diameter, self.rpm) for diameter in self.diameters)

    @property
    def aggressiveness(self) -> tuple[float, ...]:
        """The number at each of :attr:`speeds`, from feed and speed as written; 0 where the plan refuses."""
        angle = float(self.wheel.angle)
        return tuple(aggressiveness(self.feed, speed, angle) if speed else 0.0 for speed in self.speeds)

    @property
    def retracts(self) -> tuple[int, ...]:
        """The number of the step that draws the stick back, for each plunge: the plunge axis' next move.

        Of a timed feeder the one with which it is back.
        """
        axis = self.dress.dresser.axis
        if axis is None:
            return tuple(plunge.leaves or len(self.steps) for plunge in self.contacts.plunges)
        moves = [index for index, step in enumerate(self.steps) if isinstance(step, Move) and axis in step.axes]
        return tuple(
            next((index for index in moves if index > plunge.enters), len(self.steps))
            for plunge in self.contacts.plunges
        )

    @property
    def seconds(self) -> float:
        """Time from parked to parked, the other axes in place already."""
        dresser = self.dress.dresser
        # where a slide stands that moves by steps is the state's affair
        parked = {} if dresser.parked_at is None else {dresser.way: float(dresser.parked_at)}
        signals = sum(isinstance(step, Aux) and step.function == "feeder-retracted" for step in self.steps)
        back = dresser.longest_return
        return dress_time(self.steps, self.dress.machine.axes, {**parked, **self.state.positions}) + signals * back


def dressing(program: Program, state: State) -> Dressing:
    """``program`` worked out at ``state``; where it counts the parts, with the count at which a dress is due."""
    (state,) = when_due(program, [state])
    return dressing_of(program.dress, state, at(program.plan, state))


def dressing_of(dress: Dress, state: State, steps: Iterable[Step]) -> Dressing:
    """Where in ``steps``, begun at ``state``, the stick and wheels of ``dress`` meet."""
    done = tuple(steps)
    return Dressing(dress, state, dress.first, done, follow(done, range(len(done)), Wear(dress, state)))


def over_wear(program: Program) -> tuple[tuple[str, Dressing], ...]:
    """A full stick on the new, the half-worn and the worn wheel; one row for a wheel that does not wear."""
    worn, new = program.dress.first.size_range
    sizes: dict[Decimal, str] = {}
    for name, size in (("new", new), ("middle", (new + worn) / 2), ("worn", worn)):
        sizes.setdefault(size, name)
    return tuple((name, dressing(program, program.dress.state(size))) for size, name in sizes.items())


def at_corners(program: Program) -> tuple[Dressing, ...]:
    """The ends of wear and stick, without those that the plan refuses."""
    corners = (dressing(program, state) for state in program.dress.corners())
    return tuple(dress for dress in corners if dress.contacts.plunges)
