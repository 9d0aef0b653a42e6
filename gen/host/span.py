"""Where in a program its dresses lie: between their marks, or where the motion is a dress's."""

from __future__ import annotations

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
    found: list[Span] = []
    was: Move | None = None
    for at, move in reading.moves(range(len(reading.steps))):
        inside = bool(found) and found[-1].first <= move.line <= found[-1].last
        if not inside and _is_stroke(was, move, machine):
            found.append(_around(reading, at, machine, lines))
        was = move
    return found


def _is_stroke(was: Move | None, move: Move, machine: Machine) -> bool:
    """Whether ``move``, behind ``was``, feeds the plunge axis, alone, towards the wheel in the dresser's frame."""
    dresser = machine.dresser
    if move.op != "feed" or move.axes != (dresser.axis,) or not dresser.in_its_frame(move):
        return False
    stood, stands = None if was is None else was.to.get(dresser.way), move.to.get(dresser.way)
    return stands is None or stood is None or dresser.sign * (stands - stood) > 0


def _around(reading: Reading, index: int, machine: Machine, lines: int) -> Span:
    """The lines around the stroke at step ``index``."""
    axis, moves = machine.dresser.axis, list(reading.moves(range(len(reading.steps))))
    here = next(place for place, (at, _) in enumerate(moves) if at == index)
    begin = end = here
    while begin and machine.dresser.in_its_frame(moves[begin - 1][1]):
        begin -= 1
    while end + 1 < len(moves) and machine.dresser.in_its_frame(moves[end + 1][1]):
        end += 1
    # a dress begins and ends with the stick's own axis; what goes out before it, or back after it, is the program's
    begin = next(place for place in range(begin, here + 1) if axis in moves[place][1].axes)
    end = next(place for place in range(end, here - 1, -1) if axis in moves[place][1].axes)
    first, last = moves[begin][1].line, moves[end][1].line
    before = moves[begin - 1][1].line if begin else 0
    after = moves[end + 1][1].line if end + 1 < len(moves) else lines + 1
    return Span(before + 1 if before < first else first, after - 1 if after > last else last)
