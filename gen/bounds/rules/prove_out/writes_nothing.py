"""A prove-out writes no register.

Why: The stick is as long as before, and no dress was made.
Example: A prove-out writes register 502.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import DressBlock, Fault, Found, bound
from gen.plan.step import Write


@bound("prove-out", intents=("prove-out",), needs="states")
def check(block: DressBlock) -> Found:
    for _, write in block.steps(Write):
        yield Fault(write.line, f"a prove-out writes nothing, and this one writes register {write.register}.")
