"""Feed and speed overrides are locked during the dress where the control can; else the window is said."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.override_range import feed_override
from gen.bounds.registry import rule
from gen.plan.step import Aux


@rule("override")
def check(case: Case) -> Iterator[Fault]:
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
        window = feed_override(case.known)
        held = "at 100 % only" if window is None else f"from {window[0]} % to {window[1]} %"
        yield Fault(
            None,
            f"this control cannot lock its overrides; the band holds with the feed override {held} and the spindle "
            "override at 100 %.",
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
