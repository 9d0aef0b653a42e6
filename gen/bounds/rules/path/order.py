"""Before the first plunge each other axis moves once, in the machine file's order, the lateral axis last."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.block import DressBlock
from gen.bounds.case import MOVING
from gen.bounds.contacts import Contacts
from gen.bounds.registry import bound
from gen.plan.step import Move, Spindle, Stop
from gen.shop.dress import Dress


@bound(
    "approach-path",
    intents=MOVING,
    why="The order is the one in which the way was found free when the machine was set up.",
    example="Z goes to the wheel before X has gone to its place.",
    helps="Keep the order of dresser.at in the machine file.",
)
def order(block: DressBlock, dress: Dress, contacts: Contacts) -> Iterator[Fault]:
    dresser, plunges, moves = dress.machine.dresser, contacts.plunges, list(block.moves)
    axis = dresser.way
    across = dress.first.keys.lateral is not None and dresser.lateral_axis
    wanted = [*dresser.at, *([across] if across else [])]
    until = plunges[0].enters if plunges else _first_advance(block, axis, moves)
    found = [(move.axes[0], move.line) for index, move in moves if index < until and move.axes != (axis,)]
    for (letter, line), due in zip(found, wanted, strict=False):
        if letter != due:
            yield Fault(line, f"axis {letter} moves where axis {due} is due; the order is {', '.join(wanted)}.")
            return
    if len(found) < len(wanted) and plunges:
        late = wanted[len(found)]
        yield Fault(
            plunges[0].line, f"the stick meets the wheel before axis {late} was brought to its place.", amount=1e9
        )
    elif len(found) > len(wanted):
        letter, line = found[len(wanted)]
        yield Fault(line, f"axis {letter} moves once more before the first plunge.")
    for index, move in moves:
        if index > until and move.axes[:1] != (axis,) and move.axes[0] in dresser.at:
            yield Fault(move.line, f"axis {move.axes[0]} is moved off its place between plunges.")


def _first_advance(block: DressBlock, axis: str, moves: list[tuple[int, Move]]) -> int:
    """Where the plunge axis moves for the second time; the first was to park, or to draw back.

    Where no axis plunges, the first stop after the spindle has started stands for it.
    """
    advances = [index for index, move in moves if axis in move.axes]
    if len(advances) > 1:
        return advances[1]
    turning = next((index for index, _ in block.steps(Spindle)), block.run.stop)
    return next((index for index, _ in block.steps(Stop) if index > turning), block.run.stop)
