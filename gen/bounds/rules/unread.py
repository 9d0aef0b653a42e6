"""Every word of the program is one that the control is known to have, and the program is read to its end."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.reader.reading import UNFINISHED


@rule("unread", scope="program", needs=(), always=True, intents=("dress", "prove-out", "idle"))
def check(case: Case) -> Iterator[Fault]:
    if case.past_stops:
        # going round a repeated stop exhausts any budget, as it should
        return
    for entry in case.reading.unread:
        inside = case.first <= entry.line <= case.last or case.reading.end in UNFINISHED
        text = f'"{entry.text.strip()}": ' if entry.text.strip() else ""
        yield Fault(
            entry.line,
            f"{text}{entry.why}.",
            severity="error" if inside else "warning",
            certainty="unproven",
        )
