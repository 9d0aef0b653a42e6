"""A timed feeder: let out as long as stand-off and depth take at its rate, switched off, and its return waited for."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from gen.dressers.lateral import to_lane
from gen.dressers.setting import Setting
from gen.plan.node import AwaitRetracted, Node, Pause, Press, Release, Remark, Wait


def withdrawn(setting: Setting) -> Iterator[Node]:
    """The feeder switched off and back; this also recovers one that a reset left in the wheel."""
    yield Remark("feeder comes back first")
    yield from _back(setting)


def presses(setting: Setting) -> Iterator[Node]:
    """Every plunge of one dress, lane by lane."""
    for seconds, before in _visits(setting):
        yield from before
        yield Press(seconds, one_line=setting.dresser.single_block != "inhibited")
        yield from _back(setting)


def dry_presses(setting: Setting) -> Iterator[Node]:
    """The same without ever switching the feeder on; each dwell is waited out with the stick at rest."""
    for seconds, before in _visits(setting):
        yield from before
        yield Wait(seconds, "feeder stays off")
        yield from _back(setting)
        yield Pause("look: feeder is back, stick clear of the wheel")


def _visits(setting: Setting) -> Iterator[tuple[Decimal, tuple[Node, ...]]]:
    """How long the feeder is out at each lane, s, and what comes before it there.

    Lanes of a stick wider than the wheel are cut side by side, so that the
    stick is shorter only after the last of them.
    """
    valve, lanes, depth = setting.dress.valve, setting.wheel.lanes, setting.dress.settings.plunge
    count = len(lanes.offsets)
    total = setting.dress.settings.plunges * count
    for visit in range(total):
        cuts = visit // count if lanes.stick_is_wider else visit
        moved = tuple(to_lane(setting, visit % count)) if visit and count > 1 else ()
        plunge = Remark(f"plunge {visit + 1} of {total}")
        yield setting.grid.seconds(valve.dwell(depth, depth * cuts), "round"), (*moved, plunge)


def _back(setting: Setting) -> Iterator[Node]:
    """Off, and wait: for the signal where there is one, else for the time the feeder takes at the longest."""
    yield Release()
    if setting.abilities.feeder_signal:
        yield AwaitRetracted()
    else:
        assert setting.dresser.retract_wait is not None
        yield Wait(setting.grid.seconds(setting.dresser.retract_wait), "feeder back")
