"""Feed and speed overrides are locked during the dress where the control can; else the window is said."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gen.bounds.case import Case
from gen.bounds.finding import Fault
from gen.bounds.registry import rule
from gen.steps import Aux


@rule("override")
def check(case: Case) -> Iterator[Fault]:
    dresses = [one.dress for one in case.known.pack]
    if not case.override_lock and case.known.timed:
        yield Fault(
            None,
            "this control cannot lock its overrides; no override reaches the feeder, so that the band holds with the "
            "spindle override at 100 % only.",
            severity="warning",
            certainty="unproven",
        )
        return
    if not case.override_lock:
        low = max(float(dress.band[0] / dress.aggressiveness) * 100 for dress in dresses)
        high = min(float(dress.band[1] / dress.aggressiveness) * 100 for dress in dresses)
        yield Fault(
            None,
            f"this control cannot lock its overrides; the band holds with the feed override from "
            f"{math.ceil(low - 1e-9)} % to {math.floor(high + 1e-9)} % and the spindle override at 100 %.",
            severity="warning",
            certainty="unproven",
        )
        return
    plunges = case.contacts.plunges
    switched = [(index, step) for index, step in case.steps(Aux) if step.function in ("override-lock", "override-free")]
    for plunge in plunges:
        before = [step for index, step in switched if index < plunge.enters]
        if not before or before[-1].function != "override-lock":
            yield Fault(plunge.line, "the overrides are not locked when the stick meets the wheel.")
    kept = (case.host_modes or {}).get("override") == "lock"
    if plunges and switched and switched[-1][1].function == "override-lock" and not kept:
        yield Fault(switched[-1][1].line, "the overrides are locked here and never freed again.")
