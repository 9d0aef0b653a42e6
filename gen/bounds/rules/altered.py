"""The body of a generated block is what was generated: it still has the digest that its heading states."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule


@rule("altered", scope="program", needs=(), always=True, intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    for seal in case.seals:
        if seal.stated != seal.computed:
            yield Fault(
                seal.line,
                f"block {seal.number} was changed since it was generated (digest {seal.computed}, stated "
                f"{seal.stated}); generate it again, or have the change looked at.",
                certainty="changed",
            )
