"""A timed feeder: let out as long as stand-off and depth take at its rate, switched off, and its return waited for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.lateral import each_plunge
from gen.dressers.task import Task
from gen.dressers.timed_feeder.keys import TimedFeederKeys
from gen.physics.valve import Valve
from gen.plan.node import Node, Pause, Press, Remark, Switch, Wait


def withdrawn(feeder: TimedFeederKeys, task: Task) -> Iterator[Node]:
    """The feeder switched off and back; this also recovers one that a reset left in the wheel."""
    yield Remark("feeder comes back first")
    yield from _back(feeder, task)


def presses(feeder: TimedFeederKeys, task: Task) -> Iterator[Node]:
    """Every plunge of one dress, lane by lane."""
    for seconds, before in _visits(feeder.valve, task):
        yield from before
        yield Press(seconds, one_line=feeder.single_block != "inhibited")
        yield from _back(feeder, task)


def dry_presses(feeder: TimedFeederKeys, task: Task) -> Iterator[Node]:
    """The same without ever switching the feeder on; each dwell is waited out with the stick at rest."""
    for seconds, before in _visits(feeder.valve, task):
        yield from before
        yield Wait(seconds, "feeder stays off")
        yield from _back(feeder, task)
        yield Pause("look: feeder is back, stick clear of the wheel")


def _visits(valve: Valve, task: Task) -> Iterator[tuple[Decimal, tuple[Node, ...]]]:
    """How long the feeder is out at each lane, s, and what comes before it there.

    Lanes of a stick wider than the wheel are cut side by side, so that the
    stick is shorter only after the last of them.
    """
    lanes, depth = task.lanes, task.plunge
    for number, before in each_plunge(task):
        cuts = number // len(lanes.offsets) if lanes.stick_is_wider else number
        yield task.grid.seconds(valve.dwell(depth, depth * cuts), "round"), before


def _back(feeder: TimedFeederKeys, task: Task) -> Iterator[Node]:
    """Off, and wait: for the signal where there is one, else for the time the feeder takes at the longest."""
    yield Switch("feeder-off")
    if task.abilities.feeder_signal:
        yield Switch("feeder-retracted")
    else:
        yield Wait(task.grid.seconds(feeder.retract_wait), "feeder back")
