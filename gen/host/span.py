"""Where in a program its dresses lie: between their marks, or where the motion is a dress's."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.dataclass import dataclass
from gen.control.seal import MarkedBlock, blocks
from gen.plan.step import Move
from gen.reader import Reading
from gen.shop.machine import Machine


@dataclass(frozen=True)
class Span:
    """The lines of a dress, both included; ``marked`` tells what its marks say."""

    first: int
    last: int
    marked: MarkedBlock | None = None


def by_marks(lines: list[str]) -> list[Span]:
    """The dresses between marks."""
    return [Span(block.first, block.last, block) for block in blocks(lines)]


def by_motion(reading: Reading, machine: Machine, lines: int) -> list[Span]:
    """The dresses of a program of so many ``lines``, found where the plunge axis feeds towards the wheel.

    A dress is all that is done, in the dresser's own coordinates, around such a
    stroke: from behind the last move of anything else to before the next.
    """
    steps = reading.steps
    strokes = [
        index for index, step in enumerate(steps) if isinstance(step, Move) and _is_stroke(reading, index, machine)
    ]
    found: list[Span] = []
    for index in strokes:
        if found and found[-1].first <= steps[index].line <= found[-1].last:
            continue
        found.append(_around(reading, index, machine, lines))
    return found


def _is_stroke(reading: Reading, index: int, machine: Machine) -> bool:
    """Whether step ``index`` feeds the plunge axis, alone, towards the wheel in the dresser's frame."""
    dresser, move = machine.dresser, reading.steps[index]
    if not isinstance(move, Move) or move.op != "feed" or move.axes != (dresser.axis,):
        return False
    if not _dressers(move, machine):
        return False
    now, was = move.to.get(dresser.way), _stood(reading, index, dresser.way)
    return now is None or was is None or dresser.sign * (now - was) > 0


def _dressers(move: Move, machine: Machine) -> bool:
    """Whether ``move`` is in the dresser's coordinates, or a step of an incremental slide."""
    dresser = machine.dresser
    own = {"machine"} if dresser.offset is None else {"machine", dresser.offset.word}
    stepped = dresser.moves_by_steps and move.axes == (dresser.axis,) and move.frame == "incremental"
    return move.frame in own or stepped


def _stood(reading: Reading, index: int, axis: str) -> float | None:
    earlier = (step for step in reversed(reading.steps[:index]) if isinstance(step, Move))
    return next((move.to.get(axis) for move in earlier), None)


def _around(reading: Reading, index: int, machine: Machine, lines: int) -> Span:
    """The lines around the stroke at step ``index``."""
    axis, moves = machine.dresser.axis, list(_moves(reading))
    here = next(place for place, (at, _) in enumerate(moves) if at == index)
    begin = end = here
    while begin and _dressers(moves[begin - 1][1], machine):
        begin -= 1
    while end + 1 < len(moves) and _dressers(moves[end + 1][1], machine):
        end += 1
    # a dress begins and ends with the stick's own axis; what goes out before it, or back after it, is the program's
    begin = next(place for place in range(begin, here + 1) if axis in moves[place][1].axes)
    end = next(place for place in range(end, here - 1, -1) if axis in moves[place][1].axes)
    first, last = moves[begin][1].line, moves[end][1].line
    before = moves[begin - 1][1].line if begin else 0
    after = moves[end + 1][1].line if end + 1 < len(moves) else lines + 1
    return Span(before + 1 if before < first else first, after - 1 if after > last else last)


def _moves(reading: Reading) -> Iterator[tuple[int, Move]]:
    return ((index, step) for index, step in enumerate(reading.steps) if isinstance(step, Move))
