"""What the reader knows but does not work out (compensation, canned cycles) is named where it acts."""

from __future__ import annotations

from collections.abc import Iterator

from gen.bounds.case import Case
from gen.bounds.finding import Fault
from gen.bounds.registry import rule


@rule("unmodelled", scope="program", needs=(), always=True, intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    for first, last, what in case.reading.unmodelled:
        span = "" if last == first else f" up to line {last}"
        inside = first <= case.last and last >= case.first and case.facts is not None
        yield Fault(
            first,
            f"{what}; what it does here{span} is not worked out.",
            severity="error" if inside else "warning",
            certainty="unproven",
        )
