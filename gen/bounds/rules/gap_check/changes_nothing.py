"""A gap check writes no register and leaves the overrides free.

Why: No stick is used and no dress is made, and a hand stays on the override.
Example: A gap check writes register 502.
Helps: Generate the gap check again.
"""

from gen.bounds.kit import DressBlock, Fault, Found, bound
from gen.plan.step import Aux, Write


@bound("gap-check", intents=("gap-check",), needs="states")
def check(block: DressBlock) -> Found:
    for _, write in block.steps(Write):
        yield Fault(write.line, f"a gap check writes nothing, and this one writes register {write.register}.")
    for _, word in block.steps(Aux):
        if word.function == "override-lock":
            yield Fault(word.line, "a gap check leaves the overrides free; here they are locked.")
