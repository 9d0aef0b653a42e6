"""Axes that the dress moved are brought to a place of the host before anything is ground.

Why: The dress leaves them where the wheel was dressed, and the cut would begin there.
Example: G1 Y5 stands behind the dress while X may stand where the dress left it.
Helps: Go to a known place as a rapid first; splice writes the way back.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, Dress, DressBlock, Fault, Found, bound, stands_at
from gen.bounds.rules.program.behind import behind
from gen.reader.standing import InForce


@bound("host-continues", scope="program", intents=MOVING, needs="states")
def check(block: DressBlock, dress: Dress) -> Found:
    if not block.run:
        return
    plunge = dress.dresser.way
    moved = {axis for _, move in block.moves for axis in move.axes if axis != plunge}
    elsewhere = {axis for axis in moved if not _same_place(block.before, block.left, axis)}
    for _, move in behind(block):
        if not elsewhere:
            return
        axes = listed(sorted(elsewhere), "and")
        stepped = elsewhere & set(move.axes) if move.frame == "incremental" else set()
        if stepped:
            yield Fault(
                move.line,
                f"{listed(sorted(stepped), 'and')} moves by a step from where the dress left it, and ends elsewhere "
                "than without the dress; go to a known place first.",
            )
            return
        if move.op != "rapid":
            yield Fault(
                move.line,
                f"this moves at a feed while {axes} may stand where the dress left it; go to a known place first.",
                certainty="unproven",
            )
            return
        elsewhere -= set(move.axes)


def _same_place(before: InForce, left: InForce, axis: str) -> bool:
    was, now = before.axes.get(axis), left.axes.get(axis)
    return was is not None and was.at is not None and now is not None and stands_at(was.at, now.at)
