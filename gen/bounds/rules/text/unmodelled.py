"""What the reader knows but does not work out (compensation, canned cycles) is named where it acts.

Why: Inside such a span the positions are not those that were read, so nothing is proven there.
Example: G41 is in force when the block begins, and the block does not cancel it.
Helps: End the cycle or compensation before the dress; a generated block cancels them by itself.
"""

from gen.bounds.kit import ANY, Dress, DressBlock, Expected, Fault, Found, Marks, Reading, bound


@bound("unmodelled", scope="program", always=True, intents=ANY)
def check(reading: Reading, block: DressBlock, dress: Dress | None, expected: Expected, marks: Marks) -> Found:
    for first, last, what in reading.unmodelled:
        span = "" if last == first else f" up to line {last}"
        inside = first <= block.last and last >= block.first and dress is not None
        inside = inside and not _over_before(block, first, last)
        inside = inside and not _begins_after(block, expected, first, what)
        yield Fault(
            first,
            f"{what}; what it does here{span} is not worked out.",
            severity="error" if inside else "warning",
            certainty="unproven",
        )
    for first, _, what in reading.lost:
        # whatever depends on what is not known is unknown too; a program of ours does nothing of the kind itself
        inside = (dress is not None or marks.ours) and (block.has(first) or marks.owns(first))
        yield Fault(first, f"{what}.", severity="error" if inside else "warning", certainty="unproven")


def _over_before(block: DressBlock, first: int, last: int) -> bool:
    """Whether what began before the block is switched off in it before anything moves, as a spliced block does."""
    begins = next((move.line for _, move in block.moves), None)
    return first < block.first and begins is not None and last < begins


def _begins_after(block: DressBlock, expected: Expected, first: int, what: str) -> bool:
    """Whether what begins behind the block's last move is what the block is to leave on."""
    ends = max((move.line for _, move in block.moves), default=block.last)
    kept = [group for group, meaning in (expected.leaves or {}).items() if meaning not in ("off", "")]
    return first > ends and any(f"({group.replace('_', ' ')})" in what for group in kept)
