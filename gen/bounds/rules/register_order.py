"""Registers are read and written only when motion has ended, and in the order that survives an interruption."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.contacts import TOLERANCE
from gen.bounds.registry import rule
from gen.plan.step import Aux, Move, Register, RegisterRead, Write


@rule("register-order")
def check(case: Case) -> Iterator[Fault]:
    names = _names(case)
    writes = [(index, step, names[step.register]) for index, step in case.steps(Write) if step.register in names]
    if not writes and not any(read.register in names for read in case.reads):
        return
    early = [read for read in case.reads if read.register in names and _still_moving(case, read.step)]
    # what is read behind the same motion is behind the same missing wait
    for read in {read.step: read for read in reversed(early)}.values():
        yield Fault(
            read.line,
            f"{_named(read, names[read.register])} is read while motion may not have ended; "
            "put the word that waits before it.",
        )
    if not case.synchronise:
        for _, step, name in writes:
            yield Fault(step.line, f"{_named(step, name)} is written, and this control has no word that waits.")
        return
    yield from _stick(case, [(index, step) for index, step, name in writes if name == "stick_length"])
    yield from _flag(case, writes)
    yield from _counter(case, writes)
    for _, step, name in writes:
        if name in case.known.sizes:
            yield Fault(step.line, f"{_named(step, name)} is written; a dress leaves the wheel as it is.")


def _names(case: Case) -> dict[Register, str]:
    wanted = (*case.known.sizes, "stick_length", "parts_since_dress", "in_progress")
    return {number: name for name, number in case.known.register_numbers.items() if name in wanted}


def _still_moving(case: Case, step: int) -> bool:
    """Whether, before step number ``step``, anything has moved since the last wait for motion."""
    if not case.synchronise:
        return False
    for index in range(step - 1, -1, -1):
        earlier = case.reading.steps[index]
        if isinstance(earlier, Aux) and earlier.function == "synchronise":
            return False
        if isinstance(earlier, Move) or (isinstance(earlier, Aux) and earlier.function in ("feeder-on", "feeder-off")):
            return True
    return False


def _early(case: Case, index: int, step: Write, name: str) -> Iterator[Fault]:
    """Faults of a write that follows motion."""
    gap = case.contacts.gaps[index]
    if gap is not None and gap < case.gap - TOLERANCE:
        yield Fault(step.line, f"{_named(step, name)} is written before the stick is clear of the wheel.")
    elif _still_moving(case, index):
        yield Fault(
            step.line,
            f"{_named(step, name)} is written while motion may not have ended; put the word that waits before it.",
        )


def _stick(case: Case, writes: list[tuple[int, Write]]) -> Iterator[Fault]:
    """The stick's length is written after each retract, as long as it then is."""
    plunges, dress = case.contacts.plunges, case.known
    for index, step in writes:
        if not plunges or index < plunges[0].enters:
            said = "the stick's length is written before the first plunge; it is as it was."
            yield Fault(step.line, said, amount=1e9)
            continue
        yield from _early(case, index, step, "stick_length")
        left = case.stick_length - case.contacts.shortened[index]
        written = step.value * float(dress.register_unit)
        if abs(written - left) > TOLERANCE * max(1, len(plunges)):
            yield Fault(
                step.line,
                f"the stick's length is written as {case.mm(written)}; after this plunge it is {case.mm(left)} "
                f"({case.here}).",
                amount=abs(written - left),
            )
    if dress.incremental:
        return
    was = 0.0
    for place, plunge in enumerate(plunges):
        begin = plunge.enters
        end = plunges[place + 1].enters if place + 1 < len(plunges) else case.block.stop
        before, was = was, case.contacts.shortened[end - 1]
        if was > before + TOLERANCE and not any(begin < index < end for index, _ in writes):
            yield Fault(plunges[place].last_line, "the stick's new length is not written after this plunge.")


def _flag(case: Case, writes: list[tuple[int, Write, str]]) -> Iterator[Fault]:
    """In progress: set before the first plunge, cleared by the last write of all."""
    plunges = case.contacts.plunges
    flags = [(index, step) for index, step, name in writes if name == "in_progress"]
    if not plunges:
        return
    if not any(index < plunges[0].enters and step.value != 0 for index, step in flags):
        yield Fault(plunges[0].line, "the stick meets the wheel before the in-progress register is set.")
    ends = [(index, step) for index, step in flags if step.value == 0]
    for index, step in ends:
        if index < plunges[-1].enters or any(later > index for later, _, name in writes if name != "in_progress"):
            said = "the in-progress register is cleared too early; it is the last thing a dress writes."
            yield Fault(step.line, said)
        else:
            yield from _early(case, index, step, "in_progress")
    if not ends or flags[-1][1].value != 0:
        yield Fault(case.last_line, "the block ends without having cleared the in-progress register.")


def _counter(case: Case, writes: list[tuple[int, Write, str]]) -> Iterator[Fault]:
    """Parts since the last dress: zeroed after the last plunge, where the machine counts them."""
    plunges = case.contacts.plunges
    counts = [(index, step) for index, step, name in writes if name == "parts_since_dress"]
    table = case.known.machine.registers
    if not plunges or table is None or table.parts_since_dress is None:
        return
    # a block that counts the parts has the one that comes now in its count already
    first = int(case.counts)
    for index, step in counts:
        if step.value != first:
            said = f"the counter of parts is set to {step.value:g}; after this dress it starts at {first}."
            yield Fault(step.line, said)
        elif index < plunges[-1].enters:
            yield Fault(step.line, "the counter of parts is zeroed before the last plunge.")
        else:
            yield from _early(case, index, step, "parts_since_dress")
    if not counts:
        yield Fault(case.last_line, "the block ends without having zeroed the counter of parts.")


def _named(event: RegisterRead | Write, name: str) -> str:
    return f"register {event.register} ({name.replace('_', ' ')})"
