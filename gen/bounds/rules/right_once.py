"""Numbers worked out for one wheel and stick run once; what runs again reads them, or counts from a stand-off."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule

_INSTEAD = "use registers or a dresser set to a stand-off, or generate anew before each dress"


@rule("right-once", needs=("recipe",))
def check(case: Case) -> Iterator[Fault]:
    dress = case.known
    if dress.incremental or dress.timed or case.reads:
        return
    shorter = case.mm(float(dress.stick_per_dress))
    if case.form == "subprogram":
        yield Fault(
            None,
            "a subprogram is called again and again, and this one has the numbers of one wheel and one stick, which "
            f"is {shorter} shorter after each dress; {_INSTEAD}.",
        )
    elif dress.settings.every_parts is not None:
        yield Fault(
            None,
            f"dress.every_parts asks for a dress every {dress.settings.every_parts} parts, and the numbers here are "
            f"right for the first: the stick is {shorter} shorter after each dress; {_INSTEAD}.",
            severity="warning",
        )
