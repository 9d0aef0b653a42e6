"""A timed feeder retracts on hold, reset and power loss, and single block cannot part feeder-on and its dwell."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.feeding import feeder
from gen.bounds.registry import rule
from gen.plan.step import Aux, Dwell

_WHEN = {"on_hold": "a feed hold", "on_reset": "a reset", "on_power_loss": "a loss of power"}


@rule("feeder", intents=("dress", "prove-out"))
def check(case: Case) -> Iterator[Fault]:
    if not case.known.timed:
        return
    said = [*_interrupted(case), *_single_block(case)]
    if said:
        yield Fault(None, " ".join(said))
    one_line = case.known.machine.dresser.single_block == "one-line"
    for index, on in case.steps(Aux):
        if not feeder(on, "feeder-on"):
            continue
        after = case.reading.steps[index + 1] if index + 1 < case.block.stop else None
        if not isinstance(after, Dwell):
            yield Fault(on.line, "the feeder is let out here, and its dwell does not follow; how far it goes is open.")
        elif one_line and after.line != on.line:
            yield Fault(
                on.line,
                "feeder-on and its dwell stand in two lines, and single block stops between them with the stick in "
                "the wheel; write them in one line.",
            )


def _interrupted(case: Case) -> Iterator[str]:
    dresser = case.known.machine.dresser
    does = {key: str(getattr(dresser, key)) for key in _WHEN}
    for answer, what in (("stays", "stays where it is"), ("advances", "goes on")):
        keys = [key for key, given in does.items() if given == answer]
        if keys:
            yield (
                f"on {listed((_WHEN[key] for key in keys), 'and')} the feeder {what}, the stick in a turning wheel "
                f"and no dwell to end it; it must retract by itself ({listed(keys, 'and')})."
            )
    unknown = [key for key, given in does.items() if given == "unknown"]
    if unknown:
        yield (
            f"the machine file does not say what the feeder does on {listed((_WHEN[key] for key in unknown), 'and')}; "
            f'find out, and give {listed(unknown, "and")} in [dresser]: only "retracts" is safe.'
        )


def _single_block(case: Case) -> Iterator[str]:
    if case.known.machine.dresser.single_block == "unknown":
        yield (
            "nothing says that single block cannot stop between feeder-on and its dwell, which would leave the stick "
            'in the wheel; give dresser.single_block = "one-line" if the control takes both in one line and switches '
            'first, or "inhibited" if the machine ignores single block while the feeder is on.'
        )
