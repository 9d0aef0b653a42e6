"""What is in force at one moment of a reading: modes, mist, and where each axis stands and how that was told."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from gen.control import Control
from gen.reader.modal import INHERITED
from gen.reader.reading import Reading
from gen.steps import Move

_BY_MEANING = ("work_offset", "tool_length")
"""Groups that move the origin of coordinates when their meaning changes; an offset or a shift does so whenever set."""


@dataclass(frozen=True)
class Standing:
    """Where an axis stands: ``at`` machine mm (None: not known), and in what ``frame`` that was told.

    ``still``: what the frame's coordinates count from has not changed since.
    """

    at: float | None
    frame: str
    still: bool = True


@dataclass(frozen=True)
class InForce:
    """Modes by group, the line that set each, and where each axis stands, at one moment of a reading.

    ``modes`` has feed (mm/min), speed, spindle, coolant and override beside the modal groups.
    """

    modes: Mapping[str, str]
    lines: Mapping[str, int]
    mist: bool
    axes: Mapping[str, Standing]
    last_move: Move | None

    def get(self, group: str, default: str = "") -> str:
        return self.modes.get(group, default)


def in_force(
    reading: Reading,
    step: int,
    control: Control | None,
    start: Mapping[str, float],
    inside: Callable[[int], bool] = lambda line: True,
) -> InForce:
    """What is in force before step number ``step`` of ``reading``, which began with the axes at ``start``.

    Without a ``control`` nothing is known that the reading does not say. Of the
    modes set between that step and the one before it, those count that come
    before the first whose line is not ``inside``.
    """
    modes: dict[str, str] = {}
    mist_on = None
    if control is not None:
        modes = {**INHERITED, **control.defaults}
        modes.setdefault("work_offset", next(iter(control.groups.get("work_offset", {"": ""})), ""))
        mist_on = control.codes.get("mist_on")
    lines: dict[str, int] = {}
    axes = {axis: Standing(at, "machine") for axis, at in start.items()}
    mist, last = False, None
    changes = iter(reading.changes)
    change = next(changes, None)
    for index, now in enumerate([*reading.steps[:step], None]):
        while change is not None and change.step <= index:
            if index == step and not inside(change.line):
                break
            if change.group == "cycle" and change.value == "off":
                modes.pop("motion", None)
            again = change.group in _BY_MEANING and modes.get(change.group) == change.value
            if change.group in (*_BY_MEANING, "offset", "shift") and not again:
                axes = {axis: replace(one, still=one.still and one.frame == "machine") for axis, one in axes.items()}
            modes[change.group], lines[change.group] = change.value, change.line
            change = next(changes, None)
        if isinstance(now, Move):
            last = now
            for axis in now.axes:
                before = axes.get(axis, Standing(None, ""))
                if now.frame == "incremental":
                    axes[axis] = replace(before, at=now.to.get(axis))
                else:
                    axes[axis] = Standing(now.to.get(axis), now.frame)
        elif now is not None and now.op == "aux" and now.code == mist_on:
            mist = True
        elif now is not None and now.op == "coolant" and not now.on:
            mist = False
    return InForce(modes, lines, mist, axes, last)
