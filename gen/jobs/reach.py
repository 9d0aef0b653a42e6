"""What one machine can reach: for which wheel speeds and diameters its feed and its spindle give each target.

It is worked out, and told as text and as a JSON value.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.files import read_toml
from gen.base.quantities import System, show
from gen.jobs.limit_table import TABLE_WIDTH
from gen.jobs.whatif import WhatIf
from gen.paper.columns import laid_out
from gen.paper.shown import Shown
from gen.physics.contact import aggressiveness, feed_for, rotation
from gen.shop.load import load_machine
from gen.shop.machine import Machine

TARGETS = (200.0, 225.0, 250.0, 275.0, 300.0)
"""The band that is common practice for resin-bond diamond wheels, no source."""

_FOOT_PER_MIN = 0.3048 / 60

SPEEDS: dict[System, tuple[float, ...]] = {
    "mm": (10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 22.0, 25.0, 28.0, 32.0, 36.0, 40.0),
    "inch": tuple(_FOOT_PER_MIN * feet for feet in range(2000, 8000, 500)),
}
"""Wheel speeds in m/s that a table shows: round ones in the units of the shop."""


@dataclass(frozen=True, slots=True)
class SpeedLine:
    """One wheel speed in m/s: the diameters in mm at which the spindle gives it, and for each target the plunge feed.

    The feeds are in mm/min, whether or not the dresser has them.
    """

    speed: float
    diameters: tuple[float, float]
    wanted: Mapping[float, float]


@dataclass(frozen=True, slots=True)
class Reach:
    """``feeds`` are the window of dresser and axis in mm/min; ``speeds`` gives, by target, the wheel speeds, m/s."""

    feeds: tuple[float, float]
    speeds: dict[float, tuple[float, float]]
    lines: tuple[SpeedLine, ...]

    def has(self, feed: float) -> bool:
        """Whether ``feed`` lies in the window."""
        low, high = self.feeds
        return low * (1 - 1e-9) <= feed <= high * (1 + 1e-9)


def reach_of(machine: Machine) -> Reach:
    """What ``machine`` reaches of :data:`TARGETS`, told at :data:`SPEEDS`.

    The dresser's own inclination is counted in, a wheel's taper is not. A timed
    feeder has one feed, that of its valve.
    """
    dresser = machine.dresser
    angle = float(dresser.inclination)
    low, high = (float(end) for end in dresser.feed_limits)
    axis = machine.axes.get(dresser.way)
    if axis is not None:
        high = min(high, float(axis.max_feed))
    slowest, fastest = (float(end) for end in machine.spindle.speed)

    return Reach(
        feeds=(low, high),
        speeds={
            # aggressiveness at 1 m/s over the target is the speed at which that feed gives the target
            target: (aggressiveness(low, 1.0, angle) / target, aggressiveness(high, 1.0, angle) / target)
            for target in TARGETS
        },
        lines=tuple(
            # n = 60000 v / (π D) is its own inverse: the diameter at which a rotation gives the speed
            SpeedLine(
                speed,
                (rotation(speed, fastest), rotation(speed, slowest)),
                {target: feed_for(target, speed, angle) for target in TARGETS},
            )
            for speed in SPEEDS[machine.units]
        ),
    )


def machine_at(path: Path, supposed: WhatIf) -> Machine:
    """The machine of the file at ``path``, or in that folder, with what is ``supposed`` of it."""
    where = path / "machine.toml" if path.is_dir() else path
    _, tables = supposed({}, read_toml(where))
    machine = load_machine(where, tables)
    supposed.must_have_been_used()
    return machine


def reach_as_object(found: Reach) -> dict[str, Any]:
    """``found`` as a JSON object: a row for each target at each wheel speed."""
    return {
        "feed_mm_min": found.feeds,
        "targets": [{"target": target, "wheel_speed_m_s": ends} for target, ends in found.speeds.items()],
        "reach": [
            {
                "wheel_speed_m_s": line.speed,
                "diameter_mm": line.diameters,
                "target": target,
                "feed_mm_min": round(feed, 6),
                "reached": found.has(feed),
            }
            for line in found.lines
            for target, feed in line.wanted.items()
        ],
    }


def reach_as_text(found: Reach, machine: Machine) -> str:
    """``found`` as a table in the ``machine``'s units, a line each wheel speed, and below it each target's ends."""
    shown = Shown(machine.units)
    places = 2 if machine.units == "inch" else 1
    rows = [["wheel speed", *(f"target {target:g}" for target in found.speeds), "diameters"]]
    for line in found.lines:
        cells = [shown.feed(round(feed, 1)) if found.has(feed) else "out of reach" for feed in line.wanted.values()]
        low, high = (show(end, "length", machine.units, places) for end in line.diameters)
        rows.append([shown.speed(line.speed), *cells, f"{low} to {high}"])
    head = f"{machine.title}: plunge feed {shown.feed(found.feeds[0])} to {shown.feed(found.feeds[1])}"
    ends = (
        f"{target:g} is reached from {shown.speed(low)} to {shown.speed(high)}"
        for target, (low, high) in found.speeds.items()
    )
    return "\n".join([head, "", laid_out("\n".join(map("\t".join, rows)), TABLE_WIDTH), *ends])
