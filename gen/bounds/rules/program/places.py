"""Axes that the dress moved are brought to a place of the host before anything is ground.

Why: The dress leaves them where the wheel was dressed, and the cut would begin there.
Example: G1 Y5 stands behind the dress while X may stand where the dress left it.
Helps: Go to a known place as a rapid first; splice writes the way back.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, Around, Dress, DressBlock, Fault, Found, bound, stands_at
from gen.reader.standing import InForce


@bound("host-continues", scope="program", intents=MOVING)
def check(block: DressBlock, dress: Dress, around: Around) -> Found:
    if around.first is None:
        return
    plunge = dress.dresser.way
    moved = {axis for _, move in block.moves for axis in move.axes if axis != plunge}
    elsewhere = {axis for axis in moved if not _same_place(around.before, around.left, axis)}
    for _, move in around.moves():
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
