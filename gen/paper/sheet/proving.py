"""What the prove-out does, worked out from its own plan: how far off the stick stops, and how long its last move is."""

from __future__ import annotations

from dataclasses import replace

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.control.draft import Program
from gen.control.messages import messages_in
from gen.order.compose import compose
from gen.paper.dressing import Dressing, dressing
from gen.paper.duration import time_of
from gen.paper.shown import Shown
from gen.plan.step import Move
from gen.shop.edition import Edition


@dataclass(frozen=True, slots=True)
class Proving:
    """``gap`` is what is left to contact where the stick turns back, ``seconds`` how long the feed to there takes.

    Both are empty for a timed feeder, whose stick stays in its seat then.
    """

    gap: str = ""
    seconds: str = ""


def proving(program: Program, shown: Shown) -> Proving:
    """The prove-out of ``program`` with the wheel and stick of its sheet."""
    dress = program.dress
    if dress.dresser.axis is None:
        return Proving()
    edition = Edition(purpose="prove-out")
    try:
        plan = compose(
            dress,
            program.dialect.grid,
            program.dialect.abilities,
            registers=program.by_registers,
            edition=edition,
            say=messages_in(program.heading.language, program.dialect.control),
        )
    except DressblockError:
        # parked too near to be held off: generating the prove-out says so
        return Proving()
    dry = dressing(replace(program, plan=plan, heading=replace(program.heading, edition=edition)), program.state)
    gaps = [stand.gap for stand in dry.contacts.after.values() if stand.gap is not None]
    if not gaps:
        return Proving()
    return Proving(gap=shown.length(round(min(gaps), 2)), seconds=_seconds(dry, shown))


def _seconds(dry: Dressing, shown: Shown) -> str:
    """How long the first feed of the plunge axis toward the wheel takes; empty where there is none."""
    dresser, contacts = dry.dress.dresser, dry.contacts
    for index, step in enumerate(dry.steps):
        if isinstance(step, Move) and step.rate is not None and step.axes == (dresser.axis,):
            before = contacts.place_before(index)
            if before is not None and (contacts.advance(index, dresser.sign) or 0.0) > 0:
                return shown.seconds(time_of(step, dry.dress.machine.axes, {dresser.way: before}))
    return ""
