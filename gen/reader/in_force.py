"""What is in force at one moment of a reading, told from its steps and changes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator, Mapping, Sequence

from gen.control.model import Control
from gen.plan.step import ModeChange, Move, Step
from gen.reader.reading import Reading
from gen.reader.spread import Items, backwards, kept, pieces
from gen.reader.standing import INHERITED, InForce, Standing

_BY_MEANING = ("work_offset", "tool_length")
"""Groups that move the origin of coordinates when their meaning changes; an offset or a shift does so whenever set."""


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
    moved_origin = -1
    for change in _telling(reading.changes, step):
        if change.step > step or (change.step == step and not inside(change.line)):
            break
        if change.group == "cycle" and change.value == "off":
            modes.pop("motion", None)
        again = change.group in _BY_MEANING and modes.get(change.group) == change.value
        if change.group in (*_BY_MEANING, "offset", "shift") and not again:
            moved_origin = change.step
        modes[change.group], lines[change.group] = change.value, change.line
    steps = reading.steps
    axes = {axis: Standing(at, "machine") for axis, at in start.items()} | _axes(steps, step, start, moved_origin)
    earlier = (steps[at] for at in range(min(step, len(steps)) - 1, -1, -1))
    last = next((one for one in earlier if isinstance(one, Move)), None)
    return InForce(modes, lines, _mist(kept(steps, step), mist_on), axes, last)


def _telling(changes: Items[ModeChange], step: int) -> Iterator[ModeChange]:
    """The changes up to ``step`` that count: of stretches that state the same groups, only the last."""
    left = bisect_right(changes, step, key=lambda change: change.step)
    told: list[tuple[tuple[str, ...], list[ModeChange]]] = []
    last: dict[tuple[str, ...], int] = {}
    for piece in pieces(changes):
        count = len(piece) if isinstance(piece, list) else piece.count
        inside = min(count, left)
        if isinstance(piece, list):
            told.append(((), piece if inside == count else piece[:inside]))
        else:
            # each of its lines states the same; the one before the last counts where the last is not inside
            kinds = piece.kinds if inside == count else ()
            last[kinds] = len(told)
            told.append((kinds, piece.written(max(0, inside - 2 * len(piece.kinds)), inside)))
        left -= inside
        if not left:
            break
    for place, (kinds, some) in enumerate(told):
        if not kinds or last[kinds] == place:
            yield from some


def _moving(steps: Items[Step], stop: int) -> set[str]:
    """The axes that the first ``stop`` steps move."""
    axes = {axis for one in kept(steps, stop) if isinstance(one, Move) for axis in one.axes}
    at = 0
    for piece in pieces(steps):
        if not isinstance(piece, list) and at < stop:
            axes.update(piece.kinds)
        at += len(piece) if isinstance(piece, list) else piece.count
    return axes


def _axes(steps: Items[Step], stop: int, start: Mapping[str, float], moved_origin: int) -> dict[str, Standing]:
    """Where each axis that the first ``stop`` steps move stands: seen from the end, so that it costs little.

    ``moved_origin``: the step before which coordinates last changed what they count from.
    """
    sought = _moving(steps, stop)
    found: dict[str, Standing] = {}
    stepped: dict[str, tuple[float | None, int]] = {}
    for index, move in backwards(steps, stop, sought):
        if not sought:
            break
        if not isinstance(move, Move) or sought.isdisjoint(move.axes):
            continue
        for axis in sought.intersection(move.axes):
            at = stepped[axis][0] if axis in stepped else move.to.get(axis)
            if move.frame == "incremental":
                stepped[axis] = at, index
                continue
            found[axis] = Standing(at, move.frame, move.frame == "machine" or moved_origin <= index)
            sought.discard(axis)
    for axis in sought:
        at, index = stepped[axis]
        found[axis] = Standing(at, "machine") if axis in start else Standing(at, "", moved_origin <= index)
    return found


def _mist(steps: Sequence[Step], mist_on: str | None) -> bool:
    for one in reversed(steps):
        if one.op == "aux" and one.code == mist_on:
            return True
        if one.op == "coolant" and not one.on:
            return False
    return False
