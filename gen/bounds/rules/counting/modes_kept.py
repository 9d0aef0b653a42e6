"""A block that only counts a part leaves the modes alone."""

from gen.bounds.kit import Dress, DressBlock, Fault, Found, Wear, bound


@bound(
    "part-counter",
    intents=("idle",),
    why="The host would go on in modes that only a dress puts back.",
    example="G91 stands in the branch that only counts.",
    helps="State modes behind the branch, where a dress is due.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Found:
    for change in block.changes:
        yield Fault(change.line, "no dress is due, and yet a mode is changed; the host would go on with it.")
