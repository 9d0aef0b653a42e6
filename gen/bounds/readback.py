"""A program read back, at every state that matters, as what the bounds judge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial

from gen.base.errors import DressblockError
from gen.base.lines import lines_of
from gen.bounds.all_states import EXPRESSION_TOLERANCE, parted
from gen.bounds.case import Case, Expected
from gen.bounds.states import (
    idle_states,
    leaves_out_at,
    left_out_states,
    overdue_states,
    refused_states,
    unique,
    when_due,
    with_counts,
)
from gen.control.draft import Program, spell
from gen.control.seal import MarkedBlock, blocks
from gen.plan.differences import differences
from gen.plan.evaluate import at
from gen.plan.node import State
from gen.plan.step import Register, Step
from gen.reader import Lowered, Reading, ReadState, Switches, lower
from gen.reader.all_states.agree import Difference
from gen.reader.rereading import Rereading


def cases(program: Program) -> Iterator[Case]:
    """The program read at every state that matters: wear, stick, and where there are guards, states it must refuse."""
    dress, control = program.dress, program.dialect.control
    if not program.by_registers:
        for state in unique([program.state, *dress.corners()]):
            text = program.text
            if state != program.state:
                text = spell(dress, program.dialect, program.plan, state, program.heading, by_registers=False)
            yield case_of(program, lower(text, control), state, text=text, agree=True)
        return
    yield from read_cases(program, agree=True)


def read_cases(
    program: Program,
    *,
    agree: bool = False,
    block_delete: Switches = False,
    lowered: Lowered | None = None,
    span: tuple[int, int] | None = None,
    ours: bool = True,
) -> Iterator[Case]:
    """A register program at every state: those with which it must run, and those it must refuse.

    ``lowered``: its text, where that is lowered already. ``span``: the lines of the dress in it. ``ours``: the text was
    generated, so that it is held to its plan even where its marks are lost.
    """
    marks = list(blocks(lines_of(program.text)))
    lowered = lower(program.text, program.dialect.control) if lowered is None else lowered
    first, _ = span = span or _extent(program.text, marks)
    case_at = partial(case_of, program, text=program.text, marks=marks, span=span, block_delete=block_delete)
    told = () if block_delete else _parted(program, lowered, marks, first, ours)
    full = _to_be_reread(program, lowered, span)
    good = with_counts(program, unique([program.state, *program.dress.corners()]))
    for state in unique([*when_due(program, good), *overdue_states(program)]):
        case = replace(case_at(full, state, agree=agree), parted=told)
        told = ()
        yield case
        if case.reading.end == "budget":
            # it does not end, which is a finding; no other state would tell more, and each takes as long
            return
    for state in when_due(program, refused_states(program)):
        yield case_at(full, state, accepted=False)
    for state in idle_states(program):
        case = case_at(full, state, agree=agree)
        yield replace(case, expected=replace(case.expected, instead="idle"))
    for state in when_due(program, left_out_states(program)):
        yield case_at(full, state, agree=agree)


def _parted(
    program: Program, lowered: Lowered, marks: list[MarkedBlock], first: int, ours: bool
) -> tuple[Difference, ...]:
    """Where the dress at line ``first`` parts from its plan at any state; one written by hand is not held to one."""
    number = next((at for at, mark in enumerate(marks) if mark.first == first), None)
    return parted(program, lowered, marks, number) if ours or number is not None else ()


def _to_be_reread(program: Program, lowered: Lowered, span: tuple[int, int]) -> Rereading:
    return Rereading(lowered, (range(span[0], span[1] + 1),), set(program.plan.registers.values()))


def case_of(
    program: Program,
    code: Lowered | Rereading,
    state: State,
    *,
    text: str,
    marks: list[MarkedBlock] | None = None,
    span: tuple[int, int] | None = None,
    accepted: bool = True,
    agree: bool = False,
    block_delete: Switches = False,
    reading: Reading | None = None,
) -> Case:
    """One reading of the program, past every stop where it must not be ``accepted``, and what the bounds hold it to.

    ``code`` is ``text`` made ready to be read, once or at many states. ``marks``: the marked blocks of ``text``, where
    they are known already; ``span``: the first and last line of the dress, that of the first of them unless given.
    ``reading``: where it was read already. With ``agree`` the reading must be what the plan says;
    :class:`DressblockError` if it is not.
    """
    dress = program.dress
    marks = list(blocks(lines_of(text))) if marks is None else marks
    first, last = span or _extent(text, marks)
    if reading is None:
        again = _to_be_reread(program, code, (first, last)) if isinstance(code, Lowered) else code
        reading = again.run(read_state(program, state, block_delete), past_stops=not accepted)
    if agree:
        _must_agree(program, state, reading.steps)
    return Case(
        reading=reading,
        first=first,
        last=last,
        dress=dress,
        state=state,
        seals=tuple(marks),
        expected=Expected(
            edition=program.edition,
            accepted=accepted,
            instead="left-out" if accepted and leaves_out_at(program, state) else None,
            leaves=program.leaves,
        ),
        words=program.dialect.abilities,
    )


def _extent(text: str, marks: list[MarkedBlock]) -> tuple[int, int]:
    """The lines of the first dress between marks, or of the whole text."""
    return (marks[0].first, marks[0].last) if marks else (1, len(lines_of(text)))


def _must_agree(program: Program, state: State, read: Iterable[Step]) -> None:
    tolerance = EXPRESSION_TOLERANCE if program.by_registers else 0.0
    parted = differences(at(program.plan, state), read, tolerance=tolerance)
    if parted:
        raise DressblockError(
            f"what this control's templates wrote does not read back as planned: {parted[0]}.",
            file=program.dialect.words.folder,
        )


def read_state(program: Program, state: State, block_delete: Switches = False) -> ReadState:
    """``state`` as the control would know it: register numbers, known positions, the dresser's own offset.

    What the program around a dress finds set counts where the state says nothing, and for a counter that it keeps
    itself, by which it may decide.
    """
    table = program.plan.registers
    values: Mapping[str, float] = state.values
    registers: dict[Register, float | None] = {number: values[name] for name, number in table.items() if name in values}
    own = () if program.edition.counts else (table.get("parts_since_dress"),)
    begins = {
        register: value
        for register, value in program.heading.begins.items()
        if register in own or register not in registers
    }
    return ReadState(
        registers={**registers, **begins},
        held=frozenset(registers),
        positions=state.positions,
        offsets=program.dress.dresser.held_offsets,
        others=program.others,
        block_delete=block_delete,
    )
