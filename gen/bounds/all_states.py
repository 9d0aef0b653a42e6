"""A program of ours, or the block in somebody else's, held against its plan at every state at once."""

from __future__ import annotations

from functools import partial
from itertools import zip_longest

from gen.bounds.case import Case
from gen.control.draft import Program
from gen.control.messages import messages_in
from gen.control.render import clean
from gen.control.seal import MarkedBlock
from gen.order.compose import compose
from gen.plan.evaluate import at
from gen.plan.node import Plan
from gen.plan.step import Move, Step, is_same
from gen.reader import Lowered
from gen.reader.all_states.agree import Difference, WrittenPlan, differences_from_plan
from gen.reader.all_states.run import Excerpt
from gen.reader.reading import Ending
from gen.reader.spread import between

EXPRESSION_TOLERANCE = 1e-6
"""How far a number worked out by an expression may differ between plan and reading, in its own unit."""


def parted(program: Program, lowered: Lowered, marks: list[MarkedBlock], number: int | None) -> tuple[Difference, ...]:
    """Where the text of ``program``, ``lowered``, parts from the plan of its recipe; nothing is the proof.

    The dress is the one between the ``number``-th of ``marks``. What was generated as a program or a subprogram is
    read as a whole, and so is a text that has lost its marks (None); a block within another program from its first
    line to its last.
    """
    form = program.edition.form
    alone = Excerpt(lowered) if number is None else Excerpt(lowered, marks[number].first, marks[number].last)
    whole = number is None or (form != "block" and len(marks) == 1)
    # something is done before or behind it, so that its ending is that of another program
    opens = form == "block" and not whole and len(alone.places()) < len(lowered.code)
    plan = _without_ending(program) if opens else program.plan
    table = program.dress.machine.registers
    assert table is not None
    ends: Ending = "return" if whole and form == "subprogram" else "text"
    return tuple(
        differences_from_plan(
            Excerpt(lowered) if whole else alone,
            WrittenPlan(plan, table.scratch, partial(clean, control=program.dialect.control), ends, opens),
            axes=program.state.positions,
            offsets=program.dress.dresser.held_offsets,
        )
    )


def parted_in_numbers(program: Program, case: Case) -> tuple[Difference, ...]:
    """Where the dress of ``case``, worked out for one wheel and stick, parts from the plan of its recipe."""
    reading, run = case.reading, case.block.run
    opens = program.edition.form == "block" and len(run) < len(reading.steps)
    plan = at(_without_ending(program) if opens else program.plan, program.state)
    for wanted, found in zip_longest(plan, between(reading.steps, run.start, run.stop)):
        if wanted is None and opens:
            break  # a block in another program ends as that one wants it
        if wanted is None or found is None or not is_same(_moved(wanted), _moved(found), EXPRESSION_TOLERANCE):
            line = case.last if found is None else found.line
            return (Difference(line, "for its one wheel and stick this does not what its recipe gives.", "broken"),)
    return ()


def _moved(step: Step) -> Step:
    """``step`` without the axes that stand still, whose places another program knows better."""
    if isinstance(step, Move):
        return step._replace(to={axis: step.to[axis] for axis in step.axes if axis in step.to})
    return step


def _without_ending(program: Program) -> Plan:
    return compose(
        program.dress,
        program.dialect.grid,
        program.dialect.abilities,
        registers=program.by_registers,
        edition=program.edition,
        say=messages_in(program.heading.language, program.dialect.control),
        ending=(),
    )
