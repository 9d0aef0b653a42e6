"""What the reader knows but does not work out (compensation, canned cycles) is named where it acts."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule


@rule("unmodelled", scope="program", needs=(), always=True, intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    for first, last, what in case.reading.unmodelled:
        span = "" if last == first else f" up to line {last}"
        inside = first <= case.last and last >= case.first and case.dress is not None
        inside = inside and not _over_before(case, first, last) and not _begins_after(case, first, what)
        yield Fault(
            first,
            f"{what}; what it does here{span} is not worked out.",
            severity="error" if inside else "warning",
            certainty="unproven",
        )


def _over_before(case: Case, first: int, last: int) -> bool:
    """Whether what began before the block is switched off in it before anything moves, as a spliced block does."""
    begins = next((move.line for _, move in case.moves), None)
    return first < case.first and begins is not None and last < begins


def _begins_after(case: Case, first: int, what: str) -> bool:
    """Whether what begins behind the block's last move is what the block is to leave on."""
    ends = max((move.line for _, move in case.moves), default=case.last)
    kept = [group for group, meaning in (case.host_modes or {}).items() if meaning not in ("off", "")]
    return first > ends and any(f"({group.replace('_', ' ')})" in what for group in kept)
