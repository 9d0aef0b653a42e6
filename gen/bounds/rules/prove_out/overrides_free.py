"""A prove-out leaves the overrides free.

Why: It is run with the override turned down.
Example: M49 stands in a prove-out.
Helps: Generate the prove-out again.
"""

from gen.bounds.kit import DressBlock, Fault, Found, bound
from gen.plan.step import Aux


@bound("prove-out", intents=("prove-out",), needs="states")
def check(block: DressBlock) -> Found:
    for _, word in block.steps(Aux):
        if word.function == "override-lock":
            yield Fault(word.line, "a prove-out leaves the overrides free; here they are locked.")
