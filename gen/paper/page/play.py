"""The plays of a program: the same block read with other wheels and sticks, each told moment by moment."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import takewhile
from typing import Any

from gen.base.dataclass import dataclass
from gen.bounds.contacts import follow
from gen.bounds.wear import Wear
from gen.paper.page.moments import PageMoment, moments
from gen.paper.page.scene import scene, stand
from gen.plan.node import State
from gen.plan.step import Step
from gen.reader.reading import Reading
from gen.shop.dress import Dress
from gen.shop.machine import Axis


@dataclass(frozen=True, slots=True)
class Play:
    """One reading, told. ``chosen`` numbers the wheel's size, the stick's length and the progress it was read with.

    ``scene`` is None where there is no dress to draw. ``halt`` says why the play ends before the program does; empty
    where it does not.
    """

    chosen: tuple[int, int, int]
    moments: tuple[PageMoment, ...]
    halt: str
    scene: Mapping[str, Any] | None = None


def plain_play(reading: Reading, axes: Mapping[str, Axis], halt: str) -> Play:
    """The moves alone, of a program without a dress."""
    return Play((0, 0, 0), tuple(moments(_until_unread(reading), axes, {}, {})), halt)


def dress_play(
    reading: Reading,
    block: range,
    dress: Dress,
    state: State,
    registers: Mapping[int | str, float | None],
    *,
    chosen: tuple[int, int, int],
    until: int | None,
    halt: str,
) -> Play:
    """The dress in the steps ``block``, begun at ``state``; ``until``: the first source line that is not played."""
    wear = Wear(dress, state)
    contacts = follow(reading.steps, block, wear)
    played = moments(_until_unread(reading), dress.machine.axes, state.positions, registers)
    told = [
        replace(moment, stand=stand(wear, contacts, step, moment.positions))
        for step, moment in enumerate(played, start=-1)
    ]
    return Play(chosen, tuple(_until(told, until)), halt, scene(wear))


def _until_unread(reading: Reading) -> list[Step]:
    """The steps before the first line that nobody understood."""
    first = min((one.line for one in reading.unread), default=math.inf)
    return list(takewhile(lambda step: step.line < first, reading.steps))


def _until(told: list[PageMoment], line: int | None) -> list[PageMoment]:
    """``told`` up to the first moment at or behind ``line``; what stands there stays still."""
    if line is None:
        return told
    kept = list(takewhile(lambda moment: moment.line < line, told))
    return [*kept, replace(kept[-1], kind="halt", line=line, moved=(), rate=None, written=None, text="", seconds=0.0)]
