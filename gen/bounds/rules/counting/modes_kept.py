"""A block that only counts a part leaves the modes alone.

Why: The host would go on in modes that only a dress puts back.
Example: G91 stands in the branch that only counts.
Helps: State modes behind the branch, where a dress is due.
"""

from gen.bounds.kit import DressBlock, Fault, Found, bound


@bound("part-counter", intents=("idle",), needs="states")
def check(block: DressBlock) -> Found:
    for change in block.changes:
        yield Fault(change.line, "no dress is due, and yet a mode is changed; the host would go on with it.")
