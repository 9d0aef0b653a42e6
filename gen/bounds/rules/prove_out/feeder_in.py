"""A prove-out never lets a timed feeder out.

Why: Nothing holds a feeder short of the wheel.
Example: M71 stands in a prove-out.
Helps: Generate the prove-out again; it is run with the feeder's air off.
"""

from gen.bounds.kit import DressBlock, Fault, Found, bound
from gen.plan.step import Aux


@bound("prove-out", intents=("prove-out",), needs="states")
def check(block: DressBlock) -> Found:
    for _, word in block.steps(Aux):
        if word.function == "feeder-on":
            yield Fault(word.line, "the feeder is let out; a prove-out never switches it on.")
