"""Tool length, compensation, shifts, rotation, scaling and canned cycles are cancelled before the block moves.

Why: Each of them bends or shifts what a position means, on some controls in machine coordinates too.
Example: The block moves before it has said G49.
Helps: Cancel them at the top of the block, and put them back only behind its last move.
"""

from gen.base.errors import listed
from gen.bounds.kit import MOVING, Abilities, DressBlock, Expected, Fault, Found, bound
from gen.bounds.rules.modes.stated_first import stated
from gen.plan.step import UNKNOWN


@bound("frame", intents=MOVING, needs="machine")
def check(block: DressBlock, expected: Expected, words: Abilities) -> Found:
    moves = list(block.moves)
    if not moves:
        return
    (index, first), (last, _) = moves[0], moves[-1]
    missing = []
    for group, meaning in words.cancels:
        if not stated(block, group, index, first.line, meaning):
            missing.append(f"{group.replace('_', ' ')} {meaning.replace('-', ' ')}")
        for change in block.stated(group):
            put_back = change.step > last and change.value in ("restored", (expected.leaves or {}).get(group))
            if change.value not in (meaning, UNKNOWN) and not put_back:
                said = f"{group.replace('_', ' ')} is set to {change.value} inside the block; it must stay {meaning}."
                yield Fault(change.line, said)
    if missing:
        yield Fault(first.line, f"the block moves before it has said {listed(missing, 'and')}.")
