"""A prove-out writes no register."""

from gen.bounds.kit import Dress, DressBlock, Fault, Found, Wear, bound
from gen.plan.step import Write


@bound(
    "prove-out",
    intents=("prove-out",),
    why="The stick is as long as before, and no dress was made.",
    example="A prove-out writes register 502.",
    helps="Generate the prove-out again.",
)
def check(block: DressBlock, dress: Dress, wear: Wear) -> Found:
    for _, write in block.steps(Write):
        yield Fault(write.line, f"a prove-out writes nothing, and this one writes register {write.register}.")
