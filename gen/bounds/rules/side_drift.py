"""An inclined stick covers the wheel's whole width however far the wheel has worn."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule


@rule("side-drift")
def check(case: Case) -> Iterator[Fault]:
    wheel = case.known.first
    if wheel.recentre_sign:
        return  # where it stands at each plunge is approach-path's
    size = case.size_of(wheel)
    aside = wheel.drift(size)
    bare = aside - max(0.0, wheel.slack)
    if aside > TOLERANCE and bare > TOLERANCE:
        covered = "no axis can follow it" if case.machine.dresser.lateral_axis is None else "no axis follows it"
        yield Fault(
            None,
            f"at an inclination the stick meets a wheel of {case.mm(size)} {case.mm(aside)} aside of where it met the "
            f"new one, and {covered}: {case.mm(bare)} of the wheel's width is never opened; {_help(case)}.",
            amount=bare,
        )


def _help(case: Case) -> str:
    dress = case.known
    follow = "" if dress.machine.dresser.lateral_axis is None else "name dresser.recentre in the machine file, or "
    return f"{follow}use a wider stick or a wheel that wears less"
