"""The plays of a program: the same block read with other wheels and sticks, each told moment by moment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.finding import Finding
from gen.bounds.contacts import follow
from gen.bounds.wear import Wear
from gen.paper.page.moments import PageMoment, moments, with_contacts
from gen.paper.page.scene import Stand, scene, stand
from gen.plan.node import State
from gen.plan.step import Step
from gen.reader.reading import Reading
from gen.shop.axes import Axis
from gen.shop.dress import Dress


@dataclass(frozen=True, slots=True)
class Play:
    """One reading, told. ``size``, ``length`` and ``progress`` number what was chosen for it.

    ``scene`` and ``stands`` are None and empty where there is no dress to draw. ``halt`` says why
    the play ends before the program does; empty where it does not.
    """

    size: int
    length: int
    progress: int
    moments: tuple[PageMoment, ...]
    stands: tuple[Stand, ...] = ()
    scene: Mapping[str, Any] | None = None
    halt: str = ""


def plain_play(reading: Reading, axes: Mapping[str, Axis], halt: str, *, until: int | None = None) -> Play:
    """The moves alone, of a program without a dress."""
    told = _until(list(moments(_until_unread(reading), axes, {}, {})), until)
    return Play(0, 0, 0, tuple(told), halt=halt)


def dress_play(
    reading: Reading,
    block: range,
    dress: Dress,
    state: State,
    registers: Mapping[int | str, float | None],
    *,
    chosen: tuple[int, int, int],
    until: int | None = None,
    halt: str = "",
) -> Play:
    """The dress in the steps ``block``, begun at ``state``; ``until``: the first source line that is not played."""
    wear, dresser, steps = Wear(dress, state), dress.dresser, _until_unread(reading)
    told = list(moments(steps, dress.machine.axes, state.positions, registers))
    contacts = follow(reading.steps, block, wear)
    met = range(block.start, min(block.stop, len(steps)))
    told = _until(with_contacts(told, met, contacts, dresser.lateral_axis, dresser.sign), until)
    stands = tuple(stand(wear, moment) for moment in told)
    told = [moment if place.before else replace(moment, gap=None) for moment, place in zip(told, stands, strict=True)]
    size, long, progress = chosen
    return Play(size, long, progress, tuple(told), stands, scene(wear), halt)


def at_its_line(findings: Iterable[Finding], moment: PageMoment) -> list[Finding]:
    """The findings about the line of ``moment``."""
    return [finding for finding in findings if finding.line == moment.line and moment.line]


def _until_unread(reading: Reading) -> Sequence[Step]:
    """The steps before the first line that nobody understood."""
    first = min((one.line for one in reading.unread), default=None)
    steps = list(reading.steps)
    if first is None:
        return steps
    return steps[: next((index for index, step in enumerate(steps) if step.line >= first), len(steps))]


def _until(told: list[PageMoment], line: int | None) -> list[PageMoment]:
    """``told`` up to the first moment at or behind ``line``; what stands there stays still."""
    if line is None:
        return told
    stop = next((index for index, moment in enumerate(told) if moment.line >= line), len(told))
    kept = told[: max(1, stop)]
    return [*kept, replace(kept[-1], kind="halt", line=line, moved=(), rate=None, written=None, text="", seconds=0.0)]
