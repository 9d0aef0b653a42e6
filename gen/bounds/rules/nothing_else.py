"""A dress switches nothing but what it needs, and hangs on no register that nobody has given a value."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.plan.step import Aux


@rule("nothing-else", needs=("recipe",), intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    for _, word in case.steps(Aux):
        if not word.function and word.code != case.mist:
            yield Fault(word.line, f"{word.code} has no place in a dress; take it out of the block.")
    own = set(case.known.register_numbers.values())
    for read in case.reads:
        if read.register in case.reading.unset and read.register not in own:
            yield Fault(
                read.line,
                f"register {read.register} is read here, and nothing has given it a value; what the block does "
                "hangs on whatever was left in it.",
                certainty="unproven",
            )
