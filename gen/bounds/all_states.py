"""A program of ours, or the block in somebody else's, held against its plan at every state at once."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from gen.control.messages import messages_in
from gen.control.render import clean
from gen.order.compose import compose

if TYPE_CHECKING:
    from gen.control.draft import Program
    from gen.control.seal import MarkedBlock
    from gen.reader import Lowered
    from gen.reader.all_states.agree import Difference
    from gen.reader.all_states.run import Excerpt
    from gen.reader.reading import Ending


def parted(program: Program, lowered: Lowered, marks: list[MarkedBlock], number: int | None) -> tuple[Difference, ...]:
    """Where the text of ``program``, ``lowered``, parts from the plan of its recipe; nothing is the proof.

    The dress is the one between the ``number``-th of ``marks``. What was generated as a program or a subprogram is
    read as a whole, and so is a text that has lost its marks (None); a block within another program from its first
    line to its last.
    """
    from gen.reader.all_states.agree import WrittenPlan, differences_from_plan
    from gen.reader.all_states.run import Excerpt

    form = program.edition.form
    alone = Excerpt(lowered) if number is None else Excerpt(lowered, marks[number].first, marks[number].last)
    whole = number is None or (form != "block" and len(marks) == 1)
    opens = form == "block" and not whole and _stands_in_another(alone)
    plan = program.plan
    if opens:
        plan = compose(
            program.dress,
            program.dialect.grid,
            program.dialect.abilities,
            registers=True,
            edition=program.edition,
            say=messages_in(program.heading.language, program.dialect.control),
            ending=(),
        )
    table = program.dress.machine.registers
    assert table is not None
    ends: Ending = "return" if whole and form == "subprogram" else "text"
    offset = program.dress.machine.dresser.offset
    return tuple(
        differences_from_plan(
            Excerpt(lowered) if whole else alone,
            WrittenPlan(plan, table.scratch, partial(clean, control=program.dialect.control), ends, opens),
            axes=program.state.positions,
            offsets={} if offset is None else {offset.word: dict(program.plan.offsets)},
        )
    )


def _stands_in_another(part: Excerpt) -> bool:
    """Whether anything is done before or behind it."""
    return len(part.places()) < len(part.lowered.code)
