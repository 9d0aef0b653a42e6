"""What is in force at one moment of a reading, told from its steps and changes: the judge of what a run noted."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from gen.control.model import Control
from gen.plan.step import Move
from gen.reader.reading import Reading
from gen.reader.standing import INHERITED, InForce, Standing

_BY_MEANING = ("work_offset", "tool_length")
"""Groups that move the origin of coordinates when their meaning changes; an offset or a shift does so whenever set."""


def in_force(
    reading: Reading,
    step: int,
    control: Control,
    start: Mapping[str, float],
    inside: Callable[[int], bool] = lambda line: True,
) -> InForce:
    """What is in force before step number ``step`` of ``reading``, which began with the axes at ``start``.

    Of the modes set between that step and the one before it, those count that come before the first whose line is not
    ``inside``.
    """
    modes = {**INHERITED, **control.defaults}
    modes.setdefault("work_offset", next(iter(control.groups.get("work_offset", {"": ""})), ""))
    lines: dict[str, int] = {}
    moved_origin = -1
    for change in reading.changes:
        if change.step > step or (change.step == step and not inside(change.line)):
            break
        if change.group == "cycle" and change.value == "off":
            modes.pop("motion", None)
        again = change.group in _BY_MEANING and modes.get(change.group) == change.value
        if change.group in (*_BY_MEANING, "offset", "shift") and not again:
            moved_origin = change.step
        modes[change.group], lines[change.group] = change.value, change.line
    told: dict[str, tuple[float | None, str, int]] = {axis: (at, "machine", 0) for axis, at in start.items()}
    mist, last = False, None
    for index, one in enumerate(reading.steps[:step]):
        if one.op == "aux" and one.code == control.codes.get("mist_on"):
            mist = True
        elif one.op == "coolant" and not one.on:
            mist = False
        if not isinstance(one, Move):
            continue
        last = one
        for axis in one.axes:
            # a step leaves open what it began from
            _, frame, since = told.get(axis, (None, "", index))
            told[axis] = (one.to.get(axis), *((frame, since) if one.frame == "incremental" else (one.frame, index)))
    axes = {
        axis: Standing(at, frame, frame == "machine" or moved_origin <= since)
        for axis, (at, frame, since) in told.items()
    }
    return InForce(modes, lines, mist, axes, last)
